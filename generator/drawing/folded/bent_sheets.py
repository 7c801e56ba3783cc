"""Bent sheets as parts and lines of a solid, and points of the flat plan on them."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
from shapely import Point

from generator.drawing.folded.camera import BentPart, LineKind, SpaceLine
from generator.drawing.folded.projection import barycentric_weights, least_weights
from generator.folding import BentSurface
from generator.folding.records import Panel
from generator.geometry.arrays import FloatArray
from generator.geometry.ties import first_largest, first_smallest
from generator.geometry.tolerances import BORDER_TOLERANCE, MIN_NORM, SHARED_EDGE_SHARE
from generator.paper.records import PieceInfo

SMOOTH_COSINE = 0.97        # cosine; a sheet that goes on flatter than this does so without a fold


def bent_parts(surface: BentSurface, info: PieceInfo) -> Iterator[BentPart]:
    """One bent part for each patch of a surface."""
    for patch in np.unique(surface.patch):
        used, numbers = np.unique(surface.triangles[surface.patch == patch], return_inverse=True)
        yield BentPart(surface.points[used], numbers.reshape(-1, 3), info.up, info=info)


def bent_lines(surface: BentSurface) -> Iterator[SpaceLine]:
    """Its folds, its scores that are not folded yet, and its edges."""
    for kind, lines in ((LineKind.FOLD, surface.folds), (LineKind.MARK, surface.marks),
                        (LineKind.EDGE, surface.edges)):
        for line in lines:
            yield SpaceLine(kind, surface.points[list(line)], (), len(line) > 2)


def surface_borders(surface: BentSurface, frames: FloatArray,
                    firm: Sequence[Panel]) -> Iterator[SpaceLine]:
    """Where a bent sheet continues in flat panels, as far as it does so at an angle."""
    sides = np.sort(surface.triangles[:, ((0, 1), (1, 2), (2, 0))].reshape(-1, 2), axis=1)
    sides, first, count = np.unique(sides, axis=0, return_index=True, return_counts=True)
    edges = {tuple(sorted(pair)) for line in surface.edges for pair in pairwise(line)}
    for (a, b), at in zip(sides[count == 1].tolist(), first[count == 1].tolist(), strict=True):
        middle = Point(surface.flat[[a, b]].mean(axis=0))
        panel = firm[first_smallest(p.polygon.distance(middle) for p in firm)] if firm else None
        if panel is None or (a, b) in edges or panel.polygon.distance(middle) >= BORDER_TOLERANCE:
            continue
        corners = surface.points[surface.triangles[at // 3]]
        normal = np.cross(corners[1] - corners[0], corners[2] - corners[0])
        if abs(normal @ frames[panel.id][:3, 2]) < SMOOTH_COSINE * np.linalg.norm(normal):
            yield SpaceLine(LineKind.FOLD, surface.points[[a, b]], ())


def points_on_surface(surface: BentSurface, flat: FloatArray, offset: float) -> FloatArray:
    """Points of the flat plan (n × 2) in space (n × 3), ``offset`` mm above a bent sheet."""
    points = []
    for weights in barycentric_weights(surface.flat[surface.triangles], flat):
        k = first_largest(least_weights(weights), SHARED_EDGE_SHARE)
        corners = surface.points[surface.triangles[k]]
        normal = np.cross(corners[1] - corners[0], corners[2] - corners[0])
        points.append(np.clip(weights[k], 0, 1) @ corners + offset * normal
                      / max(float(np.linalg.norm(normal)), MIN_NORM))
    return np.array(points)
