"""Statements with the uses of parts written out, for those who look at a design without working it.

What a use stands for is plain statements whose names begin with its own:
``rim = turned_scores(base, wall)`` makes ``rim.front = score(base, y=wall)``.
Parameters are replaced by what they are given. A use that stands within a
larger expression, or that is written wrongly, stays as it is.
"""
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass, replace

from generator.findings import Span
from generator.language.parts import Part, Parts
from generator.language.syntax import Attribute, Call, Expr, Name, Statement
from generator.language.using import DEEPEST

MOST = 4000     # statements of a whole design; more are not written out
LEFT_OUT = ""   # no name: what stands for a parameter that nothing stands in for
Steps = Sequence[tuple[int, Sequence[Statement]]]


def expanded(steps: Steps, parts: Parts) -> Steps:
    """The statements of every step, those of the parts in place of their uses."""
    if not any(isinstance(s.value, Call) and s.value.name in parts for _, statements in steps for s in statements):
        return steps
    expander = _Expander(parts)
    return tuple((number, tuple(expander.written_out(statements))) for number, statements in steps)


class _Expander:
    """Writes uses out, and remembers which names have results of their own."""

    def __init__(self, parts: Parts):
        self.parts = parts
        self.results: dict[str, Mapping[str, str]] = {}     # name of a use → result → name of its statement
        self.made = 0

    def written_out(self, statements: Sequence[Statement], depth: int = 0) -> Iterator[Statement]:
        for statement in statements:
            statement = replace(statement, value=self._known(statement.value))
            part = self.parts.get(statement.value.name) if isinstance(statement.value, Call) else None
            given = _given(part, statement.value) if part is not None and depth <= DEEPEST and self.made < MOST else None
            if given is None:
                yield statement
            else:
                yield from self.written_out(tuple(self._of_part(part, given, statement)), depth + 1)

    def _known(self, expr: Expr) -> Expr:
        """An expression in which ``rim.front`` is the name of the statement that makes it."""
        def change(node: object) -> object:
            if isinstance(node, Attribute) and isinstance(node.of, Name):
                name = self.results.get(node.of.name, {}).get(node.name)
                return Name(name, node.span) if name is not None else node
            return node
        return _changed(expr, change)

    def _of_part(self, part: Part, given: Mapping[str, Expr], use: Statement) -> Iterator[Statement]:
        self.made += len(part.statements)
        prefix = use.name or f"{part.name} {use.span.line} {use.span.column}"
        single = next(iter(part.entry.gives)) if len(part.entry.gives) == 1 else None
        names = {s.name: use.name if use.name and s.name == single else f"{prefix}.{s.name}" for s in part.statements if s.name}
        if use.name and single is None:
            self.results[use.name] = {name: names[name] for name in part.entry.gives if name in names}

        left_out = part.defaults.keys() - given.keys()

        def change(node: object) -> object:
            if isinstance(node, Name) and node.name in given:
                return given[node.name]
            if isinstance(node, Name):
                return Name(LEFT_OUT if node.name in left_out else names.get(node.name, node.name), use.value.span)
            if isinstance(node, Call):
                node = replace(node, keywords=tuple(k for k in node.keywords if not _left_out(k.value)))
            return _placed(node, use.value.span)
        for statement in part.statements:
            yield Statement(names.get(statement.name), use.name_span, _changed(statement.value, change), use.span, use.text)


def _given(part: Part, call: Call) -> dict[str, Expr] | None:
    """What each parameter stands for; None where the call does not fit."""
    bare = [p.name for p in part.entry.parameters]
    found = dict(zip(bare, call.args, strict=False)) | {k.name: k.value for k in call.keywords}
    if len(call.args) > len(bare) or not set(found) <= set(bare):
        return None
    for name in bare:
        if name not in found:
            default = part.defaults.get(name)
            if default is None:
                if name not in part.defaults:
                    return None
                continue
            found[name] = _changed(default, lambda node: found.get(node.name, node) if isinstance(node, Name)
                                   else _placed(node, call.span))
    return found


def _left_out(expr: Expr) -> bool:
    return isinstance(expr, Name) and expr.name == LEFT_OUT


def _placed(node: object, span: Span) -> object:
    return replace(node, span=span)


def _changed(node: object, change: Callable[[object], object]) -> object:
    """A tree with every node changed, the innermost first."""
    if isinstance(node, tuple):
        return tuple(_changed(each, change) for each in node)
    if not is_dataclass(node) or isinstance(node, Span):
        return node
    inner = {f.name: _changed(value, change) for f in fields(node)
             if isinstance(value := getattr(node, f.name), tuple) or is_dataclass(value) and not isinstance(value, Span)}
    return change(replace(node, **inner) if inner else node)
