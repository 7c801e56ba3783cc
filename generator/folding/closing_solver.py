"""Angles that satisfy closing conditions: bounded damped least squares (Levenberg 1944, Marquardt 1963)."""
from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from generator.dataclass import dataclass, replace
from generator.folding.kinematics import ConditionRows
from generator.geometry.arrays import BoolArray, FloatArray, IntArray, ReadOnlyArrays

MAX_STEPS = 120        # most steps from one start
MAX_IDLE_STEPS = 8        # steps in a row that gain next to nothing, before a start is given up
MAX_SEARCH_WORK = 8e8     # rows × angles² and the like of all steps of one search: a second
MAX_PLAN_WORK = 1.6e9     # … and of all searches for one plan
MAX_PLAN_PANELS = 1000   # of all pieces together
SLOPE_COST = 60         # sums for each slope of a row by an angle
ROUNDING_RESIDUAL = 1e-12        # mm; a residual below it is the dust of arithmetic
# mm; what leaves less closes: some 10⁶ times rounding, and a thousandth of what is tolerated
CLOSED_RESIDUAL = 1e-4
MIN_SINGULAR_RATIO = 1e-6   # of the strongest singular value; directions that close less are taken as free
MIN_FREE_MOVE = 1e-4        # share of a unit of play by which an angle moves, for it to be loose
# of the strongest singular value, in the last steps: they would run off along play that rounding stiffens
MIN_STEP_RATIO = 1e-7
# mm; of starts that all fail, one is better only if it leaves less by more than this
SAME_RESIDUAL = 1e-3
EVENING_RESIDUAL = 1e-6     # mm; angles are made even as long as no more than this opens
MAX_EVENING_STEPS = 12       # steps towards even angles
MIN_ANGLE = 0.0         # radians; a fold may come to lie flat, never bend the other way
MAX_ANGLE = np.pi


Faults = tuple[int, ...]    # how often each kind of fault occurs, the gravest first; none without any


