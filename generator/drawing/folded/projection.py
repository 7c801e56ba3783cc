"""The parts of a solid projected into the picture: areas with their nearness, the side seen and a tone.

A flat part is one area. A bent one is split along its silhouette, where its
normal is perpendicular to the line of sight, into what shows its +z side and
what shows the other. Shading is flat, in few tones, from one light behind the
reader's left shoulder.
"""
from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass
from generator.drawing.folded.camera import BentPart, Camera, Facet, Solid
from generator.geometry.arrays import FloatArray
from generator.geometry.ties import snapped
from generator.geometry.tolerances import DRAWN_PLACE_TOLERANCE, EDGE_ON_LIMIT, MIN_NORM, MIN_VISIBLE_AREA

# right, upward, towards the eye
LIGHT = np.array((-0.45, 0.62, 0.64)) / np.linalg.norm((-0.45, 0.62, 0.64))
TONE_LIMITS = (0.16, 0.32, 0.50)      # darker than this is the next tone; so there are four, 1 the lightest
INSIDE_DARKENING = 0.10                   # so much darker is the plain side, which lies in the box


def darkness(normals: FloatArray, camera: Camera, side: str) -> FloatArray:
    """0 for a face that the light strikes square, 1 for one turned right away from it (…).

    The ``normals`` (… × 3) point to the reader.
    """
    lit = normals @ (LIGHT @ camera.axes)
    dark: FloatArray = np.minimum((1.0 - lit) / 2 + (INSIDE_DARKENING if side == "plain" else 0.0), 1.0)
    return dark


def tone_number(dark: float) -> int:
    """The tone, from 1, of a shade."""
    return 1 + sum(dark > limit for limit in TONE_LIMITS)


def opposite_side(side: str) -> str:
    """What is on the back of a side."""
    return "printed" if side == "plain" else "plain"


@dataclass(frozen=True, slots=True, eq=False)
class ProjectedMesh:
    """The triangles of a bent part in the picture: ``corners`` (m × 3 × 2) and their nearness (m × 3)."""

    corners: FloatArray
    near: FloatArray

    @property
    def range(self) -> tuple[float, float]:
        """The least and the greatest nearness."""
        return float(self.near.min()), float(self.near.max())

    def nearness(self, xy: FloatArray) -> FloatArray:
        """The nearness at points of the picture (n × 2); beside the mesh that of the nearest triangle."""
        weights = _weights(self.corners, xy)
        found = np.argmax(np.minimum(np.minimum(weights[0], weights[1]), weights[2]), axis=1)
        rows = np.arange(len(xy))
        one, two, three = (np.clip(weights[k][rows, found], -0.5, 1.5) * self.near[found, k]
                           for k in range(3))
        near: FloatArray = one + two + three
        return near


@dataclass(frozen=True, slots=True, eq=False)
class ProjectedArea:
    """One area of the picture.

    Its ``surface`` is a plane (a, b, c), see :meth:`Camera.plane`, or a mesh.
    ``side`` is the side of the paper that is seen; ``bands`` are the areas of
    a bent part that are at least so dark, from the second tone on.
    """

    part: int
    shape: BaseGeometry
    side: str
    tone: int
    surface: FloatArray | ProjectedMesh
    bands: tuple[BaseGeometry, ...] = ()

    def nearness(self, xy: FloatArray) -> FloatArray:
        """The nearness at points of the picture (n × 2)."""
        if isinstance(self.surface, ProjectedMesh):
            return self.surface.nearness(xy)
        near: FloatArray = xy @ self.surface[:2] + self.surface[2]
        return near


def barycentric_weights(corners: FloatArray, xy: FloatArray) -> FloatArray:
    """Barycentric weights (n × m × 3) of points ``xy`` (n × 2) in triangles ``corners`` (m × 3 × 2)."""
    return np.stack(_weights(corners, xy), axis=2)


