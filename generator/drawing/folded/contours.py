"""Classification of visible lines: outlines, drawn wide, and creases and marks, drawn narrow.

All visible lines are cut where they meet. On either side of a piece lies a
part of the paper that touches it, or something farther away. With paper on
both sides it is a crease, else an outline, whatever made it: a fold, the edge
of the paper or the silhouette of a bent part (ISO 128: visible outlines wide,
all else narrow).
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass, replace
from generator.drawing.folded.camera import Camera, Facet, LineKind, Solid
from generator.drawing.folded.hidden_lines import visible_stretches
from generator.drawing.folded.projection import ProjectedArea, ProjectedMesh
from generator.drawing.pen import Contour
from generator.geometry.arrays import BoolArray, FloatArray, IntArray
from generator.geometry.noding import snap_rounded
from generator.geometry.ties import snapped
from generator.geometry.tolerances import CONTACT_DEPTH, MAX_CORNER_OFFSET, MIN_LINE_LENGTH, NODE_TOLERANCE

# which line a piece is of where several lie on each other
LINE_RANKS = {LineKind.FOLD: 0, LineKind.EDGE: 1, None: 2, LineKind.MARK: 3, LineKind.HOLE: 4}
SIDE_OFFSET = 0.14        # mm of the picture; so far beside a line it is tested what lies there
# mm of depth; beyond a fold or a silhouette paper so close still belongs to it, as what is tucked in does
MAX_OWN_DEPTH = 25.0


@dataclass(frozen=True, slots=True, eq=False)
class VisibleLine:
    """A visible stretch of a line in the picture (2 × 2) with the nearness of its ends (2)."""

    xy: FloatArray
    near: FloatArray
    kind: LineKind | None           # None for the silhouette of a bent part
    curved: int                 # number of the curve that it belongs to; -1 for a straight line


@dataclass(frozen=True, slots=True, eq=False)
class ContourLine:
    """A line to draw through points of the picture (n × 2), as a curve where it is ``curved``."""

    contour: Contour
    points: FloatArray
    curved: bool


def contours(solid: Solid, camera: Camera, projections: Sequence[ProjectedArea],
             areas: Sequence[BaseGeometry],
             silhouettes: Sequence[tuple[int, FloatArray]]) -> list[ContourLine]:
    """Every line of the picture, the wide ones last."""
    seen = list(_visible_lines(solid, camera, projections, silhouettes))
    pieces = list(_classified_lines(seen, projections, areas, camera.distance))
    lines = []
    for contour in (Contour.MARK, Contour.CREASE, Contour.OUTLINE):
        for curve in sorted({number for _, kind, number in pieces if kind is contour}):
            own = [xy for xy, kind, number in pieces if kind is contour and number == curve]
            lines += [ContourLine(contour, points, curve >= 0) for points in _joined_lines(own)]
    return lines


def _visible_lines(solid: Solid, camera: Camera, projections: Sequence[ProjectedArea],
                   silhouettes: Sequence[tuple[int, FloatArray]]) -> Iterator[VisibleLine]:
    segments = list(_projected_segments(solid, camera, projections, silhouettes))
    xy = np.array([line.xy for line, _ in segments]).reshape(-1, 2, 2)
    long = _are_lines(xy)
    segments, xy = [each for each, keep in zip(segments, long.tolist(), strict=True) if keep], xy[long]
    near = np.array([line.near for line, _ in segments]).reshape(-1, 2)
    stretches = visible_stretches(xy, near, [parts for _, parts in segments], projections, camera.distance)
    which = np.repeat(np.arange(len(segments)), [len(found) for found in stretches])
    shares = np.array([share for found in stretches for share in found]).reshape(-1, 2)
    parts = snapped(xy[which, None, 0] + shares[..., None] * (xy[which, 1] - xy[which, 0])[:, None])
    nearness = near[which, None, 0] + shares * (near[which, 1] - near[which, 0])[:, None]
    for row in np.flatnonzero(_are_lines(parts)).tolist():
        yield replace(segments[which[row]][0], xy=parts[row], near=nearness[row])


def _are_lines(ends: FloatArray) -> BoolArray:
    """Of each two ends (n × 2 × 2) whether they lie apart."""
    step = ends[:, 1] - ends[:, 0]
    apart: BoolArray = np.hypot(step[:, 0], step[:, 1]) > NODE_TOLERANCE
    return apart


def _projected_segments(solid: Solid, camera: Camera, projections: Sequence[ProjectedArea],
                        silhouettes: Sequence[tuple[int, FloatArray]],
                        ) -> Iterator[tuple[VisibleLine, frozenset[int]]]:
    """Every line in straight segments, hidden or not, each with the parts that never hide it."""
    flats = {k for k, part in enumerate(solid.parts) if isinstance(part, Facet)}
    planes = {area.part: area.surface for area in projections if not isinstance(area.surface, ProjectedMesh)}
    for number, line in enumerate(solid.lines):
        points, nearness = camera.project(line.points)
        lifted = [k for k in line.parts if solid.parts[k].lift]       # a part across them goes where they are
        if lifted:
            nearness = np.max([_lifted_nearness(planes.get(k), points, nearness) for k in lifted], axis=0)
        for a in range(len(points) - 1):
            curve = number if line.curved else -1
            segment = VisibleLine(points[a:a + 2], nearness[a:a + 2], line.kind, curve)
            yield segment, frozenset(flats & set(line.parts))
    for part, silhouette in silhouettes:
        yield VisibleLine(*camera.project(silhouette), None, len(solid.lines) + part), frozenset((part,))


def _lifted_nearness(plane: FloatArray | None, xy: FloatArray, nearness: FloatArray) -> FloatArray:
    """The nearness of the points ``xy`` (n × 2) of a line as one on a part that is lifted."""
    return nearness if plane is None else xy @ plane[:2] + plane[2]


def _classified_lines(seen: Sequence[VisibleLine], projections: Sequence[ProjectedArea],
                      areas: Sequence[BaseGeometry],
                      distance: float) -> Iterator[tuple[FloatArray, Contour, int]]:
    """(ends, what it is, the curve it belongs to) for every piece between two nodes."""
    if not seen:
        return
    ends, sources = snap_rounded(np.array([each.xy for each in seen]), NODE_TOLERANCE)
    midpoints = ends.mean(axis=1)
    step = ends[:, 1] - ends[:, 0]
    aside = SIDE_OFFSET * np.stack([-step[:, 1], step[:, 0]],
                                   axis=1) / np.maximum(np.hypot(*step.T), 1e-9)[:, None]
    origin = [min(found, key=lambda k: (LINE_RANKS[seen[k].kind], k)) for found in sources]
    near = np.array([_nearness_at(seen[k], point) for k, point in zip(origin, midpoints, strict=True)])
    depth = np.array([CONTACT_DEPTH if seen[k].kind in (LineKind.EDGE, LineKind.MARK) else MAX_OWN_DEPTH
                      for k in origin])
    left_parts, right_parts = (_adjacent_parts(projections, areas, midpoints + sign * aside, midpoints, near,
                                               depth / distance) for sign in (1, -1))
    for row, (k, left, right) in enumerate(zip(origin, left_parts, right_parts, strict=True)):
        both = left >= 0 and right >= 0
        if both and left == right and seen[k].kind is None:
            continue
        fine = Contour.MARK if seen[k].kind is LineKind.MARK else Contour.CREASE
        kind = fine if both or seen[k].kind is LineKind.HOLE else Contour.OUTLINE
        yield ends[row], kind, seen[k].curved


def _nearness_at(line: VisibleLine, point: FloatArray) -> float:
    step = line.xy[1] - line.xy[0]
    share = float(np.clip((point - line.xy[0]) @ step / (step @ step), 0.0, 1.0))
    return float(line.near[0] + share * (line.near[1] - line.near[0]))


def _adjacent_parts(projections: Sequence[ProjectedArea], areas: Sequence[BaseGeometry], beside: FloatArray,
                    midpoints: FloatArray, near: FloatArray, depth: FloatArray) -> IntArray:
    """For every line the area at the point ``beside`` it, no farther from it than ``depth``, or -1."""
    adjacent: IntArray = np.full(len(beside), -1)
    tree = shapely.STRtree(np.array(areas, dtype=object))
    rows, hit = tree.query(np.asarray(shapely.points(snapped(beside)), dtype=object), predicate="intersects")
    for k in np.unique(hit).tolist():       # where several are, the last one
        own = rows[hit == k]
        at = (beside if isinstance(projections[k].surface, ProjectedMesh) else midpoints)[own]
        adjacent[own[np.abs(projections[k].nearness(at) - near[own]) < depth[own]]] = k
    return adjacent


def _joined_lines(pieces: Sequence[FloatArray]) -> Iterator[FloatArray]:
    """Pieces (2 × 2) merged into lines (n × 2), nearly collinear points left out."""
    if not pieces:
        return
    merged = shapely.line_merge(shapely.MultiLineString(list(pieces)))
    parts = shapely.get_parts(merged)
    for line in sorted(parts, key=lambda part: shapely.get_coordinates(part).round(3).tolist()):
        if line.length > MIN_LINE_LENGTH:
            yield shapely.get_coordinates(shapely.simplify(line, MAX_CORNER_OFFSET))
