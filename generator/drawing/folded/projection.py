"""How dark a face is: few flat tones from one light, which stands behind the reader's left shoulder.

Parts of a solid as the eye has them: areas of the picture that know how near they are.

A flat part is one area. A bent one is parted along its silhouette, where its
normal is square to the way to the eye, into what shows its +z side and what
shows the other.
"""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from generator.drawing.folded.camera import BentPart, Camera, Facet, Solid
from generator.geometry.ties import snapped

LIGHT = np.array((-0.45, 0.62, 0.64)) / np.linalg.norm((-0.45, 0.62, 0.64))    # right, upward, towards the eye
TONE_LIMITS = (0.16, 0.32, 0.50)      # darker than this is the next tone; so there are four, 1 the lightest
INSIDE_DARKENING = 0.10                   # so much darker is the plain side, which lies in the box


def darkness(normals: np.ndarray, camera: Camera, side: str) -> np.ndarray:
    """0 for a face that the light strikes square, 1 for one turned right away from it; normals (… × 3) point to the reader."""
    lit = normals @ (LIGHT @ camera.axes)
    return np.minimum((1.0 - lit) / 2 + (INSIDE_DARKENING if side == "plain" else 0.0), 1.0)


def tone_number(dark: float) -> int:
    """The tone, from 1, of a shade."""
    return 1 + sum(dark > limit for limit in TONE_LIMITS)


def opposite_side(side: str) -> str:
    """What is on the back of a side."""
    return "printed" if side == "plain" else "plain"


MIN_VISIBLE_AREA = 0.01        # mm² of the picture; a smaller part is not seen
EDGE_ON_LIMIT = 0.004      # cosine; a flat part turned away so far is a line


@dataclass(frozen=True, slots=True, eq=False)
class ProjectedArea:
    """One area of the picture. ``plane`` is None for a bent one, which has ``corners`` (m × 3 × 2) and ``near`` (m × 3).

    ``side`` is the side of the paper that is seen; ``bands`` are areas of a
    bent sight that are at least so dark, from the second tone on.
    """

    part: int
    shape: shapely.Geometry
    side: str
    tone: int
    plane: np.ndarray | None
    corners: np.ndarray | None = None
    near: np.ndarray | None = None
    bands: tuple[shapely.Geometry, ...] = ()

    @property
    def range(self) -> tuple[float, float]:
        """The least and the greatest nearness of a bent sight."""
        return float(self.near.min()), float(self.near.max())

    def nearness(self, xy: np.ndarray) -> np.ndarray:
        """How near it is at points of the picture (n × 2); at points beside a bent sight that of its nearest triangle."""
        if self.plane is not None:
            return xy @ self.plane[:2] + self.plane[2]
        weights = _barycentric_weights(self.corners, xy)
        found = np.argmax(weights.min(axis=2), axis=1)
        rows = np.arange(len(xy))
        return (np.clip(weights[rows, found], -0.5, 1.5) * self.near[found]).sum(axis=1)


