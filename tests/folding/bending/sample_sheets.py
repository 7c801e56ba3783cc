"""Sheets of known shape for the thin-sheet solver.

Flat plan, mirror planes, a start that is wrong on purpose, and the shape from a textbook.
"""
from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from shapely import Polygon

from generator.folding.bending.equilibrium import (
    DegreesOfFreedom,
    ElasticSheet,
    MeshBorder,
    row_edges,
    shape_at_rest,
    vertex_bands,
)
from generator.folding.bending.meshing import TriangleMesh, mesh_layout, triangulated

CARD = 0.26     # mm, its thickness


@dataclass(frozen=True)
class Problem:
    """``lines`` with their kinds, the kinds whose vertices are held or lie in a plane (unit normal).

    ``smooth`` are those that mirror smoothly.
    """

    area: Polygon
    lines: Sequence[tuple[np.ndarray, str]]
    planes: dict[str, np.ndarray]
    smooth: tuple[str, ...]
    held: tuple[str, ...]
    start: Callable[[np.ndarray], np.ndarray]
    turns: dict[str, tuple[np.ndarray, np.ndarray]]     # kind → the mirror of the flat plan
    first: str
    wall: np.ndarray | None = None

    def solved(self, size: float, thickness: float = CARD) -> tuple[TriangleMesh, np.ndarray,
                                                                    tuple[float, float]]:
        """The mesh, its points in space, and the strain that is left (root mean square, worst)."""
        mesh = triangulated(mesh_layout(self.area, self.lines), size)
        borders = [MeshBorder(mesh.vertices_on(kind), *self.turns[kind], normal=self.planes[kind], share=0.5)
                   for kind in self.smooth]
        if self.wall is not None:
            borders.append(MeshBorder(mesh.vertices_on(self.first), np.diag((1.0, -1.0)), np.zeros(2),
                                      beyond=self.wall))
        sheet = ElasticSheet(mesh, row_edges(mesh.on("fold")), borders, np.zeros((0, 3)), thickness=thickness)
        found, rested = shape_at_rest(sheet, self.start(mesh.flat).ravel(), self._freedom(mesh), rounds=200)
        assert rested
        each = np.abs(np.linalg.eigvalsh(sheet.strains(found)[1]))
        rms = float(np.sqrt((sheet.area * (each ** 2).mean(axis=1)).sum() / sheet.area.sum()))
        return mesh, found.reshape(-1, 3), (rms, float(each.max()))

    def _freedom(self, mesh: TriangleMesh) -> DegreesOfFreedom:
        count = len(mesh.flat)
        frames, free = np.tile(np.eye(3), (count, 1, 1)), np.ones((count, 3), bool)
        for kind, normal in self.planes.items():
            vertices = list(mesh.vertices_on(kind))
            frames[vertices] = _frame(normal)
            free[vertices, 0] = False
        for kind in self.held:
            free[list(mesh.vertices_on(kind))] = False
        return DegreesOfFreedom(frames, free,
                                vertex_bands(mesh.triangles, mesh.vertices_on(self.first), count))


def _frame(normal: np.ndarray) -> np.ndarray:
    """An orthonormal frame whose first row is a direction."""
    other = np.cross(normal, (0.0, 0.0, 1.0))
    return np.array((normal, other, np.cross(normal, other)))


def line(*points: tuple[float, float]) -> np.ndarray:
    """Corners as an array."""
    return np.array(points, float)


def noise(count: int, size: float) -> np.ndarray:
    """The same irregular shifts each time, n × 3."""
    return size * np.random.default_rng(7).standard_normal((count, 3))


def bisected(mesh, points, row, k) -> float:
    """By how many degrees the osculating plane at a point of a fold misses bisecting the tangent planes."""
    before, at, after = points[[row[k - 2], row[k], row[k + 2]]]
    along = (after - before) / np.linalg.norm(after - before)
    binormal = np.cross(at - before, after - at)
    main = np.cross(binormal / np.linalg.norm(binormal), along)
    corners = points[mesh.triangles]
    areas = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    angles = []
    for cell in np.unique(mesh.cell):
        mine = (mesh.cell == cell) & (mesh.triangles == row[k]).any(axis=1)
        if mine.any():
            normal = areas[mine].sum(axis=0)
            angles.append(math.degrees(math.asin(abs(main @ normal) / np.linalg.norm(normal))))
    return abs(angles[0] - angles[1]) / 2
