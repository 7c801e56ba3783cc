"""What hides what: the areas and the stretches of lines that are left to be seen.

In perspective the nearness of a plane changes evenly over the picture, so one
flat part hides another exactly on one side of a straight line. Every area is
what remains of it when all that lies before it is taken away; no order of
painting has to be found, and none can be wrong. Bent parts are compared at
their corners, and triangle by triangle where they change places.
"""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely import Polygon

from generator.drawing.folded.projection import MIN_VISIBLE_AREA, ProjectedArea
from generator.geometry.ties import snapped

COPLANAR_DEPTH = 0.02         # mm of depth; closer parts lie in one plane
OCCLUSION_DEPTH = 0.06       # mm of depth by which a part must lie before a line to hide it
PICTURE_GRID = 0.002        # mm of the picture; what is closer is one point
MIN_LINE_SHARE = 1e-6        # of a line; less between two parts that hide it is not seen
SAMPLE_COUNT = 5         # places along a line at which it is compared with a bent part
MIN_AREA_WIDTH = 0.02         # mm of the picture; narrower areas are dust


def visible_areas(sights: Sequence[ProjectedArea], distance: float) -> list[shapely.Geometry]:
    """For every sight the part of its area before which nothing lies; ``distance`` is the eye's."""
    shapes = np.array([sight.shape for sight in sights], dtype=object)
    before: dict[int, list[shapely.Geometry]] = defaultdict(list)
    one, other = _pairs(shapes)
    laps = shapely.intersection(shapes[one], shapes[other])
    keep = shapely.area(laps) > MIN_VISIBLE_AREA
    for i, j, lap in zip(one[keep], other[keep], laps[keep]):
        for hidden, hider, shape in _depth_order(sights, int(i), int(j), lap, COPLANAR_DEPTH / distance):
            before[hidden].append(shape)
    return [_difference(shape, before.get(number, ())) for number, shape in enumerate(shapes)]


