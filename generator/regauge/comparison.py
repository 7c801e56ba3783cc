"""How choices are ranked: close to the drawing, or friendly to the eye.

Measures and changes in the words of the report.

What a choice changes in the box, and what keeps each of its values from being closer to the drawing.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Any

from generator.dataclass import dataclass
from generator.paper.records import Plan
from generator.paper.sheet_layouts import StockSheet
from generator.regauge.formulas import Formula
from generator.regauge.problem import RegaugeProblem, Window, is_on_rule
from generator.units import INCH, SYSTEMS, Quantity, as_text, display_measure, length

CLOSE, FRIENDLY = "close", "friendly"
PREFERENCES = (CLOSE, FRIENDLY)
# decimals of a relative change of a finished size; what is finer is the dust of arithmetic
SHARE_PLACES = 12
LengthValues = Mapping[str, Fraction]
LevelCounts = tuple[int, ...]
RankKey = tuple[Any, ...]        # what is compared first depends on the preference

SIZE_CHANGE_WORDS = {"width": ("wider", "narrower"), "depth": ("deeper", "shallower"),
                     "height": ("taller", "lower")}


def fraction_level(value: Fraction, system: str) -> int:
    """0 for quarters (or 5 mm), 1 for eighths (1 mm), 2 for sixteenths, and so on."""
    steps = SYSTEMS[system].handy_steps
    return next((k for k, step in enumerate(steps) if value % step == 0), len(steps))


def easiest_level(window: Window, system: str) -> int:
    """The lowest level that any value of a window has."""
    steps = SYSTEMS[system].handy_steps
    return next((k for k, step in enumerate(steps) if window.high // step * step >= window.low), len(steps))


def relative_change(problem: RegaugeProblem, name: str, value: Fraction) -> Fraction:
    """Relative change of a named length against the drawing."""
    drawn = problem.drawn[name]
    return abs(value - drawn) / drawn


def finish_change(problem: RegaugeProblem, values: LengthValues) -> float:
    """The largest relative change of a finished size whose names all are among ``values``."""
    known = (each for each in problem.finish.values() if each.names <= values.keys())
    return max((size_change(each, drawn, values) for each in known if (drawn := each.size(problem.drawn))),
               default=0.0)


def size_change(size: Formula, drawn: float, values: LengthValues) -> float:
    """The relative change of one finished size, 0 where it cannot be worked out."""
    now = size.size(values)
    return round(abs(now - drawn) / abs(drawn), SHARE_PLACES) if now is not None else 0.0


def choice_levels(problem: RegaugeProblem, values: LengthValues) -> LevelCounts:
    """How many named lengths need the finest steps, the finest first."""
    return level_counts((fraction_level(values[n], problem.target) for n in problem.names if n in values),
                        problem.target)


def level_counts(found: Iterable[int], system: str) -> LevelCounts:
    """Counts of levels, the finest first; level 0 is not counted."""
    found = tuple(found)
    return tuple(found.count(k) for k in range(len(SYSTEMS[system].handy_steps), 0, -1))


def rank_key(problem: RegaugeProblem, prefer: str, values: LengthValues,
             finished: float | None = None) -> RankKey:
    """The rank of a choice; the smaller the better, ties broken by the values themselves.

    close: largest relative change of what ``finish`` names, then the sum of
    all relative changes, then coarser marks. friendly: fewest of the finest
    fractions first, then close. A part of a choice is ranked by what it holds.
    ``finished`` is :func:`finish_change` where it is known already.
    """
    if finished is None:
        finished = finish_change(problem, values)
    chosen = [n for n in sorted(problem.names) if n in values]
    total = sum((relative_change(problem, n, values[n]) for n in chosen), Fraction(0))
    levels = choice_levels(problem, values)
    close = (finished, total)
    return (*((*close, levels) if prefer == CLOSE else (levels, *close)), tuple(values[n] for n in chosen))


FINEST_WORDED = INCH.finest
CHANGE_PLACES = 1          # decimals of a change in mm and in per cent


def length_text(value: Fraction | float, system: str) -> str:
    """A length in mm, worded in a system: "1 3/4 in".

    One that is exact and lies on no usual mark is worded to 1/64 in.
    """
    finest = FINEST_WORDED if isinstance(value, Fraction) else None
    return as_text(display_measure(length(value), system, finest=finest))


def difference_text(mm: Fraction | float, system: str) -> str:
    """How far two sizes lie apart, without a sign: "3 mm", "about 1/8 in"."""
    return as_text(display_measure(length(max(mm, -mm)), system))


def signed_text(mm: Fraction | float) -> str:
    """A change in mm: "+1.8 mm", "−0.5 mm", "0 mm"."""
    return f"{_signed_number(mm)} mm"


def percent_text(share: Fraction | float) -> str:
    """A relative change: "+5.8 %"."""
    return f"{_signed_number(share * 100)} %"


def _signed_number(value: Fraction | float) -> str:
    shown = round(float(value), CHANGE_PLACES)
    text = f"{abs(shown):.{CHANGE_PLACES}f}".removesuffix(".0")
    return text if text == "0" else ("+" if shown > 0 else "−") + text


def name_text(name: str) -> str:
    """A name of the source as words."""
    return name.replace("_", " ")


ChosenLengths = Mapping[str, Fraction]
FINISHED_SIZES = ("width", "depth", "height")
MAX_NEIGHBOURS = 3     # values nearer the drawing that are asked about
MAX_REASONS = 3


@dataclass(frozen=True, slots=True)
class SizeChange:
    """A size of the box or of a blank, or a named length: drawn and as chosen, in mm."""

    name: str
    drawn: Fraction | float
    now: Fraction | float

    @property
    def mm(self) -> Fraction | float:
        """The change in mm."""
        return self.now - self.drawn

    @property
    def share(self) -> float:
        """Relative change; 0 where nothing was drawn."""
        return float(self.mm) / float(self.drawn) if self.drawn else 0.0


@dataclass(frozen=True, slots=True)
class BindingReason:
    """Why ``name`` is not ``nearer``, which lies closer to the drawing."""

    name: str
    nearer: Fraction
    reasons: tuple[str, ...]


def lengths_changed(problem: RegaugeProblem, values: ChosenLengths) -> tuple[SizeChange, ...]:
    """Every named length, in the order of the source."""
    return tuple(SizeChange(name, problem.drawn[name], values[name]) for name in problem.names)


def box_changed(drawn: Plan, plan: Plan) -> tuple[SizeChange, ...]:
    """The finished sizes of the folded box."""
    return tuple(SizeChange(name, _size_value(drawn.finish[name]), _size_value(plan.finish[name]))
                 for name in FINISHED_SIZES if name in drawn.finish and name in plan.finish)


def blanks_changed(drawn: Plan, plan: Plan) -> tuple[tuple[str, SizeChange, SizeChange], ...]:
    """Width and height of every piece but ribbons, as it first lies: name, width, height."""
    found = []
    for info in drawn.pieces:
        if not info.is_ribbon:
            before, now = drawn.states[info.id][-1][1], plan.states[info.id][-1][1]
            found.append((info.name, SizeChange("width", _size_value(before.width), _size_value(now.width)),
                          SizeChange("height", _size_value(before.height), _size_value(now.height))))
    return tuple(found)


def outgrown_sheets(problem: RegaugeProblem, plan: Plan) -> Iterator[tuple[str, StockSheet]]:
    """Each piece that is larger than a listed sheet which holds it as drawn, with that sheet."""
    for name, *sides in blanks_changed(problem.drawn_plan, plan):
        width, height = sides
        for sheet in problem.front.sheets:
            if (not any(sheet.lacking(Fraction(width.drawn), Fraction(height.drawn)))
                    and any(sheet.lacking(Fraction(width.now), Fraction(height.now)))):
                yield name, sheet


def _size_value(size: Quantity) -> Fraction | float:
    return size.value


def binding_reasons(problem: RegaugeProblem, values: ChosenLengths) -> Iterator[BindingReason]:
    """For each length the mark nearest to the drawing where another is chosen, and what excludes it."""
    for name in problem.names:
        if name in problem.pinned:
            yield BindingReason(name, problem.drawn[name], ("you keep it",))
            continue
        for nearer in _nearer(problem, name, values[name]):
            yield BindingReason(name, nearer, tuple(_reasons(problem, values, name, nearer)))
            break


def _nearer(problem: RegaugeProblem, name: str, chosen: Fraction) -> list[Fraction]:
    """Marks of the rule nearer to the drawing than the chosen one, the nearest first."""
    step, drawn = problem.bench.grid("rule"), problem.drawn[name]
    low = drawn // step * step
    marks = [m for k in range(-MAX_NEIGHBOURS, MAX_NEIGHBOURS + 2) if (m := low + k * step) > 0]
    return sorted((m for m in marks if abs(m - drawn) < abs(chosen - drawn)), key=lambda m: abs(m - drawn))


def _reasons(problem: RegaugeProblem, values: ChosenLengths, name: str, nearer: Fraction) -> list[str]:
    """What this value would break with all others as they are.

    If nothing, that the box would be the worse for it.
    """
    now = {**problem.fixed, **values, name: nearer}
    broken = [f"{c.text} would fall between two marks" for c in problem.congruences
              if name in c.form and not is_on_rule(c) and not c.holds(now)]
    broken += [need.breaks for need in problem.needs if name in need.names and not need.holds(now)]
    if not broken:
        return [f"with {length_text(nearer, problem.target)} the box as a whole would lie further from the "
                "drawing"]
    return list(dict.fromkeys(broken))[:MAX_REASONS]


def unused_lengths(problem: RegaugeProblem) -> tuple[str, ...]:
    """Lengths that no mark, no blank, no requirement and no finished size depends on."""
    used = {n for c in problem.congruences if not is_on_rule(c) for n in c.form}
    used |= {n for need in problem.needs for n in need.names} | {n for each in problem.finish.values()
                                                                 for n in each.names}
    plan = problem.drawn_plan
    used |= {n for size in plan.finish.values() for n in size.names}
    for history in plan.states.values():
        state = history[-1][1]
        used |= state.width.names | state.height.names
        used |= {n for mark in state.marks for size in (*mark.sizes, *(p for p, _ in mark.positions))
                 for n in size.names}
        used |= {n for face in state.faces for size in face.lengths for n in size.names}
    return tuple(name for name in problem.names if name not in used)
