"""Removal of hidden surfaces and lines: the areas and the stretches of lines that are visible.

In perspective the nearness of a plane is linear over the picture, so one
flat part hides another exactly on one side of a straight line. Every area is
what remains of it when all that lies before it is taken away; no order of
painting has to be found, and none can be wrong. Bent parts are compared at
their corners, and triangle by triangle where they intersect in depth.
"""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from generator.drawing.folded.projection import ProjectedArea, ProjectedMesh
from generator.geometry.arrays import BoolArray, FloatArray, IntArray
from generator.geometry.overlay import common_area, common_areas, polygonal
from generator.geometry.ties import snapped
from generator.geometry.tolerances import (
    COPLANAR_DEPTH,
    MIN_AREA_WIDTH,
    MIN_LINE_SHARE,
    MIN_PIECE_AREA,
    MIN_VISIBLE_AREA,
    OCCLUSION_DEPTH,
    PICTURE_GRID,
)

SAMPLE_COUNT = 5         # points along a line at which it is compared with a bent part

Occlusion = tuple[int, int, BaseGeometry]       # hidden part, hiding part, where
LINE = 1                    # shapely's number of a line
Interval = tuple[float, float]                  # of a line, in shares of its length


def visible_areas(projections: Sequence[ProjectedArea], distance: float) -> list[BaseGeometry]:
    """For every area the part before which nothing lies; ``distance`` is the eye's."""
    shapes = _shapes(projections)
    before: dict[int, list[BaseGeometry]] = defaultdict(list)
    one, other = _pairs(shapes)
    overlaps = common_areas(shapes[one], shapes[other])
    keep = shapely.area(overlaps) > MIN_VISIBLE_AREA
    for i, j, overlap in zip(one[keep], other[keep], overlaps[keep], strict=True):
        for hidden, _, shape in _depth_order(projections, int(i), int(j), overlap, COPLANAR_DEPTH / distance):
            before[hidden].append(shape)
    return [_difference(shape, before.get(number, ())) for number, shape in enumerate(shapes)]


def _shapes(projections: Sequence[ProjectedArea]) -> npt.NDArray[np.object_]:
    return np.array([projection.shape for projection in projections], dtype=object)


def _pairs(shapes: npt.NDArray[np.object_]) -> tuple[IntArray, IntArray]:
    """Pairs of shapes that intersect, each once, in order."""
    one, other = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    once = one < other
    order = np.lexsort((other[once], one[once]))
    return one[once][order], other[once][order]


def _depth_order(projections: Sequence[ProjectedArea], i: int, j: int, overlap: BaseGeometry,
                 coplanar: float) -> Iterator[Occlusion]:
    """What hides what of two parts that overlap; within ``coplanar`` of nearness the later one lies above."""
    a, b = projections[i], projections[j]
    if isinstance(a.surface, ProjectedMesh) or isinstance(b.surface, ProjectedMesh):
        yield from _bent_depth_order(projections, i, j, overlap, coplanar)
        return
    tilt = b.surface - a.surface
    ahead = shapely.get_coordinates(overlap) @ tilt[:2] + tilt[2]       # how much nearer the second one is
    if ahead.min() >= -coplanar:
        yield i, j, b.shape
    elif ahead.max() <= coplanar:
        yield j, i, a.shape
    else:
        yield i, j, common_area(b.shape, _half_plane_box(tilt, overlap))
        yield j, i, common_area(a.shape, _half_plane_box(-tilt, overlap))


