"""Curved folds keep clear of what they begin and end with: neighbours that meet again, or run along each other, leave no paper to fold."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from generator.findings import Finding, finding
from generator.folding.case import said
from generator.geometry import Line, Stroke
from generator.paper.records import Fold, Mark, PieceInfo, PieceState, Plan

FINE = 0.005        # mm; how far a chord may leave its curve
SAME = 0.05         # mm; ends that lie closer are one
SLIM = 2.0          # degrees; lines that leave a point at a smaller angle run along each other (common practice, no source)


@dataclass(frozen=True, slots=True, eq=False)
class _Run:
    """A line with the fold it belongs to (None for an edge of the paper), as dense points."""

    points: np.ndarray
    fold: Fold | None
    curved: bool

    @property
    def ends(self) -> np.ndarray:
        return self.points[[0, -1]]

    def leaving(self, end: int) -> np.ndarray:
        """The unit direction in which it leaves its first (0) or last (1) point."""
        a, b, c = self.points[:3] if end == 0 else self.points[:-4:-1]
        step = 4 * b - 3 * a - c if self.curved else b - a      # the tangent of the parabola through three points
        return step / max(float(np.hypot(*step)), 1e-12)


def curve_findings(plan: Plan, info: PieceInfo, state: PieceState) -> list[Finding]:
    """One finding for each statement of curves that meet another fold, or the edge, where they should keep clear of it."""
    runs = [_run(stroke, fold) for fold in state.folds for stroke in fold.runs]
    runs += [_run(rim.stroke, None) for loop in (state.outline, *state.holes) for rim in loop]
    if not any(run.curved and run.fold is not None for run in runs):
        return []
    marks, told = {mark.id: mark for mark in state.marks}, {}
    for one, other, i, j in _neighbours(runs):
        mark = marks[one.fold.mark]
        if mark.act not in told and (wrong := _wrong(plan, mark, one, other, i, j)) is not None:
            told[mark.act] = wrong
    return list(told.values())


def _run(stroke: Stroke, fold: Fold | None) -> _Run:
    points = np.array([(float(p.x), float(p.y)) for p in stroke.flattened(FINE)])
    if len(points) < 3:
        points = np.array([points[0], points.mean(axis=0), points[-1]])
    return _Run(points, fold, not isinstance(stroke, Line))


def _neighbours(runs: Sequence[_Run]) -> Iterator[tuple[_Run, _Run, int, int]]:
    """(curved fold, other line, which end of the one, which end of the other) wherever two begin or end in one point."""
    ends = np.array([run.ends for run in runs]).reshape(-1, 2)
    tree = shapely.STRtree(shapely.points(ends))
    for a, b in sorted(zip(*tree.query(shapely.points(ends), predicate="dwithin", distance=SAME).tolist())):
        one, other = runs[a // 2], runs[b // 2]
        if a // 2 != b // 2 and one.curved and one.fold is not None:
            yield one, other, a % 2, b % 2


def _wrong(plan: Plan, mark: Mark, one: _Run, other: _Run, i: int, j: int) -> Finding | None:
    name = f"'{mark.name}' {mark.index}" if mark.name and mark.count > 1 else f"'{mark.name}'" if mark.name else "this curve"
    what = "the edge of the paper" if other.fold is None else f"the fold of line {other.fold.span.line}"
    met = _met_again(one, other)
    if met is not None:
        return finding("curves-meet", mark.span, f"{name} meets {what} again, {said(plan, met)} before they end in one point",
                       "let it bulge less, or to the other side")
    turn = float(np.degrees(np.arccos(np.clip(one.leaving(i) @ other.leaving(j), -1, 1))))
    if turn < SLIM:
        return finding("curves-meet", mark.span, f"{name} runs out along {what}, so there is hardly any paper between them",
                       "let it bulge less, or to the other side")
    return None


def _met_again(one: _Run, other: _Run) -> float | None:
    """How far from the ends that two lines share they meet a further time, in mm; None where they do not."""
    met = shapely.get_coordinates(shapely.linestrings(one.points).intersection(shapely.linestrings(other.points)))
    shared = [p for p in one.ends if np.hypot(*(other.ends - p).T).min() <= SAME]
    far = [min(float(np.hypot(*(spot - p))) for p in shared) for spot in met]
    return max((d for d in far if d > SAME), default=None)
