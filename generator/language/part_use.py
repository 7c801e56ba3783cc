"""Use a part: work its statements with what it is given, as if they stood where it is used.

Statements with the uses of parts written out, for those who look at a design without working it.

What a use stands for is plain statements whose names begin with its own:
``rim = turned_scores(base, wall)`` makes ``rim.front = score(base, y=wall)``.
Parameters are replaced by what they are given. A use that stands within a
larger expression, or that is written wrongly, stays as it is.
"""
from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any, Protocol

from generator.dataclass import dataclass, fields, replace
from generator.findings import Finding, FindingError, Span, finding_error
from generator.language.evaluation.registry import OMITTED, Binding
from generator.language.parts import Part, Parts
from generator.language.syntax.nodes import Attribute, Call, Expr, Name, Node, Statement, name_spans
from generator.paper.plan_builder import CallContext
from generator.paper.values import PartResults

MAX_PART_DEPTH = 3         # parts within parts; each may be as deep as the parser allows
MAX_QUOTED_STATEMENT = 70          # signs of a statement that a hint quotes


@dataclass(frozen=True, slots=True)
class PartUse:
    """One use of a part: its place, the span of each argument there, and the uses round it."""

    part: Part
    span: Span
    given: Mapping[str, Span]
    around: tuple[str, ...] = ()

    def place(self, expr: Expr) -> Span:
        """Where an expression of the part stands for the author.

        What it was given in its place, else the use.
        """
        return self.given.get(expr.name, self.span) if isinstance(expr, Name) else self.span

    def relocated(self, found: Finding, statement: Statement | None) -> Finding:
        """A finding of the part's file at the use, with a hint that names the part."""
        span = found.span
        if span.file == self.part.file:
            given = {where: self.given[name] for name, where in _name_spans(statement) if name in self.given}
            span = given.get(span, self.span)
        text = " ".join(statement.text.split()) if statement else ""
        text = text if len(text) <= MAX_QUOTED_STATEMENT else text[:MAX_QUOTED_STATEMENT - 1] + "…"
        where = f"in the part '{self.part.name}'" + (f", where it says “{text}”" if text else "")
        return replace(found, span=span, hint=f"{where}: {found.hint}" if found.hint else where)


def _name_spans(statement: Statement | None) -> Iterable[tuple[str, Span]]:
    return name_spans(statement.value) if statement is not None else ()


class Evaluates(Protocol):
    """What works out expressions."""

    def value(self, expr: Expr) -> object:
        """The value of an expression. Raises Trouble, or DependentFailure."""


def use_part(part: Part, context: CallContext, given: Mapping[str, object], around: tuple[str, ...],
        worker_of: Callable[[dict[str, Binding], Mapping[str, Span], PartUse], Evaluates]) -> object:
    """Work a part. ``worker_of`` makes what works out its expressions, from names and from where they stand.

    What the part gives: one result as it is, several as :class:`PartResults`.
    Raises Trouble, told at the use.
    """
    inside = PartUse(part, context.span, dict(context.places), (*around, part.name))
    if part.name in around:
        way = " → ".join(f"'{name}'" for name in inside.around[around.index(part.name):])
        raise finding_error("part-circle", context.span, f"a part that uses itself has no end: {way}",
                      "take one of these uses out")
    if len(around) >= MAX_PART_DEPTH:
        raise finding_error("too-deep", context.span,
                      f"parts are used within parts more than {MAX_PART_DEPTH} deep",
                      "use fewer within each other")
    outer = context.name
    names = {name: Binding(name, value, inside.given.get(name, inside.span), "", context.step) for name,
             value in given.items()}
    evaluator = worker_of(names, {s.name: s.name_place for s in part.statements if s.name}, inside)
    try:
        _bind_defaults(inside, context, names, evaluator)
        for statement in part.statements:
            _evaluate_statement(inside, context, names, evaluator, statement, outer)
    finally:
        context.name = outer
    return _part_results(part, names)


def _bind_defaults(inside: PartUse, context: CallContext, names: dict[str, Binding],
                   evaluator: Evaluates) -> None:
    for name, expr in inside.part.defaults.items():
        if name not in names:
            try:
                value = OMITTED if expr is None else evaluator.value(expr)
            except FindingError as wrong:
                raise FindingError(*(inside.relocated(f, None) for f in wrong.findings)) from None
            names[name] = Binding(name, value, inside.span, "", context.step)


def _evaluate_statement(inside: PartUse, context: CallContext, names: dict[str, Binding],
                        evaluator: Evaluates, statement: Statement, outer: str | None) -> None:
    context.name = name_in_tutorial(inside.part, outer, statement.name)
    noted = len(context.findings)
    try:
        value = evaluator.value(statement.value)
        if statement.name is not None and value is None:
            raise finding_error("call-kind", inside.span,
                          f"nothing is made that '{statement.name}' could stand for",
                          "leave the name and the = out")
    except FindingError as wrong:
        raise FindingError(*(inside.relocated(f, statement) for f in wrong.findings)) from None
    finally:
        context.findings[noted:] = [inside.relocated(f, statement) for f in context.findings[noted:]]
    if statement.name is not None:
        names[statement.name] = Binding(statement.name, value, inside.span, statement.text, context.step)


