"""The flat plan of a pouch, read from its piece, and the measures that follow from it.

How wide, thick and large it becomes, whether its curves let its faces bend, and whether its end flaps and its
tab are cut so that the ends go in. The letters are those of :mod:`pouches`. mm.
"""
from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon

from generator.dataclass import dataclass
from generator.findings import Span
from generator.folding.bending.bays import is_curved, mark_of, towards_viewer
from generator.folding.records import Pouch
from generator.geometry.arrays import FloatArray, ReadOnlyArrays
from generator.geometry.strokes import polyline, ring_points
from generator.geometry.tolerances import CHORD_TOLERANCE, LINE_TOLERANCE, MESH_CHORD_TOLERANCE
from generator.paper.records import Fold, Glue, PieceInfo, PieceState, Plan

CURVE_SAMPLES = 401        # at which a curve is taken
SIDE_TOLERANCE = 1e-6
FLAP_SHARES = np.linspace(0.05, 0.95, 19)        # of the width of a face, where its flaps are measured
CORNER_SHARE = 0.12         # of the width, beside either side, where a flap has to be cut back
BEYOND_ANY_PIECE = 1e4           # mm


@dataclass(frozen=True, slots=True, eq=False)
class PouchPlan(ReadOnlyArrays):
    """The flat plan of a pouch: across (u) and along (v) it, both in the frame of the piece.

    Faces run from ``first`` to ``fold`` and on to ``last``, the tab beyond. The
    ends' corners lie at ``low`` and ``high``; ``depth`` is f at even places.
    ``outer`` is +1 where the side seen from +z is outside.
    """

    across: FloatArray
    along: FloatArray
    first: float
    fold: float
    last: float
    low: float
    high: float
    depth: FloatArray
    outer: int
    seam: int
    curves: Span

    @property
    def width(self) -> float:
        """Of one face, in mm."""
        return abs(self.fold - self.first)


def pouch_plan(plan: Plan, info: PieceInfo, state: PieceState) -> PouchPlan | None:
    """The pouch that a piece makes; None where it makes none."""
    straight = [f for f in state.folds if not any(map(is_curved, f.runs))]
    curved = [f for f in state.folds if all(map(is_curved, f.runs))]
    glue = next((a for a in plan.acts if isinstance(a.detail, Glue) and a.detail.target
                 and all(f.piece == info.id for f in (*a.detail.faces, *a.detail.target))), None)
    if glue is None or len(straight) != 2 or len(curved) != 4 or len({towards_viewer(f, info)
                                                                      for f in state.folds}) != 1:
        return None
    return _measured_plan(info, state, straight, curved, glue.number)


def _measured_plan(info: PieceInfo, state: PieceState, straight: Sequence[Fold], curved: Sequence[Fold],
                   seam: int) -> PouchPlan | None:
    sides = [polyline(f.runs[0], MESH_CHORD_TOLERANCE) for f in straight]
    along = (sides[0][-1] - sides[0][0]) / np.hypot(*(sides[0][-1] - sides[0][0]))
    along = along if along.sum() > 0 else -along
    across = np.array((along[1], -along[0]))        # right-handed with ``along``
    rim = np.concatenate([polyline(r.stroke, MESH_CHORD_TOLERANCE) for r in state.outline]) @ across
    one, two = sorted(float((xy @ across).mean()) for xy in sides)
    width = two - one
    if abs(one - width - rim.min()) < LINE_TOLERANCE:
        first, fold, last = one - width, one, two
    elif abs(two + width - rim.max()) < LINE_TOLERANCE:
        first, fold, last = two + width, two, one
    else:
        return None
    curves = (polyline(f.runs[0], MESH_CHORD_TOLERANCE) for f in curved)
    rows = [np.column_stack([xy @ across, xy @ along]) for xy in curves]
    levels = [float(row[0, 1]) for row in rows]
    low, high = min(levels), max(levels)
    if any(abs(row[0, 1] - row[-1, 1]) > LINE_TOLERANCE
           or min(abs(row[0, 1] - low), abs(row[0, 1] - high)) > LINE_TOLERANCE for row in rows):
        return None
    faces = sorted((first, fold)), sorted((fold, last))
    depths = [depth for row in rows if (depth := _curve_depth(row, *faces, low, high)) is not None]
    if len(depths) < len(rows) or any(np.abs(depth - depths[0]).max() > LINE_TOLERANCE
                                      for depth in (*depths, depths[0][::-1])):
        return None
    return PouchPlan(across, along, first, fold, last, low, high, depths[0],
                     -1 if towards_viewer(curved[0], info) else 1, seam, mark_of(curved[0], state).span)