def _barycentric_weights(corners: np.ndarray, xy: np.ndarray) -> np.ndarray:
    """Barycentric weights (points × triangles × 3)."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    det = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    det = np.where(np.abs(det) < 1e-12, 1e-12, det)
    p = xy[:, None] - a[None]
    v = (p[..., 0] * (c - a)[:, 1] - p[..., 1] * (c - a)[:, 0]) / det
    w = ((b - a)[:, 0] * p[..., 1] - (b - a)[:, 1] * p[..., 0]) / det
    return np.stack([1 - v - w, v, w], axis=2)


def projected_areas(solid: Solid, camera: Camera) -> tuple[list[ProjectedArea], list[tuple[int, np.ndarray]]]:
    """All that is seen, hidden or not, and the silhouettes of bent parts: (part, line in space)."""
    sights, outlines = [], []
    for number, part in enumerate(solid.parts):
        if isinstance(part, Facet):
            sights += _flat_area(number, part, camera)
        else:
            found, lines = _bent_areas(number, part, camera)
            sights += found
            outlines += [(number, line) for line in lines]
    return sights, outlines


def _flat_area(number: int, facet: Facet, camera: Camera) -> Iterator[ProjectedArea]:
    normal, middle = facet.normal, facet.corners.mean(axis=0)
    seen = camera.facing(middle, normal)
    shape = Polygon(camera.project(facet.corners)[0], [camera.project(hole)[0] for hole in facet.holes])
    shape = shape if shape.is_valid else shapely.make_valid(shape)
    if abs(seen) < EDGE_ON_LIMIT or shape.area < MIN_VISIBLE_AREA:
        return
    side = facet.up if seen > 0 else opposite_side(facet.up)
    tone = tone_number(float(snapped(darkness(normal if seen > 0 else -normal, camera, side))))
    yield ProjectedArea(number, shape, side, tone, camera.plane(middle + facet.lift * normal, normal))


# -- bent parts ---------------------------------------------------------------

def _bent_areas(number: int, part: BentPart, camera: Camera) -> tuple[list[ProjectedArea], list[np.ndarray]]:
    normals = vertex_normals(part)
    turned = snapped(np.einsum("ij,ij->i", normals, camera.eye - part.points))
    rows = np.concatenate([part.points, normals, turned[:, None]], axis=1)[part.triangles]     # m × 3 × 7
    front, back, seam = split_triangles(rows, rows[..., 6])
    made = [sight for soup, towards in ((front, True), (back, False))
            if (sight := _bent_side(number, part, soup, towards, camera)) is not None]
    return made, [line for line in seam[..., :3]]


def vertex_normals(part: BentPart) -> np.ndarray:
    """The mean normal at every vertex, by the angles of the triangles round it, so that it does not hang on how they are cut."""
    corners = part.points[part.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals = normals / np.maximum(np.linalg.norm(normals, axis=1), 1e-12)[:, None]
    made = np.zeros_like(part.points)
    for k in range(3):
        u, v = (corners[:, (k + step) % 3] - corners[:, k] for step in (1, 2))
        angle = np.arctan2(np.linalg.norm(np.cross(u, v), axis=1), (u * v).sum(axis=1))
        np.add.at(made, part.triangles[:, k], normals * angle[:, None])
    return made / np.maximum(np.linalg.norm(made, axis=1), 1e-12)[:, None]


def _bent_side(number: int, part: BentPart, soup: np.ndarray, towards: bool, camera: Camera) -> ProjectedArea | None:
    if not len(soup):
        return None
    xy, near = camera.project(soup[..., :3].reshape(-1, 3))
    xy, near = xy.reshape(-1, 3, 2), near.reshape(-1, 3)
    shape = _triangle_union(xy)
    if shape.area < MIN_VISIBLE_AREA:
        return None
    side = part.up if towards else opposite_side(part.up)
    way = 1 if towards else -1
    dark = snapped(darkness(way * soup[..., 3:6], camera, side))
    lightest, bands = tone_number(float(dark.min())), []
    for tone in range(lightest + 1, len(TONE_LIMITS) + 2):
        part_soup, _, _ = split_triangles(np.concatenate([xy, dark[..., None]], axis=2), dark - TONE_LIMITS[tone - 2])
        bands.append(_triangle_union(part_soup[..., :2]))
    return ProjectedArea(number, shape, side, lightest, None, xy, near + part.lift / camera.distance * way, tuple(bands))


def _triangle_union(xy: np.ndarray) -> shapely.Geometry:
    """The area of triangles of the picture, without the hair cracks between them."""
    shapes = shapely.polygons(np.round(xy.reshape(-1, 3, 2), 6))      # so that neighbours share their corners to the bit
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
    return shapely.union_all(shapes, grid_size=1e-4)


def split_triangles(rows: np.ndarray, values: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Triangles (m × 3 × k) cut where ``values`` (m × 3) change their sign: those above, those below, and the cuts (c × 2 × k)."""
    above = values >= 0
    count = above.sum(axis=1)
    high, low = [rows[count == 3]], [rows[count == 0]]
    cuts = []
    for lone, ones in ((1, True), (2, False)):
        mixed = count == lone
        if not mixed.any():
            continue
        tip = np.argmax(above[mixed] == ones, axis=1)
        order = (tip[:, None] + np.arange(3)) % 3
        tri = np.take_along_axis(rows[mixed], order[..., None], axis=1)
        val = np.take_along_axis(values[mixed], order, axis=1)
        p, q = (_crossing(tri[:, 0], tri[:, k], val[:, 0], val[:, k]) for k in (1, 2))
        small = np.stack([tri[:, 0], p, q], axis=1)
        rest = [np.stack([p, tri[:, 1], tri[:, 2]], axis=1), np.stack([p, tri[:, 2], q], axis=1)]
        (high if ones else low).append(small)
        (low if ones else high).extend(rest)
        cuts.append(np.stack([p, q], axis=1))
    empty = np.zeros((0, 2, rows.shape[2]))
    return np.concatenate(high), np.concatenate(low), np.concatenate([empty, *cuts])


def _crossing(a: np.ndarray, b: np.ndarray, at_a: np.ndarray, at_b: np.ndarray) -> np.ndarray:
    share = at_a / np.where(at_a == at_b, 1.0, at_a - at_b)
    return a + share[:, None] * (b - a)
