"""Cuts and slits stop at the score they lead to.

Curved folds keep clear of what they begin and end with: neighbours that meet again, or run along each other,
leave no paper to fold.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

import numpy as np
import shapely
from shapely import Point

from generator.dataclass import dataclass
from generator.findings import Finding, finding
from generator.folding.piece_context import PieceContext, length_text
from generator.geometry import Line, Stroke
from generator.geometry.arrays import FloatArray
from generator.geometry.strokes import polyline
from generator.geometry.tolerances import (
    ALIGNED_TOLERANCE,
    END_TOLERANCE,
    MAX_OVERRUN,
    MIN_OVERRUN,
    TANGENT_CHORD_TOLERANCE,
)
from generator.paper.records import Fold, Mark, PieceState, Plan


def slit_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each statement with a cut that ends a little behind a fold."""
    marks = {mark.id: mark for mark in context.state.marks}
    folds = [shapely.LineString(polyline(run))
             for fold in context.state.folds for run in fold.runs]
    # a cut along a score stops where another cut meets it
    stops = [*folds, *(shapely.linestrings([(float(p.x), float(p.y)) for p in run.flattened()])
                       for mark in context.state.marks if mark.kind.cuts for run in mark.runs)]
    reported: set[int] = set()
    for ident, tip in context.folded.flat.tips:
        mark = marks[ident]
        past = _overrun(mark, tip, stops if _lies_on_fold(tip, folds) else folds)
        if past is not None and mark.act not in reported:
            reported.add(mark.act)
            name = f" '{mark.name}'" if mark.name else ""
            yield finding("cut-overruns", mark.span,
                          f"the {mark.verb}{name} runs {context.length_text(past)} past the score it comes "
                          "to",
                          "end it at the score, or a hair before it")
        elif mark.act not in reported and (short := _shortfall(mark, tip, folds)) is not None:
            reported.add(mark.act)
            name = f" '{mark.name}'" if mark.name else ""
            yield finding("cut-short", mark.span,
                          f"the {mark.verb}{name} ends {context.length_text(short)} before the score it "
                          "should reach", "end it at the score, or a hair before it")


def _overrun(mark: Mark, tip: FloatArray, folds: list[shapely.LineString]) -> float | None:
    """How far a cut runs on behind the last fold it meets; None where it ends on a fold, or far from any.

    Where it ends within a fold, folds along that one do not count: a cut may end at the second of two. All of
    a cut that runs along a fold from the edge of the paper is too much.
    """
    found, end_at = [], shapely.Point(tip)
    held = [fold for fold in folds if fold.distance(end_at) < 1e-3]
    for run in mark.runs:
        line = shapely.LineString(polyline(run))
        if line.distance(end_at) > 1e-3:
            continue
        end = line.project(end_at)
        for fold in folds:
            meet = line.intersection(fold)
            if _runs_along_fold(run, fold):
                found += [line.length] if fold.boundary.distance(end_at) < 1e-3 < line.length else []
            elif isinstance(meet, Point) and not meet.is_empty and not any(map(partial(_along, fold), held)):
                found.append(abs(line.project(meet) - end))
    past = min((far for far in found if far > MIN_OVERRUN), default=None) if held or not any(
        far <= MIN_OVERRUN for far in found) else None
    return past if past is not None and past <= MAX_OVERRUN else None


def _lies_on_fold(tip: FloatArray, folds: list[shapely.LineString]) -> bool:
    """Whether a cut ends within a fold, which goes on along its line."""
    return any(fold.distance(shapely.Point(tip)) < 1e-3 for fold in folds)


def _shortfall(mark: Mark, tip: FloatArray, folds: list[shapely.LineString]) -> float | None:
    """How far a cut ends before a fold that lies straight ahead of it; None where none is so near."""
    for run in mark.runs:
        ends = [np.array([float(p.x), float(p.y)]) for p in (run.start, run.end)]
        end, before = ends if np.hypot(*(ends[0] - tip)) < np.hypot(*(ends[1] - tip)) else ends[::-1]
        step = end - before
        if np.hypot(*(end - tip)) > 1e-3 or not isinstance(run, Line):
            continue
        ahead = shapely.LineString([tip, tip + MAX_OVERRUN / 2 * step / np.hypot(*step)])
        near = [float(shapely.Point(tip).distance(ahead.intersection(fold))) for fold in folds
                if ahead.intersects(fold) and not _runs_along_fold(run, fold)]
        if near and min(near) > ALIGNED_TOLERANCE:
            return min(near)
    return None


def _runs_along_fold(run: Stroke, fold: shapely.LineString) -> bool:
    """Whether a fold runs along the cut's own line, so that it is not one to stop at."""
    return isinstance(run, Line) and _along(shapely.LineString(polyline(run)), fold)