def name_in_tutorial(part: Part, outer: str | None, name: str | None) -> str | None:
    """What is called ``name`` in a part, for the tutorial: ``tube.panels``.

    The only result as the use itself is.

    In a part within a part the name of the use in between is left out.
    """
    if outer is None or name is None:
        return None
    return outer if tuple(part.entry.gives) == (name,) else f"{outer.partition('.')[0]}.{name}"


def _part_results(part: Part, names: Mapping[str, Binding]) -> object:
    results = tuple((name, names[name].value) for name in part.entry.gives)
    return results[0][1] if len(results) == 1 else PartResults(part.name, results)


MAX_EXPANDED_STATEMENTS = 4000     # statements of a whole design; more are not written out
OMITTED_NAME = ""   # no name: what stands for a parameter that nothing stands in for
StepStatements = Sequence[tuple[int, Sequence[Statement]]]


def expand_parts(steps: StepStatements, parts: Parts) -> StepStatements:
    """The statements of every step, those of the parts in place of their uses."""
    if not any(isinstance(s.value, Call) and s.value.name in parts for _,
               statements in steps for s in statements):
        return steps
    expander = _PartExpander(parts)
    return tuple((number, tuple(expander.written_out(statements))) for number, statements in steps)


class _PartExpander:
    """Writes uses out, and remembers which names have results of their own."""

    def __init__(self, parts: Parts):
        self.parts = parts
        self.results: dict[str, Mapping[str, str]] = {}     # name of a use → result → name of its statement
        self.expanded_count = 0

    def written_out(self, statements: Sequence[Statement], depth: int = 0) -> Iterator[Statement]:
        for statement in statements:
            statement = replace(statement, value=self._known(statement.value))
            call = statement.value
            part = self.parts.get(call.name) if isinstance(call, Call) else None
            given = (_arguments_of(part, call) if part is not None and isinstance(call, Call)
                     and depth <= MAX_PART_DEPTH and self.expanded_count < MAX_EXPANDED_STATEMENTS else None)
            if part is None or given is None:
                yield statement
            else:
                yield from self.written_out(tuple(self._of_part(part, given, statement)), depth + 1)

    def _known(self, expr: Expr) -> Expr:
        """An expression in which ``rim.front`` is the name of the statement that makes it."""
        def change(node: Node) -> Node:
            if isinstance(node, Attribute) and isinstance(node.of, Name):
                name = self.results.get(node.of.name, {}).get(node.name)
                return Name(name, node.span) if name is not None else node
            return node
        return transformed(expr, change)

    def _of_part(self, part: Part, given: Mapping[str, Expr], use: Statement) -> Iterator[Statement]:
        self.expanded_count += len(part.statements)
        prefix = use.name or f"{part.name} {use.span.line} {use.span.column}"
        single = next(iter(part.entry.gives)) if len(part.entry.gives) == 1 else None
        names = {s.name: use.name if use.name and s.name == single else f"{prefix}.{s.name}"
                 for s in part.statements if s.name}
        if use.name and single is None:
            self.results[use.name] = {name: names[name] for name in part.entry.gives if name in names}

        left_out = part.defaults.keys() - given.keys()

        def change(node: Node) -> Node:
            if isinstance(node, Name) and node.name in given:
                return given[node.name]
            if isinstance(node, Name):
                return Name(OMITTED_NAME if node.name in left_out else names.get(node.name, node.name),
                            use.value.span)
            if isinstance(node, Call):
                node = replace(node, keywords=tuple(k for k in node.keywords if not _is_omitted(k.value)))
            return _with_span(node, use.value.span)
        for statement in part.statements:
            yield Statement(names.get(statement.name or ""), use.name_span,
                            transformed(statement.value, change), use.span, use.text)


def _arguments_of(part: Part, call: Call) -> dict[str, Expr] | None:
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
            found[name] = transformed(default,
                                      lambda node: found.get(node.name, node) if isinstance(node, Name)
                                   else _with_span(node, call.span))
    return found


def _is_omitted(expr: Expr) -> bool:
    return isinstance(expr, Name) and expr.name == OMITTED_NAME


def _with_span(node: Node, span: Span) -> Node:
    return replace(node, span=span)


def transformed(expr: Expr, change: Callable[[Node], Node]) -> Expr:
    """A tree with every node changed, the innermost first. ``change`` gives an expression for one."""
    changed: Expr = _transformed(expr, change)
    return changed


def _transformed(node: Any, change: Callable[[Node], Node]) -> Any:   # nodes, and tuples of them
    if isinstance(node, tuple):
        return tuple(_transformed(each, change) for each in node)
    if not isinstance(node, Node):
        return node
    inner: dict[str, Any] = {f.name: _transformed(value, change) for f in fields(node)
             if isinstance(value := getattr(node, f.name), tuple | Node)}
    return change(replace(node, **inner) if inner else node)
