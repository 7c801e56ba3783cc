"""Nothing fits: which demand would have to give way least for something to fit."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from generator.tutorial.regauge.conflict import KEEP, MARKS, Conflict, Demand
from generator.tutorial.regauge.problem import YIELD, Problem, Window, is_quoted, windows_of
from generator.tutorial.regauge.search import feasible
from generator.tutorial.regauge.words import plain, said
from generator.units import Congruence

WORK = 600          # of one question whether anything fits
WIDEST = 50         # per cent


@dataclass(frozen=True, slots=True)
class Relaxation:
    """What gives way, and the choice that then fits (mm, by name)."""

    says: str
    values: dict[str, Fraction]


def relaxations(problem: Problem, found: Sequence[Conflict]) -> tuple[Relaxation, ...]:
    """What would help, each alone: what was asked for on the spot first, then finer tools, then a wider window."""
    demands = list({id(d): d for conflict in found for d in conflict.demands}.values())
    tries = (*_without_keep(problem, demands), *_finer(problem, demands), *_fewer(problem, demands), *_wider(problem))
    return tuple(tries)


def _without_keep(problem: Problem, demands: Sequence[Demand]) -> Iterator[Relaxation]:
    for each in demands:
        if each.kind == KEEP:
            value = problem.kept[each.name]
            yield from _tried(_freed(problem, each.name),
                              f"without keeping {plain(each.name)} at {said(value, problem.target)}")


def _freed(problem: Problem, name: str) -> Problem:
    windows = _windows(problem, problem.within)
    return replace(problem, windows={**problem.windows, name: windows[name]},
                   kept={n: v for n, v in problem.kept.items() if n != name})


def _finer(problem: Problem, demands: Sequence[Demand]) -> Iterator[Relaxation]:
    """The marks of one call with the rule in place of a coarser tool, or with a tool marked twice as finely."""
    rule = problem.bench.grid("rule")
    for each in demands:
        if each.kind != MARKS:
            continue
        step = each.congruences[0].step
        if step > rule:
            yield from _tried(_stepped(problem, each, rule), f"with {each.says} made with the hand rule instead (tool=rule)")
        else:
            finer = said(step / 2, problem.target)
            yield from _tried(_stepped(problem, each, step / 2), f"with a tool marked every {finer} for {each.says}")


def _stepped(problem: Problem, demand: Demand, step: Fraction) -> Problem:
    own = set(map(id, demand.congruences))
    return replace(problem, congruences=tuple(
        Congruence(c.form, step, c.says) if id(c) in own else c for c in problem.congruences))


def _fewer(problem: Problem, demands: Sequence[Demand]) -> Iterator[Relaxation]:
    for each in demands:
        if each.need is not None and each.need.kind == YIELD:
            without = replace(problem, needs=tuple(n for n in problem.needs if n is not each.need))
            yield from _tried(without, f"without {each.says}")


def _wider(problem: Problem) -> Iterator[Relaxation]:
    """The smallest window, in whole per cent, within which something fits."""
    low, high = int(problem.within * 100), WIDEST
    if high <= low or not (values := feasible(_within(problem, high), WORK)):
        return
    while high - low > 1:
        middle = (low + high) // 2
        narrower = feasible(_within(problem, middle), WORK)
        low, high, values = (low, middle, narrower) if narrower else (middle, high, values)
    yield Relaxation(f"within {high} % of the drawn lengths (--within {high})", values)


def _within(problem: Problem, percent: int) -> Problem:
    wider = _windows(problem, Fraction(percent, 100))
    return replace(problem, windows={n: problem.windows[n] if n in problem.kept else wider[n] for n in problem.windows})


def _windows(problem: Problem, within: Fraction) -> dict[str, Window]:
    marks = [c for c in problem.congruences if not is_quoted(c)]
    return windows_of(problem.drawn, marks, problem.bench, within)


def _tried(relaxed: Problem, says: str) -> Iterator[Relaxation]:
    values = feasible(relaxed, WORK)
    if values:
        yield Relaxation(says, values)
