"""The bays of a gathered top: what repeats round a ring, each bay its own mirror image.

Half a bay says all. In the flat half bay u runs from the middle (0) to the corner (w/2), v from the shoulder
upward. In space x runs along the shoulder, r away from the axis, z up along it; the middle of the bay lies in
the plane x = 0, its corner in x = r·tan(π/n). Lengths in mm.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass, replace
from generator.findings import Span
from generator.folding.bending.meshing import MeshLayout, mesh_layout
from generator.folding.records import FoldedPiece
from generator.geometry import Line, Stroke
from generator.geometry.arrays import FloatArray, ReadOnlyArrays
from generator.geometry.strokes import polyline
from generator.geometry.tolerances import (
    BAY_TOLERANCE,
    EQUAL_AREAS,
    EVENNESS_TOLERANCE,
    LINE_TOLERANCE,
    MESH_CHORD_TOLERANCE,
)
from generator.paper.records import Fold, FoldDirection, Mark, PieceInfo, PieceState, Plan
from generator.paper.work_kinds import Effect

MIN_SIDES = 3


KindLine = tuple[FloatArray, str]      # points (n × 2) and the kind of a line


@dataclass(frozen=True, slots=True, eq=False)
class BayFrame(ReadOnlyArrays):
    """The middle of a bay's shoulder and its directions, in the flat plan and in space."""

    panel: int
    flat: FloatArray        # 2
    along: FloatArray       # 2, the direction u
    up: FloatArray          # 2, the direction v
    frame: FloatArray       # 3 × 3: columns are the directions x, r, z in space


@dataclass(frozen=True, eq=False)
class BayRing(ReadOnlyArrays):
    """A gathered top as one half bay and the seats it repeats on.

    ``lines`` are the dense lines of the half bay with their kinds: "fold",
    "score" (not folded), "rim". ``tucked`` is True where its curves fold as the
    walls do, so that the gussets lie within. The spans are those of the
    gathering and of the curves.
    """

    act: int
    span: Span
    curve_span: Span
    sides: int
    width: float
    apothem: float
    lean: FloatArray                # where (u, v) of the unfolded wall lies in space: 3 × 3 on (u, v, 1)
    centre: FloatArray              # 3, on the axis, level with the shoulder
    seats: tuple[BayFrame, ...]
    area: Polygon
    lines: tuple[tuple[FloatArray, str], ...]
    tucked: bool
    shoulder: str                   # "fold", "score" or "" where nothing is scored
    split: bool                     # a fold runs up the corner

    @property
    def chord(self) -> float:
        """From a corner of the shoulder straight to its peak, in mm; its curve is one line."""
        ends = next(xy for xy, kind in self.lines if kind == "fold" and np.ptp(xy[:, 0]) > LINE_TOLERANCE
                    and np.ptp(xy[:, 1]) > LINE_TOLERANCE)[[0, -1]]
        return float(np.hypot(*(ends[1] - ends[0])))

    @cached_property
    def plan(self) -> MeshLayout:
        """The half bay cut up by its lines."""
        return mesh_layout(self.area, [*self.lines, *self._frame()])

    def _frame(self) -> Iterator[tuple[FloatArray, str]]:
        ring = np.asarray(self.area.exterior.coords)
        half = self.width / 2
        for a, b in zip(ring, ring[1:], strict=False):
            kind = "rim"
            if max(abs(a[0]), abs(b[0])) < LINE_TOLERANCE / 10:
                kind = "middle"
            elif min(a[0], b[0]) > half - LINE_TOLERANCE / 10:
                kind = "corner"
            elif max(abs(a[1]), abs(b[1])) < LINE_TOLERANCE / 10:
                kind = "base"
            yield np.array((a, b)), kind


