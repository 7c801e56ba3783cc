"""What a choice changes in the box, and what keeps each of its values from being closer to the drawing."""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from generator.paper.records import Plan
from generator.tutorial.regauge.problem import RegaugeProblem, is_quoted
from generator.tutorial.regauge.wording import said
from generator.units import Quantity

Values = Mapping[str, Fraction]
SIZES = ("width", "depth", "height")
MOST_NEIGHBOURS = 3     # values nearer the drawing that are asked about
MOST_REASONS = 3


@dataclass(frozen=True, slots=True)
class Change:
    """A size of the box or of a blank, or a named length: drawn and as chosen, in mm."""

    name: str
    drawn: Fraction | float
    now: Fraction | float

    @property
    def mm(self) -> Fraction | float:
        return self.now - self.drawn

    @property
    def share(self) -> float:
        """Relative change; 0 where nothing was drawn."""
        return float(self.mm) / float(self.drawn) if self.drawn else 0.0


@dataclass(frozen=True, slots=True)
class Bind:
    """Why ``name`` is not ``nearer``, which lies closer to the drawing."""

    name: str
    nearer: Fraction
    reasons: tuple[str, ...]


def lengths_changed(problem: RegaugeProblem, values: Values) -> tuple[Change, ...]:
    """Every named length, in the order of the source."""
    return tuple(Change(name, problem.drawn[name], values[name]) for name in problem.names)


def box_changed(drawn: Plan, plan: Plan) -> tuple[Change, ...]:
    """The finished sizes of the folded box."""
    return tuple(Change(name, _mm(drawn.finish[name]), _mm(plan.finish[name]))
                 for name in SIZES if name in drawn.finish and name in plan.finish)


def blanks_changed(drawn: Plan, plan: Plan) -> tuple[tuple[str, Change, Change], ...]:
    """Width and height of every piece but ribbons, as it first lies: name, width, height."""
    found = []
    for info in drawn.pieces:
        if not info.is_ribbon:
            before, now = drawn.states[info.id][-1][1], plan.states[info.id][-1][1]
            found.append((info.name, Change("width", _mm(before.width), _mm(now.width)),
                          Change("height", _mm(before.height), _mm(now.height))))
    return tuple(found)


def _mm(size: Quantity) -> Fraction | float:
    return size.value


def binds_of(problem: RegaugeProblem, values: Values) -> Iterator[Bind]:
    """For each length the mark of the rule nearest to the drawing, where that is not the one chosen, and what excludes it."""
    for name in problem.names:
        if name in problem.kept:
            yield Bind(name, problem.drawn[name], ("you keep it",))
            continue
        for nearer in _nearer(problem, name, values[name]):
            yield Bind(name, nearer, tuple(_reasons(problem, values, name, nearer)))
            break


def _nearer(problem: RegaugeProblem, name: str, chosen: Fraction) -> list[Fraction]:
    """Marks of the rule nearer to the drawing than the chosen one, the nearest first."""
    step, drawn = problem.bench.grid("rule"), problem.drawn[name]
    low = drawn // step * step
    marks = [m for k in range(-MOST_NEIGHBOURS, MOST_NEIGHBOURS + 2) if (m := low + k * step) > 0]
    return sorted((m for m in marks if abs(m - drawn) < abs(chosen - drawn)), key=lambda m: abs(m - drawn))


def _reasons(problem: RegaugeProblem, values: Values, name: str, nearer: Fraction) -> list[str]:
    """What this value would break with all others as they are; if nothing, that the box would be the worse for it."""
    now = {**problem.fixed, **values, name: nearer}
    broken = [f"{c.says} would fall between two marks" for c in problem.congruences
              if name in c.form and not is_quoted(c) and not c.holds(now)]
    broken += [need.breaks for need in problem.needs if name in need.names and not need.holds(now)]
    if not broken:
        return [f"with {said(nearer, problem.target)} the box as a whole would lie further from the drawing"]
    return list(dict.fromkeys(broken))[:MOST_REASONS]


def unused_of(problem: RegaugeProblem) -> tuple[str, ...]:
    """Lengths that no mark, no blank, no requirement and no finished size depends on."""
    used = {n for c in problem.congruences if not is_quoted(c) for n in c.form}
    used |= {n for need in problem.needs for n in need.names} | {n for each in problem.finish.values() for n in each.names}
    plan = problem.drawn_plan
    used |= {n for size in plan.finish.values() for n in size.names}
    for history in plan.states.values():
        state = history[-1][1]
        used |= state.width.names | state.height.names
        used |= {n for mark in state.marks for size in (*mark.sizes, *(p for p, _ in mark.positions)) for n in size.names}
        used |= {n for face in state.faces for size in face.lengths for n in size.names}
    return tuple(name for name in problem.names if name not in used)
