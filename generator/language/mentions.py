"""Which names an expression mentions."""
from __future__ import annotations

from dataclasses import fields, is_dataclass

from generator.language.syntax import Expr, Keyword, Name


def names_in(expr: Expr) -> tuple[str, ...]:
    """The names that an expression uses, in order of their first use; names of calls and parameters are none."""
    found: dict[str, None] = {}
    waiting: list[object] = [expr]
    while waiting:
        node = waiting.pop()
        if isinstance(node, Name):
            found[node.name] = None
        elif isinstance(node, Keyword):
            waiting.append(node.value)
        elif isinstance(node, tuple):
            waiting.extend(reversed(node))
        elif is_dataclass(node):
            waiting.extend(reversed([getattr(node, f.name) for f in fields(node)]))
    return tuple(found)