def _half_plane_box(line: FloatArray, around: BaseGeometry) -> Polygon:
    """The part of a box round an area on which a·x + b·y + c is above 0."""
    x0, y0, x1, y1 = around.buffer(1.0, join_style="mitre").bounds
    ring = np.array(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
    values = ring @ line[:2] + line[2]
    corners = []
    for p, q, at_p, at_q in zip(ring, np.roll(ring, -1, axis=0), values, np.roll(values, -1), strict=True):
        if at_p >= 0:
            corners.append(p)
        if (at_p >= 0) != (at_q >= 0):
            corners.append(p + (q - p) * at_p / (at_p - at_q))
    return Polygon(snapped(np.array(corners))) if len(corners) > 2 else Polygon()


def _bent_depth_order(projections: Sequence[ProjectedArea], i: int, j: int, overlap: BaseGeometry,
                      coplanar: float) -> Iterator[Occlusion]:
    a, b = projections[i], projections[j]
    if isinstance(a.surface, ProjectedMesh) and isinstance(b.surface, ProjectedMesh):
        (a_low, a_high), (b_low, b_high) = a.surface.range, b.surface.range
        if b_low > a_high or a_low > b_high:
            yield (i, j, b.shape) if b_low > a_high else (j, i, a.shape)
            return
    points = _comparison_points(overlap, a, b)
    difference = b.nearness(points) - a.nearness(points)
    # bent parts are straight between their corners
    ahead = difference[np.abs(difference) > 3 * coplanar]
    if not len(ahead):
        ahead = np.array([float(difference.mean())])
    if ahead.min() > 0:
        yield i, j, b.shape
    elif ahead.max() < 0:
        yield j, i, a.shape
    else:
        yield from _triangle_depth_order(projections, i, j, overlap)


def _comparison_points(overlap: BaseGeometry, *projections: ProjectedArea) -> FloatArray:
    """Points (n × 2) at which two parts are compared, of their triangles and of the overlap."""
    shrunk = overlap.buffer(-10 * MIN_AREA_WIDTH)
    inner = overlap if shrunk.is_empty else shrunk
    points = [shapely.get_coordinates(inner), shapely.get_coordinates(shapely.point_on_surface(inner))]
    for projection in projections:
        if isinstance(projection.surface, ProjectedMesh):
            xy = projection.surface.corners.mean(axis=1)
            points.append(xy[shapely.contains_xy(inner, *xy.T)])
    return np.concatenate(points)


def _triangle_depth_order(projections: Sequence[ProjectedArea], i: int, j: int,
                          overlap: BaseGeometry) -> Iterator[Occlusion]:
    cells = common_areas(_cells(projections[i]), overlap)
    others = _cells(projections[j])
    one, other = shapely.STRtree(others).query(cells, predicate="intersects")
    common = common_areas(cells[one], others[other])
    common = common[shapely.area(common) > MIN_PIECE_AREA]
    if not len(common):
        return
    points = shapely.get_coordinates(shapely.centroid(common))
    ahead = projections[j].nearness(points) > projections[i].nearness(points)
    yield i, j, shapely.union_all(common[ahead], grid_size=PICTURE_GRID)
    yield j, i, shapely.union_all(common[~ahead], grid_size=PICTURE_GRID)


def _cells(projection: ProjectedArea) -> npt.NDArray[np.object_]:
    """The triangles of a bent part, the whole area of a flat one."""
    if not isinstance(projection.surface, ProjectedMesh):
        return np.array([projection.shape], dtype=object)
    cells = np.asarray(shapely.polygons(projection.surface.corners), dtype=object)
    return cells[shapely.area(cells) > MIN_PIECE_AREA]


def _difference(shape: BaseGeometry, before: Sequence[BaseGeometry]) -> BaseGeometry:
    if before:
        shape = shapely.difference(shape, shapely.union_all(before, grid_size=PICTURE_GRID),
                                   grid_size=PICTURE_GRID)
    return polygonal_part(shape)


def polygonal_part(shape: BaseGeometry) -> BaseGeometry:
    """What has an area: no lines, no points, no slivers."""
    parts = [p for p in shapely.get_parts(polygonal(shape)) if p.area > MIN_VISIBLE_AREA
             and not p.buffer(-MIN_AREA_WIDTH).is_empty]
    return shapely.MultiPolygon(parts) if len(parts) != 1 else parts[0]


# -- lines --------------------------------------------------------------------

def visible_stretches(xy: FloatArray, near: FloatArray, own: Sequence[frozenset[int]],
                      projections: Sequence[ProjectedArea], distance: float) -> list[list[Interval]]:
    """The visible stretches of straight lines, as shares of their length.

    ``xy`` (n × 2 × 2) are the ends of the lines, ``near`` (n × 2) their
    nearness. ``own`` are the parts that a line bounds and that do not hide it:
    flat ones, and the bent one whose silhouette it is.
    """
    hidden: dict[int, list[Interval]] = defaultdict(list)
    lines = np.asarray(shapely.linestrings(xy), dtype=object)
    shapes = _shapes(projections)
    which, hider = shapely.STRtree(shapes).query(lines, predicate="intersects")
    keep = _may_hide(projections, xy[which], near[which], hider, OCCLUSION_DEPTH / distance)
    keep[keep] = [projections[j].part not in own[k] for k,
                  j in zip(which[keep].tolist(), hider[keep].tolist(), strict=True)]
    which, hider = which[keep], hider[keep]
    row, shares = _shares(xy[which], shapely.intersection(lines[which], shapes[hider]))
    for j in np.unique(hider[row]).tolist():
        by = hider[row] == j
        for k, found in _behind(projections[j], which[row[by]], shares[by], xy, near,
                                OCCLUSION_DEPTH / distance):
            hidden[k] += found
    return [_complement(hidden.get(k, ())) for k in range(len(lines))]


def _may_hide(projections: Sequence[ProjectedArea], ends: FloatArray, near: FloatArray, hider: IntArray,
              before: float) -> BoolArray:
    """False where a part lies behind both ends of a line: a flat one there, a bent one all of it."""
    surfaces = [projection.surface for projection in projections]
    planes = np.array([(0.0, 0.0, surface.range[1]) if isinstance(surface, ProjectedMesh) else surface
                       for surface in surfaces]).reshape(-1, 3)[hider]
    ahead = (ends * planes[:, None, :2]).sum(axis=2) + planes[:, None, 2] - near
    hiding: BoolArray = (ahead > before).any(axis=1)
    return hiding


def _shares(ends: FloatArray, covered: npt.NDArray[np.object_]) -> tuple[IntArray, FloatArray]:
    """Where along lines (n × 2 × 2) parts of each lie: its number, and from where to where (m × 2)."""
    parts, row = shapely.get_parts(covered, return_index=True)
    long = (shapely.get_type_id(parts) == LINE) & (shapely.length(parts) > PICTURE_GRID)
    parts, row = parts[long], row[long]
    at = np.stack([shapely.get_coordinates(shapely.get_point(parts, k)) for k in (0, -1)], axis=1)
    step = (ends[:, 1] - ends[:, 0])[row]
    along = ((at - ends[row, None, 0]) * step[:, None]).sum(axis=2) / (step * step).sum(axis=1)[:, None]
    return row, np.sort(along, axis=1)


def _behind(projection: ProjectedArea, which: IntArray, between: FloatArray, xy: FloatArray,
            near: FloatArray, before: float) -> Iterator[tuple[int, list[Interval]]]:
    """For parts of lines ``between`` shares (n × 2) the line, and where in between it lies behind an area."""
    count = SAMPLE_COUNT if isinstance(projection.surface, ProjectedMesh) else 2
    shares = np.linspace(between[:, 0], between[:, 1], count, axis=1)
    points = xy[which, None, 0] + shares[..., None] * (xy[which, 1] - xy[which, 0])[:, None]
    own = near[which, None, 0] + shares * (near[which, 1] - near[which, 0])[:, None]
    ahead = projection.nearness(points.reshape(-1, 2)).reshape(shares.shape) - own - before
    for row, k in enumerate(which.tolist()):
        yield k, _stretches(shares[row], ahead[row])


def _stretches(shares: FloatArray, ahead: FloatArray) -> list[Interval]:
    """Where a value that is linear between samples is above 0."""
    found = []
    samples = list(zip(shares.tolist(), ahead.tolist(), strict=True))
    for (a, at_a), (b, at_b) in pairwise(samples):
        if at_a > 0 and at_b > 0:
            found.append((a, b))
        elif at_a > 0 or at_b > 0:
            crossing = a + (b - a) * at_a / (at_a - at_b)
            found.append((a, crossing) if at_a > 0 else (crossing, b))
    return found


def _complement(hidden: Sequence[Interval]) -> list[Interval]:
    seen: list[Interval] = []
    at = 0.0
    for low, high in sorted(hidden):
        if low > at + MIN_LINE_SHARE:
            seen.append((at, low))
        at = max(at, high)
    if at < 1.0 - MIN_LINE_SHARE:
        seen.append((at, 1.0))
    return seen
