"""The lines of a piece as polylines, each knowing what it is of: the rim, a cut, a score or a fold."""
from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from generator.dataclass import dataclass
from generator.geometry import Line
from generator.geometry.arrays import FloatArray
from generator.geometry.strokes import polyline
from generator.geometry.tolerances import CHORD_TOLERANCE, CUT_SNAP_LENGTH, POINT_TOLERANCE
from generator.paper.records import Mark, PieceState


@dataclass(frozen=True, slots=True)
class LineOrigin:
    """Where a line of the plan comes from: ``kind`` is "rim", "cut", "score" or "fold".

    ``which`` a mark or a fold.
    """

    kind: str
    which: int
    curved: bool = False


def plan_lines(state: PieceState) -> list[tuple[FloatArray, LineOrigin]]:
    """Every line of a piece in its last state, cuts led on to the folds they all but reach."""
    lines = [(polyline(rim.stroke, CHORD_TOLERANCE), LineOrigin("rim", k)) for k, rim in
             enumerate(rim for loop in (state.outline, *state.holes) for rim in loop)]
    for mark in state.marks:
        if mark.kind.is_line:
            kind = "score" if mark.kind.folds else "cut"
            lines += [(polyline(run, CHORD_TOLERANCE), LineOrigin(kind, mark.id, not isinstance(run, Line)))
                      for run in mark.runs]
    folds = [(polyline(run, CHORD_TOLERANCE), LineOrigin("fold", k, not isinstance(run, Line))) for k,
             fold in enumerate(state.folds)
             for run in fold.runs]
    straight = [shapely.LineString(points) for points, origin in folds if not origin.curved]
    return [(_snapped_to_fold(points, straight) if origin.kind == "cut" else points, origin) for points,
            origin in lines] + folds


def _snapped_to_fold(points: FloatArray, folds: Sequence[shapely.LineString]) -> FloatArray:
    """A cut that stops a hair before a fold, led on to it: paper gives so much, and authors leave it."""
    for end, before in ((0, 1), (-1, -2)):
        step = points[end] - points[before]
        on = shapely.linestrings([points[end], points[end] + CUT_SNAP_LENGTH * step / np.hypot(*step)])
        if any(fold.distance(shapely.Point(points[end])) <= POINT_TOLERANCE for fold in folds):
            continue
        met = [on.intersection(fold) for fold in folds if on.intersects(fold)]
        spots = [np.asarray(m.coords[0]) for m in met if m.geom_type == "Point"]
        if spots:
            points = points.copy()
            points[end] = min(spots, key=lambda spot: np.hypot(*(spot - points[end])))
    return points


def mark_name(mark: Mark) -> str:
    """A mark as a finding calls it."""
    name = f"the {mark.verb} '{mark.name}'" if mark.name else f"this {mark.verb}"
    return name + (f", number {mark.index} of {mark.count}," if mark.count > 1 else "")
