"""Which points of lines in space an eye sees past flat and bent paper, by casting a ray to each.

Nothing of the product's removal of hidden lines is used; rays meet triangles as Möller and Trumbore have it
(1997, from memory).
"""
from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import shapely

from generator.drawing.folded.camera import Facet, Solid

RAISED = 4.0        # times its lift a layer is moved off what it lies on, so that rays tell them apart
BEFORE = 0.3        # mm by which paper lies before a point that it hides
STEP = 0.4          # mm between two points of a line


def seen_points(solid: Solid, eye: np.ndarray) -> np.ndarray:
    """Points (n × 3) of all lines of a solid, and of the silhouettes of bent parts, that the eye sees."""
    pairs = list(_points(solid, eye))
    places, raised = (np.concatenate([pair[k] for pair in pairs]) for k in (0, 1))
    return places[~_hidden(raised, np.concatenate(list(map(_triangles, solid.parts))), eye)]


def _points(solid: Solid, eye: np.ndarray) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    for line in solid.lines:
        for part in [solid.parts[k] for k in line.parts] or [None]:
            off = part.lift * RAISED * part.normal if isinstance(part, Facet) else 0.0
            for a, b in pairwise(line.points):
                yield (along := _between(a, b)), along + off
    for part in solid.parts:
        if not isinstance(part, Facet):
            corners = part.points[part.triangles]
            normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
            front = (normals * (eye - corners[:, 0])).sum(axis=1) > 0
            edges: dict[tuple[int, int], list[bool]] = {}
            for triangle, facing in zip(part.triangles.tolist(), front, strict=True):
                for i, j in zip(triangle, (*triangle[1:], triangle[0]), strict=True):
                    edges.setdefault((min(i, j), max(i, j)), []).append(bool(facing))
            for (i, j), sides in edges.items():
                if len(sides) == 1 or sides[0] != sides[1]:
                    yield (along := _between(part.points[i], part.points[j])), along


def _between(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    count = max(2, int(np.linalg.norm(b - a) / STEP) + 1)
    return a + np.linspace(0, 1, count)[:, None] * (b - a)


def _triangles(part) -> np.ndarray:
    """The triangles of a part (n × 3 × 3), raised where it lies on another."""
    if not isinstance(part, Facet):
        return part.points[part.triangles]
    origin, normal = part.corners[0], part.normal
    along = (part.corners[1] - origin) / np.linalg.norm(part.corners[1] - origin)
    axes = np.array((along, np.cross(normal, along)))
    flat = shapely.Polygon((part.corners - origin) @ axes.T,
                           [(hole - origin) @ axes.T for hole in part.holes])
    cells = shapely.get_parts(shapely.constrained_delaunay_triangles(flat))
    xy = np.array([shapely.get_coordinates(cell)[:3] for cell in cells])
    return origin + part.lift * RAISED * normal + xy @ axes


def _hidden(points: np.ndarray, triangles: np.ndarray, eye: np.ndarray) -> np.ndarray:
    start, one, two = triangles[:, 0], triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    far = np.linalg.norm(points - eye, axis=1)
    ways, s = (points - eye) / far[:, None], eye - start
    q, result, edge = np.cross(s, one), [], 1e-3
    for way, size in zip(np.array_split(ways, len(ways) // 400 + 1),
                         np.array_split(far, len(ways) // 400 + 1), strict=True):
        h = np.cross(way[:, None], two[None])
        det = (h * one).sum(axis=2)
        det = np.where(np.abs(det) < 1e-9, np.nan, det)
        u, v, t = (h * s).sum(axis=2) / det, (way[:, None] * q).sum(axis=2) / det, (two * q).sum(axis=1) / det
        inside = (u > edge) & (v > edge) & (u + v < 1 - edge)
        result.append((inside & (t > 0) & (t < size[:, None] - BEFORE)).any(axis=1))
    return np.concatenate(result)
