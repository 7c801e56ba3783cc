"""Fold one piece: angles given or found from what must close, and how far each closing is from it."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from generator.folding.closing_solver import (
    CLOSED_RESIDUAL,
    AngleSolution,
    ClosingProblem,
    Faults,
    WorkBudget,
    evened_solution,
    solve,
    undetermined_angles,
)
from generator.folding.closings import (
    UNLIMITED_DISTANCE,
    Closing,
    GluedFace,
    PanelLocator,
    closings,
    edge_closings,
    glued_faces,
)
from generator.folding.features.tops import gather_closings
from generator.folding.kinematics import (
    ConditionRows,
    Linkage,
    PointLevel,
    PointsMeet,
    linkage,
    rotated_about,
)
from generator.folding.records import FlatMap, FoldedPiece, Residual
from generator.geometry.arrays import BoolArray, FloatArray, IntArray
from generator.geometry.tolerances import CLOSING_TOLERANCE, FLAT_FOLD_ANGLE, MIN_OVERLAP_SHARE
from generator.paper.records import PieceInfo, PieceState, Plan

# degrees; where the search begins, most boxes being square
START_ANGLES = (90, 60, 120, 40, 75, 150, 105, 25, 170)
MAX_FREE_ANGLES = 240     # angles to be found; more would take longer than anybody waits
LOOP_TOLERANCE = CLOSED_RESIDUAL       # mm
# radians; a fold by less is none, so folds that come to it fight each other; rounding alone opens up to 1e-4
MIN_FOLD_ANGLE = 1e-3
MIN_SLOPE = 1e-4          # mm a radian; a closing that opens by less does not feel a fold
TOO_MANY = "it has too many folds whose angles would have to be found"


def fold_piece(plan: Plan, info: PieceInfo, state: PieceState, flat: FlatMap,
               budget: WorkBudget | None = None) -> FoldedPiece:
    """The final shape of one piece, and every residual; ``budget`` bounds the search."""
    budget = budget or WorkBudget()
    link, locator = linkage(flat), PanelLocator(flat)
    glued = glued_faces(plan, info.id, locator)
    required = [*closings(plan, state, link, glued, locator), *gather_closings(plan, state, link)]
    signs = np.array([h.bend.sign for h in flat.hinges], float)
    free = np.array([h.bend.angle is None for h in flat.hinges], bool)
    if free.sum() > MAX_FREE_ANGLES:
        return _unjudged_piece(info, flat, link, TOO_MANY)
    known = np.array([h.bend.angle or 0.0 for h in flat.hinges])
    found, required = _solved(link, required, glued, signs, free, known, budget)
    # a top that does not gather bends nothing else
    if found.worst > CLOSING_TOLERANCE and any(c.kind == "gather" for c in required):
        without = [c for c in required if c.kind not in ("gather", "edge")]
        found, rest = _solved(link, without, glued, signs, free, known, budget)
        required = [*rest, *(c for c in required if c.kind == "gather")]
    if all(c.kind == "loop" for c in required) and (found.worst > LOOP_TOLERANCE
                                                    or (found.angles < MIN_FOLD_ANGLE).any()):
        return _unjudged_piece(info, flat, link,
                               "nothing on it is glued or seamed, so nothing says how far it is folded")
    if found.gave_up:
        return _unjudged_piece(info, flat, link, TOO_MANY)
    problem = ClosingProblem(_rows(link, required), signs, free, known)
    found = evened_solution(problem, found, budget)
    undetermined = undetermined_angles(problem, found.angles)
    unconstrained = _unconstrained(problem, found.angles, undetermined)
    angles = _with_resting_angles(problem, found.angles, undetermined, unconstrained)
    frames = link.frames(signs * angles)
    return FoldedPiece(info.id, info.name, flat, angles, frames, tuple(bool(p) for p in link.placed),
                       tuple(_residual(c, frames, signs * angles) for c in required),
                       tuple(int(k) for k in np.flatnonzero(undetermined)),
                       unconstrained=tuple(int(k) for k in np.flatnonzero(unconstrained)),
                       closings=tuple(required))


def _unjudged_piece(info: PieceInfo, flat: FlatMap, link: Linkage, why: str) -> FoldedPiece:
    angles = np.zeros(len(flat.hinges))
    return FoldedPiece(info.id, info.name, flat, angles, link.frames(angles),
                       tuple(bool(p) for p in link.placed), judged=False, why_not_judged=why)


def _rows(link: Linkage, required: Iterable[Closing]) -> ConditionRows:
    return ConditionRows(link, [row for closing in required for row in closing.conditions])


def _solved(link: Linkage, required: list[Closing], glued: Sequence[GluedFace], signs: FloatArray,
            free: BoolArray,
            known: FloatArray, budget: WorkBudget) -> tuple[AngleSolution, list[Closing]]:
    """Solve, see where the hinges of the tabs come to lie, and solve again with the edges they are to meet.

    In a ring of panels that is plain from the start, and must be, for the ring must not close with a panel
    less.
    """
    starts, faults = tuple(_starts(link, glued, required)), _solution_check(link, glued, required, signs)
    rings = [s for s in glued if parallel_ring(link, s) is not None]
    met = edge_closings(link, rings, signs * np.where(free, starts[0], known), UNLIMITED_DISTANCE)
    found = solve(ClosingProblem(_rows(link, [*required, *met]), signs, free, known), starts, faults,
                  budget=budget)
    if found.gave_up:
        return found, [*required, *met]
    taken = {(c.act, c.index) for c in met}
    more = edge_closings(link, [s for s in glued if (s.act.number, s.index) not in taken],
                         signs * found.angles)
    required = [*required, *met, *more]
    if not more:
        return found, required
    return solve(ClosingProblem(_rows(link, required), signs, free, known), (found.angles, *starts), faults,
                 budget=budget), required


def _starts(link: Linkage, glued: Sequence[GluedFace], required: Sequence[Closing]) -> Iterable[FloatArray]:
    """Angles to begin with: a ring of n parallel hinges begins, and ends, at 360/n each.

    Petals that are gathered begin half-way up, so that they close outside the box and not inside it.
    """
    ring = np.full(len(link.flat.hinges), np.nan)
    gathered = {k for c in required if c.kind == "gather" for k in (c.one, c.other)}
    ring[[arm.hinge for arm in link.arms if arm.panel in gathered]] = np.pi / 4
    for between in _parallel_rings(link, glued):
        ring[between] = 2 * np.pi / len(between)
    for degrees in START_ANGLES:
        yield np.where(np.isnan(ring), np.radians(degrees), ring)


def _parallel_rings(link: Linkage, glued: Sequence[GluedFace]) -> list[IntArray]:
    """Rows of parallel hinges between a tab and what it is glued to."""
    return [row for row in (parallel_ring(link, s) for s in glued) if row is not None]


def parallel_ring(link: Linkage, each: GluedFace) -> IntArray | None:
    """The parallel hinges between a tab and what it is glued to, by number; None if they are not parallel."""
    row = np.flatnonzero(link.paths[each.panel] ^ link.paths[each.target_panel])
    return row if each.paired and len(row) > 1 and _parallel(link, row) else None


def _parallel(link: Linkage, hinges: IntArray) -> bool:
    steps = [link.flat.hinges[k].direction for k in hinges]
    return all(abs(steps[0][0] * s[1] - steps[0][1] * s[0]) < 1e-6 for s in steps)


def _solution_check(link: Linkage, glued: Sequence[GluedFace], required: Sequence[Closing],
                    signs: FloatArray) -> Callable[[FloatArray], Faults]:
    """What is wrong with a solution that closes: faces beside what they are glued to, then folds that fight.

    Glued faces lie on each other, and not only in one plane; a ring goes round
    once. No seam closes a net flat, and no fold stays flat.
    """
    rings = _parallel_rings(link, glued)
    rigid = [s for s in glued
             if all(link.placed[k] and not link.flat.panels[k].soft for k in (s.panel, s.target_panel))]
    pairs = {(s.panel, s.target_panel) for s in rigid}
    seamed = {k for c in required if c.kind == "seam" for k in (c.one, c.other)}
    joined = {k for pair in pairs for k in pair} | {k for c in required if c.kind == "gather"
                                                    for k in (c.one, c.other)}
    upright = np.array([bool({h.left, h.right} & seamed) and not {h.left, h.right} & joined
                        for h in link.flat.hinges], bool)

    def faults(angles: FloatArray) -> Faults:
        frames = link.frames(signs * angles)
        wound = sum(abs((signs * angles)[ring].sum()) > 2 * np.pi + 0.02 for ring in rings)
        closed_flat, unfolded = (angles[upright] > FLAT_FOLD_ANGLE).sum(), (angles < MIN_FOLD_ANGLE).sum()
        return len(faces_off_target(link.flat, frames, rigid)) + int(wound), int(closed_flat + unfolded)
    return faults


def faces_off_target(flat: FlatMap, frames: FloatArray, glued: Sequence[GluedFace]) -> list[GluedFace]:
    """Glued faces that do not lie on their target; of those glued on each other, that lie on none of them."""
    groups: dict[int, set[int]] = {}
    for each in glued:
        if not each.paired:
            groups.setdefault(each.act.number, {each.target_panel}).add(each.panel)
    return [s for s in glued if s.panel != s.target_panel and all(
        overlap_share(flat, frames, s.panel, other) < MIN_OVERLAP_SHARE
        for other in ({s.target_panel} if s.paired else groups[s.act.number] - {s.panel}))]


def overlap_share(flat: FlatMap, frames: FloatArray, one: int, other: int) -> float:
    """The share of a panel that lies on another one, both taken as flat in the other's plane."""
    shape, under = in_frame_of(flat, frames, one, other), flat.panels[other].polygon
    return shape.intersection(under).area / max(min(shape.area, under.area), 1e-9)


