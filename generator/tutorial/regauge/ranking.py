"""How choices are ranked: close to the drawing, or friendly to the eye."""
from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from generator.tutorial.regauge.problem import RegaugeProblem, Window
from generator.tutorial.regauge.sums import Sum
from generator.units import MM_PER_INCH

CLOSE, FRIENDLY = "close", "friendly"
PREFERENCES = (CLOSE, FRIENDLY)
DUST = 12           # decimals of a relative change of a finished size; what is finer is the dust of arithmetic
Values = Mapping[str, Fraction]
Coarseness = tuple[int, ...]
# from the friendliest: multiples of the first step count as level 0, of the second as level 1 …
LEVELS = {"in": (MM_PER_INCH / 4, MM_PER_INCH / 8, MM_PER_INCH / 16), "mm": (Fraction(5), Fraction(1))}


def level(value: Fraction, system: str) -> int:
    """0 for quarters (or 5 mm), 1 for eighths (1 mm), 2 for sixteenths …"""
    steps = LEVELS[system]
    return next((k for k, step in enumerate(steps) if value % step == 0), len(steps))


def easiest(window: Window, system: str) -> int:
    """The lowest level that any value of a window has."""
    steps = LEVELS[system]
    return next((k for k, step in enumerate(steps) if window.high // step * step >= window.low), len(steps))


def change(problem: RegaugeProblem, name: str, value: Fraction) -> Fraction:
    """Relative change of a named length against the drawing."""
    drawn = problem.drawn[name]
    return abs(value - drawn) / drawn


def finish_change(problem: RegaugeProblem, values: Values) -> float:
    """The largest relative change of a finished size that can be told from ``values`` (all its names are there)."""
    told = (each for each in problem.finish.values() if each.names <= values.keys())
    return max((size_change(each, drawn, values) for each in told if (drawn := each.size(problem.drawn))), default=0.0)


def size_change(size: Sum, drawn: float, values: Values) -> float:
    """The relative change of one finished size, 0 where it cannot be worked out."""
    now = size.size(values)
    return round(abs(now - drawn) / abs(drawn), DUST) if now is not None else 0.0


def coarseness(problem: RegaugeProblem, values: Values) -> Coarseness:
    """How many named lengths need the finest steps, the finest first."""
    return levels_of((level(values[n], problem.target) for n in problem.names if n in values), problem.target)


def levels_of(found: Iterable[int], system: str) -> Coarseness:
    """Counts of levels, the finest first; level 0 is not counted."""
    found = tuple(found)
    return tuple(found.count(k) for k in range(len(LEVELS[system]), 0, -1))


def key(problem: RegaugeProblem, prefer: str, values: Values, finished: float | None = None) -> tuple:
    """The rank of a choice; the smaller the better, ties broken by the values themselves.

    close: largest relative change of what ``finish`` names, then the sum of
    all relative changes, then coarser marks. friendly: fewest of the finest
    fractions first, then close. A part of a choice is ranked by what it holds.
    ``finished`` is :func:`finish_change` where it is known already.
    """
    if finished is None:
        finished = finish_change(problem, values)
    chosen = [n for n in sorted(problem.names) if n in values]
    total = sum((change(problem, n, values[n]) for n in chosen), Fraction(0))
    levels = coarseness(problem, values)
    close = (finished, total)
    return (*((*close, levels) if prefer == CLOSE else (levels, *close)), tuple(values[n] for n in chosen))