def _curve_depth(row: FloatArray, one: list[float], two: list[float], low: float,
                 high: float) -> FloatArray | None:
    """How deep a curve dips into its face at even places; None where it does not run from side to side."""
    ends = sorted((row[0, 0], row[-1, 0]))
    face = next((f for f in (one, two) if np.abs(np.array(f) - ends).max() < LINE_TOLERANCE), None)
    if face is None:
        return None
    row = row if row[0, 0] < row[-1, 0] else row[::-1]
    if (np.diff(row[:, 0]) <= 0).any():
        return None
    rise = row[:, 1] - low if abs(row[0, 1] - low) < LINE_TOLERANCE else high - row[:, 1]
    result: FloatArray = np.interp(np.linspace(face[0], face[1], CURVE_SAMPLES), row[:, 0], rise)
    return result


def pouch_measures(tube: PouchPlan, state: PieceState) -> Pouch:
    """The measures of a pouch whose flaps stand upright, and how far its ends go in."""
    step = tube.width / (CURVE_SAMPLES - 1)
    slope = np.gradient(tube.depth, step)
    steep, rise = float(np.abs(slope).max()), float(tube.depth.max())
    if tube.depth.min() < -CHORD_TOLERANCE or rise < LINE_TOLERANCE:
        return Pouch(tube.seam, tube.curves, (0.0, 0.0, 0.0), 0.0, 0.0, 0.0, 0.0, 0.0, outward=True)
    if steep > 1:
        return Pouch(tube.seam, tube.curves, (0.0, 0.0, 0.0), 0.0, 0.0, 0.0, steep, 0.0)
    x = half_widths(tube)
    length = tube.high - tube.low
    lip, least, outside = _flap_reach(tube, state)
    volume = float(2 * np.trapezoid(tube.depth * (length - 2 * tube.depth), x))
    # the c at which flaps part, or faces are upright at their sides
    lean = np.sqrt(max(rise / (rise + 2 * max(lip, 0.0)), steep ** 2))
    pushed = (rise + lip) * (1 - lean ** 2) / (1 + lean ** 2)
    return Pouch(tube.seam, tube.curves, (float(x[-1]), length, 2 * rise), volume, lip, float(pushed), steep,
                 max(-2 * least, 0.0), beyond=outside, tab_beyond=_tab_reach(tube, state))


def half_widths(tube: PouchPlan, pushed: float = 1.0) -> FloatArray:
    """X at even places across a face, from 0: √(1 − f′²) summed up, for ``pushed`` times the depth f."""
    step = tube.width / (CURVE_SAMPLES - 1)
    grown = np.sqrt(np.maximum(step ** 2 - np.diff(pushed * tube.depth) ** 2, 0.0))
    return np.concatenate([[0.0], np.cumsum(grown)])


def _flap_reach(tube: PouchPlan, state: PieceState) -> tuple[float, float, float]:
    """How far flaps reach beyond the line between the corners: in their middles, and at the least.

    And how far beyond the face across beside the corners: there an upright flap is as high as it reaches
    beyond the line, and the mouth half as high as the curve is deep. Farther in both give.
    """
    area = shapely.Polygon(ring_points((r.stroke for r in state.outline), MESH_CHORD_TOLERANCE))
    middles: list[float] = []
    all_: list[float] = []
    beyond = -math.inf
    for one, two in ((tube.first, tube.fold), (tube.fold, tube.last)):
        for share in FLAP_SHARES:
            way = _extent_along(area, tube, one + share * (two - one))
            all_ += [tube.low - float(way.min()), float(way.max()) - tube.high]
            room = float(np.interp(share, np.linspace(0, 1, CURVE_SAMPLES), tube.depth))
            if min(share, 1 - share) < CORNER_SHARE:
                beyond = max(beyond, *(reach - room for reach in all_[-2:]))
            middles += all_[-2:] if abs(share - 0.5) < SIDE_TOLERANCE else []
    return min(middles), min(all_), beyond


def _extent_along(area: Polygon, tube: PouchPlan, across: float) -> FloatArray:
    """Where along the pouch paper begins and ends at a place across it; nothing where there is none."""
    foot = across * tube.across
    line = area.intersection(shapely.linestrings([foot - BEYOND_ANY_PIECE * tube.along,
                                                  foot + BEYOND_ANY_PIECE * tube.along]))
    result: FloatArray = shapely.get_coordinates(line) @ tube.along
    return result


def _tab_reach(tube: PouchPlan, state: PieceState) -> float:
    """How far the tab reaches at the most beyond the curves of the face behind which it is glued."""
    area = shapely.Polygon(ring_points((r.stroke for r in state.outline), MESH_CHORD_TOLERANCE))
    out, far = math.copysign(1.0, tube.last - tube.first), -math.inf
    for share in FLAP_SHARES:
        way = _extent_along(area, tube, tube.last + out * share * tube.width)
        if len(way):
            dip = float(np.interp(share, np.linspace(0, 1, CURVE_SAMPLES), tube.depth))
            far = max(far, tube.low + dip - float(way.min()), float(way.max()) - tube.high + dip)
    return far
