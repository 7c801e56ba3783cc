"""How choices are ranked: close to the drawing, or friendly to the eye."""
from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from generator.tutorial.regauge.problem import Problem
from generator.units import MM_PER_INCH

CLOSE, FRIENDLY = "close", "friendly"
DUST = 12           # decimals of a relative change; what is finer is the dust of arithmetic
Values = Mapping[str, Fraction]
# from the friendliest: multiples of the first step count as level 0, of the second as level 1 …
LEVELS = {"in": (MM_PER_INCH / 4, MM_PER_INCH / 8, MM_PER_INCH / 16), "mm": (Fraction(5), Fraction(1))}


def level(value: Fraction, system: str) -> int:
    """0 for quarters (or 5 mm), 1 for eighths (1 mm), 2 for sixteenths …"""
    steps = LEVELS[system]
    return next((k for k, step in enumerate(steps) if value % step == 0), len(steps))


def change(problem: Problem, name: str, value: Fraction) -> Fraction:
    """Relative change of a named length against the drawing."""
    drawn = problem.drawn[name]
    return abs(value - drawn) / drawn


def finish_changes(problem: Problem, values: Values) -> list[float]:
    """Relative change of each finished size that can be told from ``values`` (all its names are there)."""
    changes = []
    for each in problem.finish.values():
        if each.names <= values.keys():
            drawn, now = each.size(problem.drawn), each.size(values)
            if drawn and now is not None:
                changes.append(round(abs(now - drawn) / abs(drawn), DUST))
    return changes


def key(problem: Problem, prefer: str, values: Values) -> tuple:
    """The rank of a whole choice; the smaller the better, ties broken by the values themselves.

    close: largest relative change of what ``finish`` names, then the sum of
    all relative changes, then coarser marks. friendly: fewest of the finest
    fractions first, then close.
    """
    finished = max(finish_changes(problem, values), default=0.0)
    total = round(float(sum(change(problem, n, v) for n, v in values.items())), DUST)
    levels = coarseness(problem, values)
    close = (finished, total, levels)
    return (close if prefer == CLOSE else (levels, *close), tuple(values[n] for n in sorted(values)))


def coarseness(problem: Problem, values: Values) -> tuple[int, ...]:
    """How many named lengths need the finest steps, the finest first."""
    found = [level(v, problem.target) for v in values.values()]
    deepest = len(LEVELS[problem.target])
    return tuple(found.count(k) for k in range(deepest, 0, -1))
