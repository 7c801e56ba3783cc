"""What rounding number by number would have done: each printed measure to the nearest mark of the rule.

Rounding that keeps sums is controlled rounding (Bacharach 1966); this is the
other kind, worked out so that it can be seen.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from generator.findings import Finding
from generator.paper.records import Act, Mark, Plan
from generator.tutorial.checks.grids import TOOL_WORDS, is_off, to_make
from generator.tutorial.regauge.leaders import Workshop
from generator.tutorial.regauge.problem import RegaugeProblem
from generator.units import length

Values = Mapping[str, Fraction]
FEWEST = 3          # marks in a row, before one can speak of its panels


@dataclass(frozen=True, slots=True)
class RoundedMeasure:
    """A row of marks that are drawn at equal distances, each rounded by itself: the widths of its panels in mm.

    ``gap`` is how far the last mark then lies from where as many panels, each
    as wide as the rounded one, would end: by so much the seam misses.
    """

    name: str
    verb: str
    widths: tuple[Fraction, ...]
    gap: Fraction

    @property
    def spread(self) -> Fraction:
        """From the narrowest to the widest panel."""
        return max(self.widths) - min(self.widths)


@dataclass(frozen=True, slots=True)
class RoundedSpan:
    """Marks that would fall between those of the tool that makes them: ``positions`` in mm."""

    what: str
    tool: str
    line: int
    positions: tuple[Fraction, ...]
    count: int


@dataclass(frozen=True, slots=True)
class OneByOne:
    """``values`` are the named lengths rounded by themselves; ``wrong`` is what no longer holds with them."""

    values: dict[str, Fraction]
    rows: tuple[RoundedMeasure, ...]
    between: tuple[RoundedSpan, ...]
    wrong: tuple[Finding, ...]


def one_by_one(workshop: Workshop) -> OneByOne:
    """Number by number, for the problem at hand."""
    problem = workshop.problem
    step = problem.bench.grid("rule")
    values = {name: nearest(value, step) for name, value in problem.drawn.items()}
    wrong = tuple(f for f in workshop.tried(values).wrong if f.code != "off-grid")
    return OneByOne(values, tuple(_rows(problem, step)), tuple(_between(problem, step)), wrong)


def nearest(value: Fraction, step: Fraction) -> Fraction:
    """The nearest mark, never nothing; of two the one with the even number."""
    return max(round(value / step), 1) * step


def _rows(problem: RegaugeProblem, step: Fraction) -> Iterator[RoundedMeasure]:
    known: set[tuple] = set()
    for act, marks in _made(problem.drawn_plan):
        places = [m.position.value for m in marks if m.position is not None and m.position.exact]
        if len(places) < FEWEST or len(places) < len(marks):
            continue
        places = sorted(dict.fromkeys(places))
        rounded = [nearest(place, step) for place in places]
        drawn, widths = _widths([Fraction(0), *places]), _widths([Fraction(0), *rounded])
        if len(set(drawn)) == 1 and tuple(places) not in known:     # half-way ticks bound no panels
            known.add(tuple(places))
            yield RoundedMeasure(act.name or act.verb, act.verb, tuple(widths), sum(widths) - len(widths) * nearest(drawn[0], step))


def _widths(places: Sequence[Fraction]) -> list[Fraction]:
    return [b - a for a, b in zip(places, places[1:], strict=False)]


def _made(plan: Plan) -> Iterator[tuple[Act, list[Mark]]]:
    """Every act that made marks parallel to one edge, measured from one edge."""
    final = {mark.id: mark for history in plan.states.values() for mark in history[-1][1].marks}
    for act in plan.acts:
        marks = [final[k] for k in act.marks if k in final and final[k].act == act.number]
        if marks and len({(m.axis, m.measured_from) for m in marks}) == 1:
            yield act, marks


def _between(problem: RegaugeProblem, step: Fraction) -> Iterator[RoundedSpan]:
    for each in to_make(problem.drawn_plan):
        rounded = [nearest(Fraction(q.value), step) for q in dict.fromkeys(each.measures) if q.exact]
        odd = [place for place in rounded if is_off(problem.bench, length(place), each.tool)]
        if odd:
            yield RoundedSpan(each.what, TOOL_WORDS.get(each.tool, each.tool), each.span.line, tuple(odd), len(rounded))
