"""Use a part: work its statements with what it is given, as if they stood where it is used."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from generator.findings import Finding, Span, Trouble, trouble
from generator.language.bindings import NOTHING, Binding
from generator.language.mentions import spans_of
from generator.language.parts import Part
from generator.language.syntax import Expr, Name, Statement
from generator.paper.job import Job
from generator.paper.values import Made

DEEPEST = 3         # parts within parts; each may be as deep as the parser allows
SHOWN = 70          # signs of a statement that a hint quotes


@dataclass(frozen=True, slots=True)
class Inside:
    """A part at work: where it is used, where each value it was given stands there, and the parts round it."""

    part: Part
    span: Span
    given: Mapping[str, Span]
    around: tuple[str, ...] = ()

    def place(self, expr: Expr) -> Span:
        """Where an expression of the part stands for the author: what it was given in its place, else the use."""
        return self.given.get(expr.name, self.span) if isinstance(expr, Name) else self.span

    def told(self, found: Finding, statement: Statement | None) -> Finding:
        """A finding of the part's file at the use, with a hint that names the part."""
        span = found.span
        if span.file == self.part.file:
            given = {where: self.given[name] for name, where in _names(statement) if name in self.given}
            span = given.get(span, self.span)
        text = " ".join(statement.text.split()) if statement else ""
        text = text if len(text) <= SHOWN else text[:SHOWN - 1] + "…"
        where = f"in the part '{self.part.name}'" + (f", where it says “{text}”" if text else "")
        return replace(found, span=span, hint=f"{where}: {found.hint}" if found.hint else where)


def _names(statement: Statement | None) -> Iterable[tuple[str, Span]]:
    return spans_of(statement.value) if statement is not None else ()


def use(part: Part, job: Job, given: Mapping[str, object], around: tuple[str, ...],
        worker_of: Callable[[dict[str, Binding], Mapping[str, Span], Inside], object]) -> object:
    """Work a part. ``worker_of`` makes what works out its expressions, from names and from where they stand.

    What the part gives: one result as it is, several as :class:`Made`.
    Raises Trouble, told at the use.
    """
    inside = Inside(part, job.span, dict(job.places), (*around, part.name))
    if part.name in around:
        way = " → ".join(f"'{name}'" for name in inside.around[around.index(part.name):])
        raise trouble("part-circle", job.span, f"a part that uses itself has no end: {way}", "take one of these uses out")
    if len(around) >= DEEPEST:
        raise trouble("too-deep", job.span, f"parts are used within parts more than {DEEPEST} deep", "use fewer within each other")
    outer = job.name
    names = {name: Binding(name, value, inside.given.get(name, inside.span), "", job.step) for name, value in given.items()}
    worker = worker_of(names, {s.name: s.name_span for s in part.statements if s.name}, inside)
    try:
        _defaults(inside, job, names, worker)
        for statement in part.statements:
            _work(inside, job, names, worker, statement, outer)
    finally:
        job.name = outer
    return _result(part, names)


def _defaults(inside: Inside, job: Job, names: dict[str, Binding], worker: object) -> None:
    for name, expr in inside.part.defaults.items():
        if name not in names:
            try:
                value = NOTHING if expr is None else worker.value(expr)
            except Trouble as wrong:
                raise Trouble(*(inside.told(f, None) for f in wrong.findings)) from None
            names[name] = Binding(name, value, inside.span, "", job.step)


def _work(inside: Inside, job: Job, names: dict[str, Binding], worker: object, statement: Statement,
          outer: str | None) -> None:
    job.name = name_within(inside.part, outer, statement.name)
    noted = len(job.findings)
    try:
        value = worker.value(statement.value)
        if statement.name is not None and value is None:
            raise trouble("call-kind", inside.span, f"nothing is made that '{statement.name}' could stand for",
                          "leave the name and the = out")
    except Trouble as wrong:
        raise Trouble(*(inside.told(f, statement) for f in wrong.findings)) from None
    finally:
        job.findings[noted:] = [inside.told(f, statement) for f in job.findings[noted:]]
    if statement.name is not None:
        names[statement.name] = Binding(statement.name, value, inside.span, statement.text, job.step)


def name_within(part: Part, outer: str | None, name: str | None) -> str | None:
    """What is called ``name`` in a part, for the tutorial: ``tube.panels``; the only result as the use itself is.

    In a part within a part the name of the use in between is left out.
    """
    if outer is None or name is None:
        return None
    return outer if tuple(part.entry.gives) == (name,) else f"{outer.partition('.')[0]}.{name}"


def _result(part: Part, names: Mapping[str, Binding]) -> object:
    results = tuple((name, names[name].value) for name in part.entry.gives)
    return results[0][1] if len(results) == 1 else Made(part.name, results)
