"""Angles that satisfy closing conditions: damped least squares within bounds (Levenberg 1944, Marquardt 1963)."""
from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from generator.folding.conditions import Condition, Rows
from generator.folding.linkage import Linkage

ROUNDS = 120        # most steps from one start
PATIENCE = 8        # steps in a row that gain next to nothing, before a start is given up
MOST_WORK = 8e8     # rows × angles² and the like of all steps of one search: a second
ALL_WORK = 1.6e9     # … and of all searches for one plan
ALL_PANELS = 1000   # of all pieces together
SLOPES = 60         # sums for each slope of a row by an angle
GONE = 1e-12        # mm; a residual below it is the dust of arithmetic
EVENINGS = 12       # steps towards even angles
LEAST = 0.0         # radians; a fold may come to lie flat, never bend the other way
MOST = np.pi


@dataclass(frozen=True, eq=False)
class Problem:
    """Hinges are bent by ``signs`` × angle; ``free`` (bool) are to be found, the others stand in ``known`` (radians)."""

    link: Linkage
    conditions: tuple[Condition, ...]
    signs: np.ndarray
    free: np.ndarray
    known: np.ndarray

    @cached_property
    def rows(self) -> Rows:
        return Rows(self.link, self.conditions)

    def gaps(self, angles: np.ndarray) -> np.ndarray:
        return self.rows.gaps(self.signs * angles)

    def slopes(self, angles: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        gaps, slopes = self.rows.slopes(self.signs * angles)
        return gaps, slopes * self.signs


@dataclass(slots=True)
class Budget:
    """Work that may still be spent on a plan; it goes down as it is spent, and nobody waits longer than it lasts."""

    left: float = ALL_WORK
    panels: int = ALL_PANELS


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """``angles`` of all hinges (radians, 0 to π) and the largest residual left, in mm.

    ``weary`` when the search was given up before it had tried everything.
    """

    angles: np.ndarray
    worst: float
    work: float = 0.0
    weary: bool = False


def solve(problem: Problem, starts: Sequence[np.ndarray], sound: Callable[[np.ndarray], bool] = lambda angles: True,
          enough: float = 1e-7, budget: Budget | None = None) -> Solution:
    """The best solution from several starts; the first that closes to ``enough`` mm and is ``sound`` is taken.

    A sound one that closes comes before one that is not, whatever dust of arithmetic parts them.
    Starts are given up once :data:`MOST_WORK`, or what is left of the budget, is spent.
    """
    best, rank, work, budget = None, (True, np.inf), 0.0, budget or Budget()
    most = min(MOST_WORK, budget.left)
    for start in starts:
        found = descend(problem, start, most - work)
        score = (found.worst > enough or not sound(found.angles), found.worst)
        if best is None or score < rank:
            best, rank = found, score
        work += found.work
        if not rank[0] or work >= most:
            break
    budget.left -= work
    return replace(best, weary=bool(rank[0] and work >= most))


def descend(problem: Problem, start: np.ndarray, allowed: float = np.inf) -> Solution:
    """The angles to which a search from one start comes down; given up once ``allowed`` is spent."""
    angles = np.where(problem.free, np.clip(start, LEAST + 1e-6, MOST - 1e-6), problem.known)
    if not problem.conditions:
        return Solution(angles, 0.0)
    gaps, slopes = problem.slopes(angles)
    cost, damping, idle, work = gaps @ gaps, 1e-3, 0, 0.0
    price = _price(problem, len(gaps))
    for _ in range(ROUNDS if problem.free.any() else 0):
        work += price
        tried = np.clip(angles + _step(problem, angles, gaps, slopes, damping), LEAST, MOST)
        new_gaps = problem.gaps(tried)
        if (new := new_gaps @ new_gaps) < cost:
            idle = 0 if new < cost * (1 - 1e-3) else idle + 1
            small = np.abs(tried - angles).max() < 1e-14
            angles, cost, damping = tried, new, max(damping * 0.2, 1e-15)
            gaps, slopes = problem.slopes(angles)
            if np.abs(gaps).max() < GONE or small:
                break
        else:
            damping *= 6
        if damping > 1e8 or idle > PATIENCE or work >= allowed:
            break
    return Solution(angles, float(np.abs(gaps).max()), work)


def _price(problem: Problem, rows: int) -> float:
    """What one step costs: the sums it solves, and the slopes it works out."""
    free = int(problem.free.sum())
    return float((rows + free) * free ** 2 + SLOPES * rows * len(problem.free))


def _step(problem: Problem, angles: np.ndarray, gaps: np.ndarray, slopes: np.ndarray, damping: float) -> np.ndarray:
    """The damped step of least length; an angle at its bound is not pushed further."""
    pull = slopes.T @ gaps
    stuck = ((angles <= LEAST) & (pull > 0)) | ((angles >= MOST) & (pull < 0))
    active = np.flatnonzero(problem.free & ~stuck)
    step = np.zeros_like(angles)
    if not len(active):
        return step
    part = slopes[:, active]
    scale = max(float((part ** 2).sum(axis=0).max()), 1e-12)
    if damping < 1e-9:      # the last steps undamped, so that they converge all the way
        step[active] = -np.linalg.lstsq(part, gaps, rcond=1e-11)[0]
        return np.clip(step, -0.5, 0.5)
    step[active] = -np.linalg.solve(part.T @ part + damping * scale * np.eye(len(active)), pull[active])
    return np.clip(step, -0.5, 0.5)


def unsettled(problem: Problem, angles: np.ndarray) -> np.ndarray:
    """Which free angles (bool) could be others without opening anything: those in the null space of the slopes."""
    free = np.flatnonzero(problem.free)
    result = np.zeros(len(angles), bool)
    if len(free):
        result[free] = (np.abs(_play(problem, angles, free)) > 1e-4).any(axis=0)
    return result


def _play(problem: Problem, angles: np.ndarray, free: np.ndarray) -> np.ndarray:
    """Directions (rows, orthonormal) in which the free angles may move and nothing opens, to first order."""
    if not problem.conditions:
        return np.eye(len(free))
    _, slopes = problem.slopes(angles)
    square = np.linalg.qr(slopes[:, free], mode="r")    # as few rows as there are angles, with the same null space
    square = np.concatenate([square, np.zeros((max(len(free) - len(square), 0), len(free)))])
    _, sizes, rows = np.linalg.svd(square)
    return rows[int((sizes > 1e-6 * max(sizes.max(initial=0), 1)).sum()):]


def evened(problem: Problem, found: Solution, budget: Budget | None = None) -> Solution:
    """Where angles have play, the solution in which they are as even as they can be (least sum of squares)."""
    free, budget = np.flatnonzero(problem.free), budget or Budget()
    closes = found.worst < 1e-3
    for _ in range(EVENINGS if problem.conditions and len(free) and closes else 0):
        play = _play(problem, found.angles, free)
        budget.left -= 4 * _price(problem, len(problem.conditions))
        step = -play.T @ (play @ found.angles[free])
        if not len(play) or np.abs(step).max() < 1e-9 or budget.left <= 0:
            break
        tried = found.angles.copy()
        tried[free] = np.clip(tried[free] + np.clip(step, -0.3, 0.3), LEAST, MOST)
        better = descend(problem, tried, budget.left)
        budget.left -= better.work
        if better.worst > max(2 * found.worst, 1e-9) or (better.angles ** 2).sum() >= (found.angles ** 2).sum() - 1e-12:
            break
        found = better
    return found
