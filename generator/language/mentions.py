"""Which names an expression mentions."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

from generator.findings import Span
from generator.language.syntax import Call, Expr, Name


def names_in(expr: Expr) -> tuple[str, ...]:
    """The names that an expression uses, in order of their first use; names of calls and parameters are none."""
    return tuple(dict.fromkeys(node.name for node in _nodes(expr) if isinstance(node, Name)))


def calls_in(expr: Expr) -> tuple[str, ...]:
    """The names of the calls in an expression, in order of their first use."""
    return tuple(dict.fromkeys(node.name for node in _nodes(expr) if isinstance(node, Call)))


def spans_of(expr: Expr) -> tuple[tuple[str, Span], ...]:
    """Each name that an expression uses, with where it stands."""
    return tuple((node.name, node.span) for node in _nodes(expr) if isinstance(node, Name))


def _nodes(expr: Expr) -> Iterator[object]:
    waiting: list[object] = [expr]
    while waiting:
        node = waiting.pop()
        if isinstance(node, tuple):
            waiting.extend(reversed(node))
        elif is_dataclass(node):
            yield node
            waiting.extend(reversed([getattr(node, f.name) for f in fields(node)]))
