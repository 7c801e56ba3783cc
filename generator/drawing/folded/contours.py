"""Which lines are drawn strong and which fine: outlines, before which something else lies or nothing, and creases.

All seen lines are cut where they meet. On either side of a piece lies a part
of the paper that touches it, or something farther away. With paper on both
sides it is a crease, else an outline, whatever made it: a fold, the edge of
the paper or the silhouette of a bent part (ISO 128: visible outlines wide,
all else narrow).
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from generator.drawing.folded.camera import Camera, Facet, LineKind, Solid
from generator.drawing.folded.hidden_lines import visible_stretches
from generator.drawing.folded.projection import ProjectedArea
from generator.drawing.pen import Contour
from generator.geometry.ties import snapped

NODE_TOLERANCE = 0.01         # mm of the picture; lines this close meet
SIDE_OFFSET = 0.14        # mm of the picture; so far beside a line it is looked what lies there
MAX_OWN_DEPTH = 25.0         # mm of depth; beyond a fold or a silhouette paper so close still belongs to it, as what is tucked in does
CONTACT_DEPTH = 1.6         # mm of depth; paper this close to a line touches it, a pile of flaps included
MIN_LINE_LENGTH = 0.08     # mm of the picture
COLLINEAR_TOLERANCE = 0.012        # mm by which a corner may leave the line through its neighbours


@dataclass(frozen=True, slots=True, eq=False)
class VisibleLine:
    """A seen stretch of a line in the picture (2 × 2) with the nearness of its ends."""

    xy: np.ndarray
    near: np.ndarray
    kind: LineKind | None           # None for the silhouette of a bent part
    curved: int                 # number of the curve that it belongs to; -1 for a straight line


@dataclass(frozen=True, slots=True, eq=False)
class ContourLine:
    """A line to draw: its points in the picture (n × 2), and whether it is a curve through them."""

    contour: Contour
    points: np.ndarray
    curved: bool


def contours(solid: Solid, camera: Camera, sights: Sequence[ProjectedArea], areas: Sequence[shapely.Geometry],
             silhouettes: Sequence[tuple[int, np.ndarray]]) -> list[ContourLine]:
    """Every line of the picture, the strong ones last."""
    seen = list(_visible_lines(solid, camera, sights, silhouettes))
    pieces = list(_classified_lines(seen, sights, areas, camera.distance))
    made = []
    for contour in (Contour.MARK, Contour.CREASE, Contour.OUTLINE):
        for curve in sorted({bends for _, kind, bends in pieces if kind is contour}):
            own = [xy for xy, kind, bends in pieces if kind is contour and bends == curve]
            made += [ContourLine(contour, points, curve >= 0) for points in _joined_lines(own)]
    return made


def _visible_lines(solid: Solid, camera: Camera, sights: Sequence[ProjectedArea],
          silhouettes: Sequence[tuple[int, np.ndarray]]) -> Iterator[VisibleLine]:
    flats = {k for k, part in enumerate(solid.parts) if isinstance(part, Facet)}
    planes = {sight.part: sight.plane for sight in sights if sight.plane is not None}
    xy, near, own, said = [], [], [], []
    for number, course in enumerate(solid.courses):
        points, nearness = camera.project(course.points)
        lifted = [k for k in course.parts if solid.parts[k].lift]       # a part across them goes where they are
        if lifted:
            nearness = np.max([_lifted_nearness(planes.get(part), points, nearness) for part in lifted], axis=0)
        for a in range(len(points) - 1):
            xy.append(points[a:a + 2])
            near.append(nearness[a:a + 2])
            own.append(frozenset(flats & set(course.parts)))
            said.append((course.kind, number if course.curved else -1))
    for part, line in silhouettes:
        points, nearness = camera.project(line)
        xy.append(points)
        near.append(nearness)
        own.append(frozenset((part,)))
        said.append((None, len(solid.courses) + part))
    keep = [k for k, ends in enumerate(xy) if np.hypot(*(ends[1] - ends[0])) > NODE_TOLERANCE]
    xy, near = np.array([xy[k] for k in keep]).reshape(-1, 2, 2), np.array([near[k] for k in keep]).reshape(-1, 2)
    stretches = visible_stretches(xy, near, [own[k] for k in keep], sights, camera.distance)
    for row, (k, found) in enumerate(zip(keep, stretches)):
        for low, high in found:
            at = np.array((low, high))
            part = snapped(xy[row][0] + at[:, None] * (xy[row][1] - xy[row][0]))
            if np.hypot(*(part[1] - part[0])) > NODE_TOLERANCE:
                yield VisibleLine(part, near[row][0] + at * (near[row][1] - near[row][0]), *said[k])


def _lifted_nearness(plane: np.ndarray | None, xy: np.ndarray, nearness: np.ndarray) -> np.ndarray:
    """How near a line is as one on a part that is lifted, at the places where it is seen."""
    return nearness if plane is None else xy @ plane[:2] + plane[2]


def _classified_lines(seen: Sequence[VisibleLine], sights: Sequence[ProjectedArea], areas: Sequence[shapely.Geometry],
             distance: float) -> Iterator[tuple[np.ndarray, Contour, int]]:
    """(ends, what it is, the curve it belongs to) for every piece between two meetings."""
    if not seen:
        return
    lines = shapely.linestrings(np.array([each.xy for each in seen]))
    met = shapely.get_parts(shapely.union_all(lines, grid_size=NODE_TOLERANCE))
    ends = shapely.get_coordinates(met).reshape(-1, 2, 2) if (shapely.get_num_coordinates(met) == 2).all() else _segments(met)
    middles = ends.mean(axis=1)
    step = ends[:, 1] - ends[:, 0]
    aside = SIDE_OFFSET * np.stack([-step[:, 1], step[:, 0]], axis=1) / np.maximum(np.hypot(*step.T), 1e-9)[:, None]
    origin = _origins(lines, middles, seen)
    near = np.array([_nearness_at(seen[k], middle) for k, middle in zip(origin, middles)])
    deep = np.array([CONTACT_DEPTH if seen[k].kind in (LineKind.EDGE, LineKind.MARK) else MAX_OWN_DEPTH for k in origin])
    touched = [_adjacent_parts(sights, areas, middles + way * aside, middles, near, deep / distance) for way in (1, -1)]
    for row, (k, left, right) in enumerate(zip(origin, *touched)):
        both = left >= 0 and right >= 0
        if both and left == right and seen[k].kind is None:
            continue
        fine = Contour.MARK if seen[k].kind is LineKind.MARK else Contour.CREASE
        kind = fine if both or seen[k].kind is LineKind.HOLE else Contour.OUTLINE
        yield ends[row], kind, seen[k].curved


def _segments(lines: np.ndarray) -> np.ndarray:
    made = [np.stack([xy[:-1], xy[1:]], axis=1) for xy in map(shapely.get_coordinates, lines)]
    return np.concatenate(made)


def _origins(lines: np.ndarray, middles: np.ndarray, seen: Sequence[VisibleLine]) -> list[int]:
    """Which line each piece is of; where several lie on each other, a fold before an edge before a mark."""
    rank = {LineKind.FOLD: 0, LineKind.EDGE: 1, None: 2, LineKind.MARK: 3, LineKind.HOLE: 4}
    points = shapely.points(middles)
    tree = shapely.STRtree(lines)
    best: dict[int, tuple[int, int]] = {}
    for row, k in sorted(zip(*(found.tolist() for found in tree.query(points, predicate="dwithin", distance=2 * NODE_TOLERANCE)))):
        best[row] = min(best.get(row, (9, 0)), (rank[seen[k].kind], k))
    nearest = tree.nearest(points)
    return [best[row][1] if row in best else int(nearest[row]) for row in range(len(middles))]


def _nearness_at(line: VisibleLine, point: np.ndarray) -> float:
    step = line.xy[1] - line.xy[0]
    share = float(np.clip((point - line.xy[0]) @ step / (step @ step), 0.0, 1.0))
    return float(line.near[0] + share * (line.near[1] - line.near[0]))


def _adjacent_parts(sights: Sequence[ProjectedArea], areas: Sequence[shapely.Geometry], spots: np.ndarray, middles: np.ndarray,
              near: np.ndarray, deep: np.ndarray) -> np.ndarray:
    """For every line the part of the solid that lies beside it and no deeper than ``deep``, or -1."""
    made = np.full(len(spots), -1)
    tree = shapely.STRtree(np.array(areas, dtype=object))
    rows, found = tree.query(shapely.points(snapped(spots)), predicate="intersects")
    for row, k in sorted(zip(rows.tolist(), found.tolist())):
        at = middles[row] if sights[k].plane is not None else spots[row]
        if abs(float(sights[k].nearness(at[None])[0]) - near[row]) < deep[row]:
            made[row] = k
    return made


def _joined_lines(pieces: Sequence[np.ndarray]) -> Iterator[np.ndarray]:
    """Pieces that go on in each other as one line, what is nearly straight made straight."""
    if not pieces:
        return
    merged = shapely.line_merge(shapely.multilinestrings(shapely.linestrings(np.array(pieces))))
    parts = shapely.get_parts(merged)
    for line in sorted(parts, key=lambda part: shapely.get_coordinates(part).round(3).tolist()):
        if line.length > MIN_LINE_LENGTH:
            yield shapely.get_coordinates(shapely.simplify(line, COLLINEAR_TOLERANCE))