def _along(one: shapely.LineString, other: shapely.LineString) -> bool:
    """Whether two lines run in one direction, from end to end."""
    u, v = (np.diff(np.asarray(line.coords)[[0, -1]], axis=0)[0] for line in (one, other))
    return bool(abs(u[0] * v[1] - u[1] * v[0]) < 0.05 * np.hypot(*u) * np.hypot(*v))


# degrees; lines that leave a point at a smaller angle run along each other (common practice, no source)
MIN_ANGLE = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class _CurveRun:
    """A line with the fold it belongs to (None for an edge of the paper), as dense points."""

    points: FloatArray
    fold: Fold | None
    curved: bool

    @property
    def ends(self) -> FloatArray:
        return self.points[[0, -1]]

    def leaving(self, end: int) -> FloatArray:
        """The unit direction in which it leaves its first (0) or last (1) point."""
        a, b, c = self.points[:3] if end == 0 else self.points[:-4:-1]
        # the tangent of the parabola through three points
        step = 4 * b - 3 * a - c if self.curved else b - a
        result: FloatArray = step / max(float(np.hypot(*step)), 1e-12)
        return result


def curve_findings(plan: Plan, state: PieceState) -> list[Finding]:
    """One finding for each statement of curves that meet a fold or edge they should keep clear of."""
    runs = [_curve_run(stroke, fold) for fold in state.folds for stroke in fold.runs]
    runs += [_curve_run(rim.stroke, None) for loop in (state.outline, *state.holes) for rim in loop]
    if not any(run.curved and run.fold is not None for run in runs):
        return []
    marks, reported = {mark.id: mark for mark in state.marks}, dict[int, Finding]()
    for one, other, i, j in _runs_sharing_an_end(runs):
        if one.fold is None:
            continue
        mark = marks[one.fold.mark]
        if mark.act not in reported and (wrong := _curve_finding(plan, mark, one, other, i, j)) is not None:
            reported[mark.act] = wrong
    return list(reported.values())


def _curve_run(stroke: Stroke, fold: Fold | None) -> _CurveRun:
    points = polyline(stroke, TANGENT_CHORD_TOLERANCE)
    if len(points) < 3:
        points = np.array([points[0], points.mean(axis=0), points[-1]])
    return _CurveRun(points, fold, not isinstance(stroke, Line))


def _runs_sharing_an_end(runs: Sequence[_CurveRun]) -> Iterator[tuple[_CurveRun, _CurveRun, int, int]]:
    """Curved folds with lines that share an end: (fold, other line, end of the fold, end of the other)."""
    ends = np.array([run.ends for run in runs]).reshape(-1, 2)
    spots = np.asarray(shapely.points(ends))
    found = shapely.STRtree(spots).query(spots, predicate="dwithin", distance=END_TOLERANCE)
    for a, b in sorted(zip(*found.tolist(), strict=True)):
        one, other = runs[a // 2], runs[b // 2]
        if a // 2 != b // 2 and one.curved and one.fold is not None:
            yield one, other, a % 2, b % 2


def _curve_finding(plan: Plan, mark: Mark, one: _CurveRun, other: _CurveRun, i: int,
                   j: int) -> Finding | None:
    name = (f"'{mark.name}' {mark.index}" if mark.name and mark.count > 1 else f"'{mark.name}'"
            if mark.name else "this curve")
    what = "the edge of the paper" if other.fold is None else f"the fold of line {other.fold.span.line}"
    met = _second_meeting(one, other)
    if met is not None:
        return finding("curves-meet", mark.span,
                       f"{name} meets {what} again, {length_text(plan, met)} before they end in one point",
                       "let it bulge less, or to the other side")
    turn = float(np.degrees(np.arccos(np.clip(one.leaving(i) @ other.leaving(j), -1, 1))))
    if turn < MIN_ANGLE:
        return finding("curves-meet", mark.span,
                       f"{name} runs out along {what}, so there is hardly any paper between them",
                       "let it bulge less, or to the other side")
    return None


def _second_meeting(one: _CurveRun, other: _CurveRun) -> float | None:
    """How far from the ends that two lines share they meet a further time, in mm; None where they do not."""
    lines = [shapely.LineString(run.points) for run in (one, other)]
    met = shapely.get_coordinates(lines[0].intersection(lines[1]))
    shared = [p for p in one.ends if np.hypot(*(other.ends - p).T).min() <= END_TOLERANCE]
    far = [min(float(np.hypot(*(spot - p))) for p in shared) for spot in met]
    return max((d for d in far if d > END_TOLERANCE), default=None)
