"""What regauging has to solve: named lengths, the congruences of all marks, windows, and needs."""
from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from generator.findings import Span
from generator.language.front import Front
from generator.language.syntax import Statement
from generator.paper.records import Plan
from generator.tutorial.editions import evaluate_edition
from generator.tutorial.grids import to_make
from generator.tutorial.regauge.sums import Sum, sums_of
from generator.units import Bench
from generator.units.lattice import Congruence

USUAL_WINDOW = Fraction(8, 100)
Steps = Sequence[tuple[int, Sequence[Statement]]]
Values = Mapping[str, Fraction]


@dataclass(frozen=True, slots=True)
class Window:
    """From ``low`` to ``high`` (mm) about the drawn value; ``step`` is the finest grid of the tools that make it."""

    low: Fraction
    high: Fraction
    step: Fraction


@dataclass(frozen=True, slots=True)
class Need:
    """Something that must hold and can be told from the named lengths in ``names`` alone."""

    says: str
    names: frozenset[str]
    holds: Callable[[Values], bool]
    span: Span = Span("")


@dataclass(frozen=True, slots=True)
class Problem:
    """Everything that the search, the report and the certificate need."""

    front: Front
    steps: Steps
    target: str
    bench: Bench
    drawn_plan: Plan
    drawn: Values                       # mm, by name; tools left out
    windows: Mapping[str, Window]
    kept: Values
    congruences: tuple[Congruence, ...]
    needs: tuple[Need, ...]
    finish: Mapping[str, Sum]           # what the finished size depends on

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(self.drawn)


def pose(front: Front, steps: Steps, benches: Mapping[str, Bench], target: str, kept: Values,
         within: Fraction = USUAL_WINDOW, more: Sequence[Need] = ()) -> Problem:
    """Set the problem up from a source whose drawn edition is sound."""
    drawn_edition = evaluate_edition(front, steps, benches, front.drawn_in)
    plan = drawn_edition.plan
    lengths = {n: Fraction(q.value) for n, q in front.lengths[front.drawn_in].items() if n not in front.tools}
    bench = benches[target]
    marks, named = _marks(plan, bench, lengths), _named(lengths, bench)
    congruences = (*marks, *named)
    windows = {name: _window(value, [c.step for c in marks if name in c.form] or [bench.grid("rule")], within)
               for name, value in lengths.items()}
    for name, value in kept.items():
        windows[name] = Window(value, value, windows[name].step)
    needs, finish = sums_of(front, steps, target, bench, plan)
    return Problem(front, tuple(steps), target, bench, plan, lengths, windows, dict(kept), congruences,
                   (*(Need(s.says, s.names, s.holds, s.span) for s in needs), *more), finish)


def _marks(plan: Plan, bench: Bench, lengths: Values) -> list[Congruence]:
    """One congruence for each different position, with the tool's grid as its step."""
    found: dict[tuple, Congruence] = {}
    for span, what, tool, measures in to_make(plan):
        for measure in measures:
            form = measure.form
            if not measure.exact or not form or not set(form) <= set(lengths):
                continue
            key = (tuple(sorted(form.items())), bench.grid(tool))
            found.setdefault(key, Congruence(form, bench.grid(tool), f"{what} on the {tool} (line {span.line})"))
    return list(found.values())


def _named(lengths: Values, bench: Bench) -> list[Congruence]:
    """Each named length is quoted somewhere, so it lies on the hand rule."""
    return [Congruence({name: Fraction(1)}, bench.grid("rule"), f"'{name}' on the rule") for name in lengths]


def _window(value: Fraction, steps: Sequence[Fraction], within: Fraction) -> Window:
    step = min(steps)
    reach = max(value * within, step)
    return Window(max(value - reach, Fraction(0)), value + reach, step)