def ring_of_bays(plan: Plan, info: PieceInfo, state: PieceState, folded: FoldedPiece) -> BayRing | None:
    """The gathered top of a piece, where what is soft on it repeats round a ring; None where it does not."""
    act = next((a for a in plan.acts if a.effect is Effect.GATHER and a.pieces[:1] == (state.piece,)), None)
    curved = [f for f in state.folds if any(is_curved(run) for run in f.runs)]
    if act is None or not curved or not folded.judged:
        return None
    bases = _soft_edges(folded)
    if len(bases) < MIN_SIDES:
        return None
    placed = _bay_frames(folded, bases)
    if placed is None:
        return None
    seats, width, apothem, centre = placed
    soft = shapely.union_all([p.polygon for p in folded.flat.panels if p.soft])
    strokes = list(_line_points(state))
    halves = [_half_bay(seat, side, width, soft, strokes) for seat in seats for side in (1, -1)]
    area, lines = halves[len(halves) // 2]
    if area is None or not all(_same_half_bay(area, lines, *other, width) for other in halves):
        return None
    frame = folded.frames[seats[0].panel][:3]
    outward = float(seats[0].frame[:, 1] @ frame[:, 2]) > 0
    up = seats[0].frame.T @ (frame[:, :2] @ seats[0].up)
    return BayRing(act.number, act.span, mark_of(curved[0], state).span, len(seats), width, apothem,
                   np.column_stack([(1.0, 0.0, 0.0), up, (0.0, apothem, 0.0)]), centre, seats, area,
                   tuple(lines),
                   towards_viewer(curved[-1], info) != outward, _shoulder_kind(strokes, seats[0], width),
                   _has_corner_folds(strokes, seats, width))


# -- its curve ----------------------------------------------------------------

def creases(plan: MeshLayout) -> list[FloatArray]:
    """The folds that cross the half bay, as dense points from the corner's side to the middle."""
    lines = [c.points for c in plan.chains if "fold" in c.kinds
             and not c.kinds & {"middle", "corner", "base", "rim"}]
    if not lines:
        return []
    merged = shapely.line_merge(shapely.MultiLineString(lines))
    rows = [shapely.get_coordinates(part) for part in shapely.get_parts(merged)]
    return [xy if xy[0][0] > xy[-1][0] else xy[::-1] for xy in rows]


def foldable(ring: BayRing) -> bool:
    """Whether one fold crosses the half bay, from its corner on the shoulder to a peak in its middle."""
    rows = creases(ring.plan)
    return len(rows) == 1 and bool(np.abs(rows[0][0] - (ring.width / 2, 0.0)).max() < LINE_TOLERANCE) \
        and abs(rows[0][-1][0]) < LINE_TOLERANCE and rows[0][-1][1] > LINE_TOLERANCE


def stays_within(ring: BayRing) -> bool:
    """Whether its curve keeps to its half of the bay, so that it meets no neighbour."""
    across = np.concatenate([xy[:, 0] for xy, kind in ring.lines if _is_curve(xy, kind)])
    return bool(across.min() > -BAY_TOLERANCE and across.max() < ring.width / 2 + BAY_TOLERANCE)


def with_bulge_share(ring: BayRing, share: float) -> BayRing:
    """The same ring with its curves drawn to their chords: ``share`` of their bulge is left."""
    corner, peak = creases(ring.plan)[0][[0, -1]]
    step = (peak - corner) / np.hypot(*(peak - corner))

    def drawn(xy: FloatArray) -> FloatArray:
        foot = corner + ((xy - corner) @ step)[:, None] * step
        result: FloatArray = foot + share * (xy - foot)
        return result

    lines = tuple((drawn(xy) if _is_curve(xy, kind) else xy, kind)
                  for xy, kind in ring.lines)
    return replace(ring, lines=lines)


def with_curve(ring: BayRing, points: FloatArray) -> BayRing:
    """The same ring with another curve from corner to peak, on the side of the old one.

    ``points`` (n × 2) run from (0, 0) to (chord, 0) and bulge upward.
    """
    curve = creases(ring.plan)[0]
    step = (curve[-1] - curve[0]) / np.hypot(*(curve[-1] - curve[0]))
    aside = np.array((step[1], -step[0])) * (1.0 if bulge_height(ring) >= 0 else -1.0)
    result = curve[0] + points[:, :1] * step + points[:, 1:] * aside
    result[0], result[-1] = curve[0], curve[-1]
    others = tuple((xy, kind) for xy, kind in ring.lines if not _is_curve(xy, kind))
    return replace(ring, lines=(*others, (result, "fold")))


def _is_curve(xy: FloatArray, kind: str) -> bool:
    """Whether a line of a half bay is part of the curve from corner to peak."""
    return bool(kind == "fold" and np.ptp(xy[:, 0]) > LINE_TOLERANCE and np.ptp(xy[:, 1]) > LINE_TOLERANCE)


def bulge_height(ring: BayRing) -> float:
    """How far the curve leaves its chord, in mm; positive towards the neighbouring bay."""
    xy = creases(ring.plan)[0]
    step = (xy[-1] - xy[0]) / np.hypot(*(xy[-1] - xy[0]))
    aside = (xy - xy[0]) @ np.array((step[1], -step[0]))
    return float(aside[np.abs(aside).argmax()])


def swings_out(ring: BayRing) -> bool:
    """Whether its curve leaves the chord towards the neighbouring bay."""
    return foldable(ring) and bulge_height(ring) > LINE_TOLERANCE


# -- finding it in a plan -------------------------------------------------------

def is_curved(run: Stroke) -> bool:
    """Whether a fold runs along a curve here."""
    return not isinstance(run, Line)


def mark_of(fold: Fold, state: PieceState) -> Mark:
    """The score that is folded."""
    return next(mark for mark in state.marks if mark.id == fold.mark)


def towards_viewer(fold: Fold, info: PieceInfo) -> bool:
    """Whether the paper beside a fold bends towards +z of the flat plan."""
    return (fold.direction is FoldDirection.MOUNTAIN) == (info.up != "printed")


def _soft_edges(folded: FoldedPiece) -> list[tuple[int, FloatArray, FloatArray]]:
    """(firm panel, start, end) of every edge between soft paper and a panel that has a place."""
    soft = shapely.union_all([p.polygon for p in folded.flat.panels if p.soft])
    result = []
    for panel in folded.flat.panels:
        if panel.soft or not folded.placed[panel.id]:
            continue
        xy = np.asarray(panel.polygon.exterior.coords)
        for a, b in zip(xy, xy[1:], strict=False):
            if (np.hypot(*(b - a)) > LINE_TOLERANCE
                and soft.intersection(shapely.linestrings([a, b])).length > 0.99 * np.hypot(*(b - a))):
                result.append((panel.id, a, b))
    return result


# seats, width, apothem and the middle of the ring
_Ring = tuple[tuple[BayFrame, ...], float, float, FloatArray]


def _bay_frames(folded: FoldedPiece, bases: Sequence[tuple[int, FloatArray, FloatArray]]) -> _Ring | None:
    """Bays that stand evenly round an axis, with width, apothem and the middle of the ring."""
    flat = np.array([(a, b) for _, a, b in bases])
    widths = np.hypot(*(flat[:, 1] - flat[:, 0]).T)
    if np.ptp(widths) > LINE_TOLERANCE:
        return None
    width, count = float(widths.mean()), len(bases)
    frames = folded.frames[[k for k, _, _ in bases]]
    ends = np.einsum("nij,nkj->nki", frames[:, :3, :2], flat) + frames[:, None, :3, 3]
    middles = ends.mean(axis=1)
    centre = middles.mean(axis=0)
    out = middles - centre
    apothem = float(np.linalg.norm(out, axis=1).mean())
    if (abs(apothem - width / 2 / np.tan(np.pi / count)) > EVENNESS_TOLERANCE * width
        or np.ptp(np.linalg.norm(out, axis=1)) > EVENNESS_TOLERANCE * width):
        return None
    seats = []
    for k, (panel, a, b) in enumerate(bases):
        along = (b - a) / widths[k]
        # the panel lies on the left of its edges, so the soft paper on the right
        up = np.array((along[1], -along[0]))
        x = (ends[k, 1] - ends[k, 0]) / widths[k]
        r = out[k] / np.linalg.norm(out[k])
        rise = frames[k][:3, :2] @ up
        z = np.cross(x, r)
        z = z if z @ rise >= 0 else -z
        seats.append(BayFrame(panel, (a + b) / 2, along, up, np.column_stack([x, r, z])))
    if any(abs(s.frame[:, 0] @ s.frame[:, 1]) > EVENNESS_TOLERANCE
           or s.frame[:, 2] @ seats[0].frame[:, 2] < 1 - EVENNESS_TOLERANCE for s in seats):
        return None
    return tuple(seats), width, apothem, centre


def _line_points(state: PieceState) -> Iterator[tuple[FloatArray, str]]:
    """All lines of a piece as dense points in its own frame, with their kinds."""
    for fold in state.folds:
        for run in fold.runs:
            yield polyline(run, MESH_CHORD_TOLERANCE), "fold"
    folded = {f.mark for f in state.folds}
    for mark in state.marks:
        if mark.kind.folds and mark.id not in folded:
            for run in mark.runs:
                yield polyline(run, MESH_CHORD_TOLERANCE), "score"
        elif mark.kind.cuts:
            for run in mark.runs:
                yield polyline(run, MESH_CHORD_TOLERANCE), "rim"


def _half_bay(seat: BayFrame, side: int, width: float, soft: BaseGeometry,
              strokes: Sequence[KindLine]) -> tuple[Polygon | None, list[KindLine]]:
    """The half of a bay on one side of its middle, seen from its seat: its area, and the lines within it."""
    turn = np.array((side * seat.along, seat.up))

    def seen(xy: FloatArray) -> FloatArray:
        return (xy - seat.flat) @ turn.T

    window = shapely.box(0.0, 0.0, width / 2, 1e4)
    # slivers beside the frame are rounding, not paper
    found = shapely.transform(soft, seen).intersection(window)
    parts = [part for part in shapely.get_parts(found) if part.area > EQUAL_AREAS]
    if len(parts) != 1:
        return None, []
    area = shapely.orient_polygons(parts[0])
    lines = []
    for xy, kind in strokes:
        inside = shapely.LineString(seen(xy)).intersection(window)
        lines += [(shapely.get_coordinates(part), kind) for part in shapely.get_parts(inside)
                  if part.geom_type == "LineString" and part.length > LINE_TOLERANCE
                  and not _is_on_frame(part, width)]
    return area, lines


def _is_on_frame(line: shapely.LineString, width: float) -> bool:
    left, low, right, high = line.bounds
    return right < LINE_TOLERANCE / 10 or left > width / 2 - LINE_TOLERANCE / 10 or high < LINE_TOLERANCE / 10


def _same_half_bay(area: Polygon, lines: list[KindLine], other: Polygon | None, more: list[KindLine],
                   width: float) -> bool:
    if (other is None or area.symmetric_difference(other).area > LINE_TOLERANCE * width
        or len(lines) != len(more)):
        return False
    for kind in ("fold", "score", "rim"):
        one, two = (shapely.MultiLineString([xy for xy, k in rows if k == kind]) for rows in (lines, more))
        if one.is_empty != two.is_empty or (not one.is_empty
                                            and shapely.hausdorff_distance(one, two) > LINE_TOLERANCE):
            return False
    return True


def _shoulder_kind(strokes: Sequence[KindLine], seat: BayFrame, width: float) -> str:
    """What lies along the shoulder of a bay."""
    spot = shapely.Point(seat.flat + width / 7 * seat.along)
    kinds = {kind for xy, kind in strokes if shapely.LineString(xy).distance(spot) < LINE_TOLERANCE / 10}
    return "fold" if "fold" in kinds else "score" if "score" in kinds else ""


def _has_corner_folds(strokes: Sequence[KindLine], seats: Sequence[BayFrame], width: float) -> bool:
    """Whether a fold runs up the corners between the bays."""
    seat = seats[len(seats) // 2]
    spots = [seat.flat + side * width / 2 * seat.along + width / 3 * seat.up for side in (1, -1)]
    return all(any(kind == "fold" and shapely.LineString(xy).distance(shapely.Point(spot)) < LINE_TOLERANCE
                   for xy, kind in strokes) for spot in spots)