@dataclass(frozen=True, slots=True, eq=False)
class ClosingProblem(ReadOnlyArrays):
    """The conditions ``rows`` hold where hinges are bent by ``signs`` × angle.

    ``free`` (bool) are to be found, the others stand in ``known`` (radians).
    """

    rows: ConditionRows
    signs: FloatArray
    free: BoolArray
    known: FloatArray

    def gaps(self, angles: FloatArray) -> FloatArray:
        """How far each condition is from holding (rows, mm)."""
        return self.rows.gaps(self.signs * angles)

    def slopes(self, angles: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Gaps, and their derivatives by the angles (rows × hinges, mm per radian)."""
        gaps, slopes = self.rows.slopes(self.signs * angles)
        return gaps, slopes * self.signs


@dataclass(slots=True)
class WorkBudget:
    """Work that may still be spent on a plan; it goes down as it is spent."""

    left: float = MAX_PLAN_WORK
    panels: int = MAX_PLAN_PANELS


@dataclass(frozen=True, slots=True, eq=False)
class AngleSolution(ReadOnlyArrays):
    """``angles`` of all hinges (radians, 0 to π) and the largest residual left, in mm.

    ``gave_up`` when the search was given up before it had tried everything.
    """

    angles: FloatArray
    worst: float
    work: float = 0.0
    gave_up: bool = False


def solve(problem: ClosingProblem, starts: Sequence[FloatArray],
          faults: Callable[[FloatArray], Faults] = lambda _: (),
          enough: float = CLOSED_RESIDUAL, budget: WorkBudget | None = None) -> AngleSolution:
    """The best solution from several starts.

    The first that closes to ``enough`` mm without ``faults`` is taken: how much is wrong with a solution, as
    counts that do not hang on rounding, the gravest first. Where no start leads to one, that which leaves
    least is taken, of several that with the fewest faults, and of those the first: residuals closer than
    :data:`SAME_RESIDUAL` are equal, since what parts them is rounding and must not choose what is reported.
    Starts are given up once :data:`MAX_SEARCH_WORK`, or what is left of the budget, is spent.
    """
    best: AngleSolution | None = None
    least: Faults = ()
    done, work, budget = False, 0.0, budget or WorkBudget()
    most = min(MAX_SEARCH_WORK, budget.left)
    for start in starts:
        found = descend(problem, start, most - work)
        wrong = faults(found.angles)
        done = found.worst <= enough and not any(wrong)
        nearer = best is None or found.worst < best.worst - SAME_RESIDUAL
        if best is None or done or nearer or (wrong < least and found.worst < best.worst + SAME_RESIDUAL):
            best, least = found, wrong
        work += found.work
        if done or work >= most:
            break
    budget.left -= work
    if best is None:
        raise ValueError("a search needs a start")
    return replace(best, gave_up=bool(not done and work >= most))


def descend(problem: ClosingProblem, start: FloatArray, allowed: float = np.inf) -> AngleSolution:
    """The angles to which a search from one start comes down; given up once ``allowed`` is spent."""
    angles = np.where(problem.free, np.clip(start, MIN_ANGLE + 1e-6, MAX_ANGLE - 1e-6), problem.known)
    if not problem.rows.conditions:
        return AngleSolution(angles, 0.0)
    gaps, slopes = problem.slopes(angles)
    cost, damping, idle, work = gaps @ gaps, 1e-3, 0, 0.0
    price = _step_cost(problem, len(gaps))
    for _ in range(MAX_STEPS if problem.free.any() else 0):
        work += price
        tried = np.clip(angles + _step(problem, angles, gaps, slopes, damping), MIN_ANGLE, MAX_ANGLE)
        new_gaps = problem.gaps(tried)
        if (new := new_gaps @ new_gaps) < cost:
            idle = 0 if new < cost * (1 - 1e-3) else idle + 1
            small = np.abs(tried - angles).max() < 1e-14
            angles, cost, damping = tried, new, max(damping * 0.2, 1e-15)
            gaps, slopes = problem.slopes(angles)
            if np.abs(gaps).max() < ROUNDING_RESIDUAL or small:
                break
        else:
            damping *= 6
        if damping > 1e8 or idle > MAX_IDLE_STEPS or work >= allowed:
            break
    return AngleSolution(angles, float(np.abs(gaps).max()), work)


def _step_cost(problem: ClosingProblem, rows: int) -> float:
    """What one step costs: the sums it solves, and the slopes it works out."""
    free = int(problem.free.sum())
    return float((rows + free) * free ** 2 + SLOPE_COST * rows * len(problem.free))


def _step(problem: ClosingProblem, angles: FloatArray, gaps: FloatArray, slopes: FloatArray,
          damping: float) -> FloatArray:
    """The damped step of least length; an angle at its bound is not pushed further."""
    pull = slopes.T @ gaps
    blocked = ((angles <= MIN_ANGLE) & (pull > 0)) | ((angles >= MAX_ANGLE) & (pull < 0))
    active = np.flatnonzero(problem.free & ~blocked)
    step = np.zeros_like(angles)
    if not len(active):
        return step
    part = slopes[:, active]
    scale = max(float((part ** 2).sum(axis=0).max()), 1e-12)
    if damping < 1e-9:      # the last steps undamped, so that they converge all the way
        step[active] = -np.linalg.lstsq(part, gaps, rcond=MIN_STEP_RATIO)[0]
        return np.clip(step, -0.5, 0.5)
    step[active] = -np.linalg.solve(part.T @ part + damping * scale * np.eye(len(active)), pull[active])
    return np.clip(step, -0.5, 0.5)


def undetermined_angles(problem: ClosingProblem, angles: FloatArray) -> BoolArray:
    """Which free angles (bool) the null space of the slopes moves: others would open nothing."""
    free = np.flatnonzero(problem.free)
    result = np.zeros(len(angles), bool)
    if len(free):
        # the length of a column does not depend on which directions span the null space, as its entries do
        result[free] = np.linalg.norm(_null_space(problem, angles, free), axis=0) > MIN_FREE_MOVE
    return result


def _null_space(problem: ClosingProblem, angles: FloatArray, free: IntArray) -> FloatArray:
    """Directions (rows, orthonormal) in which the free angles may move and nothing opens, to first order."""
    if not problem.rows.conditions:
        return np.eye(len(free))
    _, slopes = problem.slopes(angles)
    # as few rows as there are angles, with the same null space
    square = np.asarray(np.linalg.qr(slopes[:, free], mode="r"))
    square = np.concatenate([square, np.zeros((max(len(free) - len(square), 0), len(free)))])
    _, sizes, rows = np.linalg.svd(square)
    return rows[int((sizes > MIN_SINGULAR_RATIO * max(sizes.max(initial=0), 1)).sum()):]


def evened_solution(problem: ClosingProblem, found: AngleSolution,
                    budget: WorkBudget | None = None) -> AngleSolution:
    """Where angles have play, the solution in which they are most even: the least sum of squares."""
    free, budget = np.flatnonzero(problem.free), budget or WorkBudget()
    closes = found.worst < 1e-3
    for _ in range(MAX_EVENING_STEPS if problem.rows.conditions and len(free) and closes else 0):
        play = _null_space(problem, found.angles, free)
        budget.left -= 4 * _step_cost(problem, len(problem.rows.conditions))
        step = -play.T @ (play @ found.angles[free])
        if not len(play) or np.abs(step).max() < 1e-9 or budget.left <= 0:
            break
        tried = found.angles.copy()
        tried[free] = np.clip(tried[free] + np.clip(step, -0.3, 0.3), MIN_ANGLE, MAX_ANGLE)
        better = descend(problem, tried, budget.left)
        budget.left -= better.work
        opens = better.worst > max(2 * found.worst, EVENING_RESIDUAL)
        if opens or (better.angles ** 2).sum() >= (found.angles ** 2).sum() - 1e-12:
            break
        found = better
    return found