def _pairs(shapes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    one, other = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    once = one < other
    order = np.lexsort((other[once], one[once]))
    return one[once][order], other[once][order]


def _depth_order(sights: Sequence[ProjectedArea], i: int, j: int, lap: shapely.Geometry, same: float) -> Iterator[tuple[int, int, shapely.Geometry]]:
    """(hidden, hider, where) for two parts that overlap in ``lap``."""
    a, b = sights[i], sights[j]
    if a.plane is None or b.plane is None:
        yield from _bent_depth_order(sights, i, j, lap, same)
        return
    tilt = b.plane - a.plane
    ahead = shapely.get_coordinates(lap) @ tilt[:2] + tilt[2]       # how much nearer the second one is
    if ahead.min() >= -same:
        yield i, j, b.shape
    elif ahead.max() <= same:
        yield j, i, a.shape
    else:
        yield i, j, b.shape.intersection(_half_plane_box(tilt, lap))
        yield j, i, a.shape.intersection(_half_plane_box(-tilt, lap))


def _half_plane_box(line: np.ndarray, around: shapely.Geometry) -> Polygon:
    """The part of a box round an area on which a·x + b·y + c is above 0."""
    x0, y0, x1, y1 = around.buffer(1.0, join_style="mitre").bounds
    ring = np.array(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
    values = ring @ line[:2] + line[2]
    made = []
    for p, q, at_p, at_q in zip(ring, np.roll(ring, -1, axis=0), values, np.roll(values, -1)):
        if at_p >= 0:
            made.append(p)
        if (at_p >= 0) != (at_q >= 0):
            made.append(p + (q - p) * at_p / (at_p - at_q))
    return Polygon(snapped(np.array(made))) if len(made) > 2 else Polygon()


def _bent_depth_order(sights: Sequence[ProjectedArea], i: int, j: int, lap: shapely.Geometry, same: float) -> Iterator[tuple[int, int, shapely.Geometry]]:
    a, b = sights[i], sights[j]
    if a.plane is None and b.plane is None and (b.range[0] > a.range[1] or a.range[0] > b.range[1]):
        yield (i, j, b.shape) if b.range[0] > a.range[1] else (j, i, a.shape)
        return
    loose = 3 * same        # bent parts are straight between their corners
    spots = _comparison_points(lap, a, b)
    ahead = b.nearness(spots) - a.nearness(spots)
    ahead = ahead[np.abs(ahead) > loose]
    if not len(ahead):
        ahead = np.array([float((b.nearness(spots) - a.nearness(spots)).mean())])
    if ahead.min() > 0:
        yield i, j, b.shape
    elif ahead.max() < 0:
        yield j, i, a.shape
    else:
        yield from _triangle_depth_order(sights, i, j, lap)


def _comparison_points(lap: shapely.Geometry, *sights: ProjectedArea) -> np.ndarray:
    """Points at which two overlapping parts are compared: corners of both, and of the overlap, moved a little inside."""
    inner = lap.buffer(-10 * MIN_AREA_WIDTH)
    inner = lap if inner.is_empty else inner
    spots = [shapely.get_coordinates(inner), shapely.get_coordinates(shapely.point_on_surface(inner))]
    for sight in sights:
        if sight.corners is not None:
            xy = sight.corners.mean(axis=1)
            spots.append(xy[shapely.contains_xy(inner, *xy.T)])
    return np.concatenate(spots)


def _triangle_depth_order(sights: Sequence[ProjectedArea], i: int, j: int, lap: shapely.Geometry) -> Iterator[tuple[int, int, shapely.Geometry]]:
    cells = np.array([shapely.intersection(one, lap) for one in _cells(sights[i])], dtype=object)
    others = np.array(_cells(sights[j]), dtype=object)
    one, other = shapely.STRtree(others).query(cells, predicate="intersects")
    bits = shapely.intersection(cells[one], others[other])
    bits = bits[shapely.area(bits) > 1e-6]
    if not len(bits):
        return
    spots = shapely.get_coordinates(shapely.centroid(bits))
    ahead = sights[j].nearness(spots) > sights[i].nearness(spots)
    yield i, j, shapely.union_all(bits[ahead], grid_size=PICTURE_GRID)
    yield j, i, shapely.union_all(bits[~ahead], grid_size=PICTURE_GRID)


def _cells(sight: ProjectedArea) -> list[Polygon]:
    if sight.corners is None:
        return [sight.shape]
    cells = shapely.polygons(sight.corners)
    return list(cells[shapely.area(cells) > 1e-6])


def _difference(shape: shapely.Geometry, before: Sequence[shapely.Geometry]) -> shapely.Geometry:
    if before:
        shape = shapely.difference(shape, shapely.union_all(before, grid_size=PICTURE_GRID), grid_size=PICTURE_GRID)
    return polygonal_part(shape)


def polygonal_part(shape: shapely.Geometry) -> shapely.Geometry:
    """What has an area: no lines, no points, no dust."""
    parts = [p for p in shapely.get_parts(shape) if isinstance(p, Polygon) and p.area > MIN_VISIBLE_AREA and not p.buffer(-MIN_AREA_WIDTH).is_empty]
    return shapely.MultiPolygon(parts) if len(parts) != 1 else parts[0]


# -- lines --------------------------------------------------------------------

def visible_stretches(xy: np.ndarray, near: np.ndarray, own: Sequence[frozenset[int]], sights: Sequence[ProjectedArea],
                   distance: float) -> list[list[tuple[float, float]]]:
    """For straight lines (n × 2 × 2, with the nearness of both ends) the stretches that are seen, as shares of their length.

    ``own`` are the parts that a line bounds and that do not hide it: flat ones, and the bent one whose silhouette it is.
    """
    hidden: dict[int, list[tuple[float, float]]] = defaultdict(list)
    lines = shapely.linestrings(xy)
    shapes = np.array([sight.shape for sight in sights], dtype=object)
    which, hider = shapely.STRtree(shapes).query(lines, predicate="intersects")
    keep = _may_hide(sights, xy[which], near[which], hider, OCCLUSION_DEPTH / distance)
    keep[keep] = [sights[j].part not in own[k] for k, j in zip(which[keep].tolist(), hider[keep].tolist())]
    which, hider = which[keep], hider[keep]
    met = shapely.intersection(lines[which], shapes[hider])
    by_hider: dict[int, list[tuple[int, float, float]]] = defaultdict(list)
    for row in np.lexsort((hider, which)).tolist():
        k = int(which[row])
        by_hider[int(hider[row])] += [(k, low, high) for low, high in _shares(xy[k], met[row])]
    for j, rows in by_hider.items():
        for k, found in _behind(sights[j], rows, xy, near, OCCLUSION_DEPTH / distance):
            hidden[k] += found
    return [_complement(hidden.get(k, ())) for k in range(len(lines))]


def _may_hide(sights: Sequence[ProjectedArea], ends: np.ndarray, near: np.ndarray, hider: np.ndarray, before: float) -> np.ndarray:
    """False where a part lies behind both ends of a line: a flat one there, a bent one all of it."""
    planes = np.array([(0.0, 0.0, sight.range[1]) if sight.plane is None else sight.plane for sight in sights]).reshape(-1, 3)[hider]
    ahead = (ends * planes[:, None, :2]).sum(axis=2) + planes[:, None, 2] - near
    return (ahead > before).any(axis=1)


def _shares(ends: np.ndarray, met: shapely.Geometry) -> Iterator[tuple[float, float]]:
    """Where along a line the parts of itself lie."""
    step = ends[1] - ends[0]
    for part in shapely.get_parts(met):
        if part.geom_type == "LineString" and part.length > PICTURE_GRID:
            low, high = sorted(((shapely.get_coordinates(part)[[0, -1]] - ends[0]) @ step / (step @ step)).tolist())
            yield low, high


def _behind(sight: ProjectedArea, rows: Sequence[tuple[int, float, float]], xy: np.ndarray, near: np.ndarray,
            before: float) -> Iterator[tuple[int, list[tuple[float, float]]]]:
    """For (line, from, to), shares of its length: the line, and the stretches between before which a part lies."""
    if not rows:
        return
    which = np.array([row[0] for row in rows])
    shares = np.linspace([row[1] for row in rows], [row[2] for row in rows], 2 if sight.plane is not None else SAMPLE_COUNT, axis=1)
    spots = xy[which, None, 0] + shares[..., None] * (xy[which, 1] - xy[which, 0])[:, None]
    own = near[which, None, 0] + shares * (near[which, 1] - near[which, 0])[:, None]
    ahead = sight.nearness(spots.reshape(-1, 2)).reshape(shares.shape) - own - before
    for row, k in enumerate(which.tolist()):
        yield k, _stretches(shares[row], ahead[row])


def _stretches(shares: np.ndarray, ahead: np.ndarray) -> list[tuple[float, float]]:
    made = []
    for a, b, at_a, at_b in zip(shares.tolist(), shares[1:].tolist(), ahead.tolist(), ahead[1:].tolist()):
        if at_a > 0 or at_b > 0:
            cross = a + (b - a) * at_a / (at_a - at_b) if (at_a > 0) != (at_b > 0) else None
            made.append((a if at_a > 0 else cross, b if at_b > 0 else cross))
    return made


def _complement(hidden: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    seen, at = [], 0.0
    for low, high in sorted(hidden):
        if low > at + MIN_LINE_SHARE:
            seen.append((at, low))
        at = max(at, high)
    if at < 1.0 - MIN_LINE_SHARE:
        seen.append((at, 1.0))
    return seen
