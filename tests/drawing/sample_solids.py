"""Solids for tests of pictures in space: convex ones from their faces, prisms, tubes."""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

import numpy as np

from generator.drawing.folded.camera import BentPart, Body, Camera, Facet, LineKind, Solid, SpaceLine
from generator.drawing.folded.contours import contours
from generator.drawing.folded.hidden_lines import visible_areas
from generator.drawing.folded.projection import projected_areas

CUBE_FACES = ((0, 3, 2, 1), (4, 5, 6, 7), (0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7))


def closed(points: np.ndarray, faces: Sequence[Sequence[int]], up: str = "printed") -> Solid:
    """A closed solid of paper; the corners of every face turn counter-clockwise seen from outside."""
    parts = tuple(Facet(points[list(face)], up) for face in faces)
    beside: dict[tuple[int, int], list[int]] = defaultdict(list)
    for number, face in enumerate(faces):
        for a, b in zip(face, (*face[1:], face[0]), strict=True):
            beside[min(a, b), max(a, b)].append(number)
    courses = tuple(SpaceLine(LineKind.FOLD if len(own) > 1 else LineKind.EDGE, points[list(edge)],
                              tuple(own))
                    for edge, own in sorted(beside.items()))
    return Solid(parts, courses, (), (Body("box"),))


def cube(size: float = 40.0) -> Solid:
    """A cube on the table, its middle over the origin."""
    half = size / 2
    ring = np.array(((-half, -half), (half, -half), (half, half), (-half, half)))
    return closed(np.array([(*xy, z) for z in (0.0, size) for xy in ring]), CUBE_FACES)


def tray(size: float = 40.0, high: float = 15.0) -> Solid:
    """A cube without its lid, plain inside."""
    half = size / 2
    ring = np.array(((-half, -half), (half, -half), (half, half), (-half, half)))
    return closed(np.array([(*xy, z) for z in (0.0, high) for xy in ring]), (CUBE_FACES[0], *CUBE_FACES[2:]))


def prism(ring: np.ndarray, high: float) -> Solid:
    """A closed prism over a convex ring (n × 2, counter-clockwise)."""
    n = len(ring)
    points = np.array([(*xy, z) for z in (0.0, high) for xy in ring])
    walls = [(k, (k + 1) % n, n + (k + 1) % n, n + k) for k in range(n)]
    return closed(points, (tuple(range(n))[::-1], tuple(range(n, 2 * n)), *walls))


def bent(surface, across: int, along: int, up: str = "printed") -> BentPart:
    """A grid of triangles on ``surface(u, v)``, u and v from 0 to 1."""
    u, v = np.meshgrid(np.linspace(0, 1, across), np.linspace(0, 1, along), indexing="ij")
    points = np.array([surface(a, b) for a, b in zip(u.ravel(), v.ravel(), strict=True)])
    k = np.arange(across * along).reshape(across, along)
    a, b, c, d = k[:-1, :-1].ravel(), k[1:, :-1].ravel(), k[1:, 1:].ravel(), k[:-1, 1:].ravel()
    return BentPart(points, np.concatenate([np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)]), up)


def tube(radius: float = 30.0, high: float = 60.0, count: int = 33) -> Solid:
    """A round tube; its seam is at the back."""
    part = bent(lambda u, v: (radius * np.sin(-2 * np.pi * u), radius * np.cos(2 * np.pi * u),
                              high * (1 - v)), count, 5)
    rims = [np.arange(count) * 5, np.arange(count) * 5 + 4]
    return Solid((part,), tuple(SpaceLine(LineKind.EDGE, part.points[rim], (), True) for rim in rims), (),
                 (Body("tube"),))


def looked_at(solid: Solid, yaw: float = 28.0, pitch: float = 25.0, distance: float = 300.0):
    """(camera, sights, their seen areas, lines) as the front end has them."""
    points = solid.points()
    camera = Camera((points.min(axis=0) + points.max(axis=0)) / 2, distance, yaw, pitch)
    sights, silhouettes = projected_areas(solid, camera)
    areas = visible_areas(sights, camera.distance)
    return camera, sights, areas, contours(solid, camera, sights, areas, silhouettes)