def in_frame_of(flat: FlatMap, frames: FloatArray, one: int, other: int,
                shape: BaseGeometry | None = None) -> BaseGeometry:
    """A panel (or a shape in it) as it lies over the flat frame of another one."""
    move = np.linalg.inv(frames[other]) @ frames[one]
    polygon: BaseGeometry = flat.panels[one].polygon if shape is None else shape
    result = moved_in_plane(polygon, move)
    return result if result.is_valid else result.buffer(0)


def moved_in_plane(shape: BaseGeometry, move: FloatArray) -> BaseGeometry:
    """A shape of the plane after a motion (4 × 4), of which x and y are taken."""
    result: BaseGeometry = shapely.transform(shape, lambda xy: xy @ move[:2, :2].T + move[:2, 3])
    return result


def _unconstrained(problem: ClosingProblem, angles: FloatArray, undetermined: BoolArray) -> BoolArray:
    """Which of the loose hinges (bool) no closing condition feels at all."""
    if not undetermined.any() or not problem.rows.conditions:
        return undetermined
    result: BoolArray = undetermined & (np.abs(problem.slopes(angles)[1]).max(axis=0) < MIN_SLOPE)
    return result


def _with_resting_angles(problem: ClosingProblem, angles: FloatArray, undetermined: BoolArray,
                         untouched: BoolArray) -> FloatArray:
    """Angles with those that nothing touches as others of their statement are that something settles.

    Where there are no such others they stand at a right angle, or flat where all that is settled lies flat.
    """
    settled = angles[problem.free & ~undetermined]
    rest = np.pi if len(settled) and settled.min() > np.pi - MIN_FOLD_ANGLE else np.pi / 2
    acts = np.array([h.bend.act for h in problem.rows.link.flat.hinges])
    result = angles.copy()
    for k in np.flatnonzero(untouched):
        like = angles[(acts == acts[k]) & ~untouched]
        result[k] = np.median(like) if len(like) else rest
    return result


def _residual(closing: Closing, frames: FloatArray, angles: FloatArray) -> Residual:
    gap = max((_gap(c, frames, angles) for c in closing.conditions), default=0.0)
    one, other = frames[closing.one][:3, 2], frames[closing.other][:3, 2]
    turn = np.degrees(np.arcsin(min(float(np.linalg.norm(np.cross(one, other))),
                                    1.0))) if closing.kind == "glue" else 0.0
    return Residual(closing.kind, closing.act, closing.index, gap, float(turn), closing.span)


def _gap(c: PointsMeet | PointLevel, frames: FloatArray, angles: FloatArray) -> float:
    point = np.array((*c.p, 0.0, 1.0))
    if isinstance(c, PointsMeet) and c.hinge is not None:
        point = rotated_about(c.hinge, point, angles)
    apart = (frames[c.one] @ point - frames[c.other] @ np.array((*c.q, 0.0, 1.0)))[:3]
    if isinstance(c, PointLevel):
        return float(abs((frames[c.other][:3, :3] @ c.along) @ apart))
    return float(np.linalg.norm(apart))