def _weights(corners: FloatArray, xy: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """The three weights one by one (n × m each): to put them together takes longer than to work them out."""
    (ax, ay), (bx, by), (cx, cy) = corners[:, 0].T, (corners[:, 1] - corners[:, 0]).T, (
        corners[:, 2] - corners[:, 0]).T
    det = bx * cy - by * cx
    det = np.where(np.abs(det) < MIN_NORM, MIN_NORM, det)
    px, py = xy[:, 0, None] - ax, xy[:, 1, None] - ay
    v = (px * cy - py * cx) / det
    w = (bx * py - by * px) / det
    return 1 - v - w, v, w


def least_weights(weights: FloatArray) -> FloatArray:
    """The least of three weights (… × 3), many times as fast as along an axis of three."""
    return np.minimum(np.minimum(weights[..., 0], weights[..., 1]), weights[..., 2])


def projected_areas(solid: Solid, camera: Camera) -> tuple[list[ProjectedArea], list[tuple[int, FloatArray]]]:
    """All areas, hidden or not, and the silhouettes of bent parts: (part, line in space, n × 3)."""
    projections: list[ProjectedArea] = []
    outlines: list[tuple[int, FloatArray]] = []
    for number, part in enumerate(solid.parts):
        if isinstance(part, Facet):
            projections += _flat_area(number, part, camera)
        else:
            found, lines = _bent_areas(number, part, camera)
            projections += found
            outlines += [(number, line) for line in lines]
    return projections, outlines


def _flat_area(number: int, facet: Facet, camera: Camera) -> Iterator[ProjectedArea]:
    normal, centroid = facet.normal, facet.corners.mean(axis=0)
    seen = camera.facing(centroid, normal)
    polygon = Polygon(camera.project(facet.corners)[0], [camera.project(hole)[0] for hole in facet.holes])
    shape = polygon if polygon.is_valid else shapely.make_valid(polygon)
    if abs(seen) < EDGE_ON_LIMIT or shape.area < MIN_VISIBLE_AREA:
        return
    side = facet.up if seen > 0 else opposite_side(facet.up)
    tone = tone_number(float(snapped(darkness(normal if seen > 0 else -normal, camera, side))))
    yield ProjectedArea(number, shape, side, tone, camera.plane(centroid + facet.lift * normal, normal))


# -- bent parts ---------------------------------------------------------------

def _bent_areas(number: int, part: BentPart, camera: Camera) -> tuple[list[ProjectedArea], list[FloatArray]]:
    normals = vertex_normals(part)
    facing = snapped(np.einsum("ij,ij->i", normals, camera.eye - part.points))
    rows = np.concatenate([part.points, normals, facing[:, None]], axis=1)[part.triangles]     # m × 3 × 7
    front, back, silhouette = split_triangles(rows, rows[..., 6])
    areas = [area for triangles, towards in ((front, True), (back, False))
             if (area := _bent_side(number, part, triangles, towards, camera)) is not None]
    return areas, list(silhouette[..., :3])


def vertex_normals(part: BentPart) -> FloatArray:
    """The mean normal at every vertex (n × 3), weighted by the angles of the triangles there.

    So it does not depend on how the surface is cut into triangles.
    """
    corners = part.points[part.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals = normals / np.maximum(np.linalg.norm(normals, axis=1), MIN_NORM)[:, None]
    sums = np.zeros_like(part.points)
    for k in range(3):
        u, v = (corners[:, (k + step) % 3] - corners[:, k] for step in (1, 2))
        angle = np.arctan2(np.linalg.norm(np.cross(u, v), axis=1), (u * v).sum(axis=1))
        np.add.at(sums, part.triangles[:, k], normals * angle[:, None])
    means: FloatArray = sums / np.maximum(np.linalg.norm(sums, axis=1), MIN_NORM)[:, None]
    return means


def _bent_side(number: int, part: BentPart, triangles: FloatArray, towards: bool,
               camera: Camera) -> ProjectedArea | None:
    """What is seen of one side of a bent part.

    The corners of its ``triangles`` (m × 3 × 7) are points with their normals.
    """
    if not len(triangles):
        return None
    xy, near = camera.project(triangles[..., :3].reshape(-1, 3))
    xy, near = xy.reshape(-1, 3, 2), near.reshape(-1, 3)
    shape = _triangle_union(xy)
    if shape.area < MIN_VISIBLE_AREA:
        return None
    side = part.up if towards else opposite_side(part.up)
    sign = 1 if towards else -1
    dark = snapped(darkness(sign * triangles[..., 3:6], camera, side))
    lightest, bands = tone_number(float(dark.min())), []
    for tone in range(lightest + 1, len(TONE_LIMITS) + 2):
        darker, _, _ = split_triangles(np.concatenate([xy, dark[..., None]], axis=2),
                                       dark - TONE_LIMITS[tone - 2])
        bands.append(_triangle_union(darker[..., :2]))
    mesh = ProjectedMesh(xy, near + part.lift / camera.distance * sign)
    return ProjectedArea(number, shape, side, lightest, mesh, tuple(bands))


def _triangle_union(xy: FloatArray) -> BaseGeometry:
    """The area of triangles of the picture, without the hair cracks between them."""
    rounded = np.round(xy.reshape(-1, 3, 2), 6)     # so that neighbours share their corners to the bit
    shapes = np.asarray(shapely.polygons(rounded), dtype=object)
    areas = shapely.area(shapes)
    shapes = shapes[areas > 1e-9]
    if not len(shapes):
        return Polygon()
    try:
        quick = shapely.coverage_union_all(shapes)
        if quick.is_valid and abs(quick.area - areas.sum()) < 1e-6 * areas.sum():
            return quick
    except shapely.errors.GEOSException:
        pass        # some lie over others, where a part is seen almost from its edge
    return shapely.union_all(shapes, grid_size=DRAWN_PLACE_TOLERANCE)


def split_triangles(rows: FloatArray, values: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Triangles (m × 3 × k) cut where ``values`` (m × 3) change their sign.

    Gives those above, those below (… × 3 × k), and the cuts (c × 2 × k).
    """
    above = values >= 0
    count = above.sum(axis=1)
    high, low = [rows[count == 3]], [rows[count == 0]]
    cuts = []
    for positive, tip_above in ((1, True), (2, False)):
        mixed = count == positive
        if not mixed.any():
            continue
        tip = np.argmax(above[mixed] == tip_above, axis=1)
        order = (tip[:, None] + np.arange(3)) % 3
        tri = np.take_along_axis(rows[mixed], order[..., None], axis=1)
        val = np.take_along_axis(values[mixed], order, axis=1)
        p, q = (_crossing(tri[:, 0], tri[:, k], val[:, 0], val[:, k]) for k in (1, 2))
        small = np.stack([tri[:, 0], p, q], axis=1)
        rest = [np.stack([p, tri[:, 1], tri[:, 2]], axis=1), np.stack([p, tri[:, 2], q], axis=1)]
        (high if tip_above else low).append(small)
        (low if tip_above else high).extend(rest)
        cuts.append(np.stack([p, q], axis=1))
    empty = np.zeros((0, 2, rows.shape[2]))
    return np.concatenate(high), np.concatenate(low), np.concatenate([empty, *cuts])


def _crossing(a: FloatArray, b: FloatArray, at_a: FloatArray, at_b: FloatArray) -> FloatArray:
    share = at_a / np.where(at_a == at_b, 1.0, at_a - at_b)
    crossing: FloatArray = a + share[:, None] * (b - a)
    return crossing
