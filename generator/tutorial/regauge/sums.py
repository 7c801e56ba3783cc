"""Requirements and the finished size as plain sums of named lengths, worked out without any paper."""
from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from generator.findings import Span, Trouble
from generator.language import syntax
from generator.language.evaluate import Given
from generator.language.expressions import Binding, Cascade, Worker
from generator.language.front import Front
from generator.language.mentions import calls_in, names_in
from generator.language.registry import REGISTRY
from generator.paper.job import Job
from generator.paper.records import Plan
from generator.paper.values import Group, Truth
from generator.tutorial.editions import given
from generator.units import Bench, Quantity, length

Values = Mapping[str, Fraction]


@dataclass(frozen=True, slots=True)
class Sum:
    """A condition or a measure. ``form`` is its affine form where it has one; ``work`` gives its value."""

    says: str
    names: frozenset[str]
    span: Span
    work: Callable[[Values], object]
    form: Mapping[str, Fraction] | None = None

    def holds(self, values: Values) -> bool:
        """A condition's truth; False where it cannot be worked out."""
        return all(isinstance(t, Truth) and t.holds for t in _leaves(self.work(values)))

    def size(self, values: Values) -> float | None:
        """A measure in mm; None where it cannot be worked out."""
        value = self.work(values)
        return float(value.value) if isinstance(value, Quantity) else None


def sums_of(front: Front, steps: Sequence[tuple[int, Sequence[syntax.Statement]]], target: str, bench: Bench,
            plan: Plan) -> tuple[list[Sum], dict[str, Sum]]:
    """The requirements and the finished sizes that rest on named lengths alone. What needs paper is left out."""
    base = given(front, target)
    pure = _Pure(base, target, bench, frozenset(front.lengths[target]) - front.tools)
    needs: list[Sum] = []
    finish: dict[str, Sum] = {}
    for _, statements in steps:
        for statement in statements:
            pure.take(statement)
            call = statement.value
            if not isinstance(call, syntax.Call):
                continue
            if call.name == "expect" and call.args and pure.knows(call.args[0]):
                needs.append(pure.sum(call.args[0], f"the requirement of line {statement.span.line}"))
            elif call.name == "finish":
                for keyword in call.keywords:
                    _finish(pure, keyword, plan, finish)
    return needs, finish


def _finish(pure: "_Pure", keyword: syntax.Keyword, plan: Plan, finish: dict[str, Sum]) -> None:
    stated = plan.finish.get(keyword.name)
    if stated is not None and stated.form and set(stated.form) <= pure.free:
        form = dict(stated.form)
        finish[keyword.name] = Sum(keyword.name, frozenset(form), keyword.span, lambda values: length(
            sum((c * values[n] for n, c in form.items()), Fraction(0))), form)
    elif pure.knows(keyword.value):
        finish[keyword.name] = pure.sum(keyword.value, keyword.name)


class _Pure:
    """The statements that make values out of named lengths, counts and papers, and nothing else."""

    def __init__(self, base: Given, system: str, bench: Bench, free: frozenset[str]):
        self.base, self.system, self.bench, self.free = base, system, bench, free
        self.rests: dict[str, frozenset[str]] = {n: frozenset({n}) & free
                                                for n in (*base.lengths, *base.counts, *base.papers)}
        self.made: list[syntax.Statement] = []

    def knows(self, expr: syntax.Expr) -> bool:
        """True when an expression needs no paper."""
        return (all(n in self.rests or n not in self._all for n in names_in(expr))
                and all(c in REGISTRY and REGISTRY[c].family == "sums" for c in calls_in(expr)))

    _all: frozenset[str] = frozenset()

    def take(self, statement: syntax.Statement) -> None:
        """Remember a statement that needs no paper; note the names of all others as out of reach."""
        if statement.name is None:
            return
        self._all |= {statement.name}
        if self.knows(statement.value):
            self.rests[statement.name] = self._names(statement.value)
            self.made.append(statement)

    def _names(self, expr: syntax.Expr) -> frozenset[str]:
        return frozenset().union(*(self.rests.get(n, frozenset()) for n in names_in(expr)))

    def sum(self, expr: syntax.Expr, says: str) -> Sum:
        """An expression as something that can be worked out again and again."""
        chain = self._chain(expr)

        def work(values: Values) -> object:
            worker = self._worker(values)
            try:
                for statement in chain:
                    worker.names[statement.name] = Binding(statement.name, worker.value(statement.value),
                                                           statement.span, statement.text, 0)
                return worker.value(expr)
            except (Trouble, Cascade):
                return None
        return Sum(says, self._names(expr), expr.span, work)

    def _chain(self, expr: syntax.Expr) -> list[syntax.Statement]:
        wanted = set(names_in(expr))
        chain = []
        for statement in reversed(self.made):
            if statement.name in wanted:
                chain.append(statement)
                wanted.update(names_in(statement.value))
        return chain[::-1]

    def _worker(self, values: Values) -> Worker:
        names = {n: Binding(n, v, Span(""), "", 0) for n, v in (*self.base.counts.items(), *self.base.papers.items())}
        for name, quantity in self.base.lengths.items():
            value = length(values[name], name) if name in values else quantity
            names[name] = Binding(name, value, Span(""), "", 0)
        return Worker(Job(self.system, self.bench, self.base.papers), names, {})


def _leaves(value: object) -> list[object]:
    if not isinstance(value, Group):
        return [value]
    return [leaf for item in value.items for leaf in _leaves(item)]
