"""Bent sheets as parts and lines of a solid, and points of the flat plan on them."""
from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from generator.drawing.folded.camera import BentPart, LineKind, SpaceLine
from generator.drawing.folded.projection import barycentric_weights
from generator.folding import BentSurface
from generator.geometry.arrays import FloatArray
from generator.geometry.ties import first_largest
from generator.geometry.tolerances import MIN_NORM, SHARED_EDGE_SHARE


def bent_parts(surface: BentSurface, up: str) -> Iterator[BentPart]:
    """One bent part for each patch of a surface."""
    for patch in np.unique(surface.patch):
        used, numbers = np.unique(surface.triangles[surface.patch == patch], return_inverse=True)
        yield BentPart(surface.points[used], numbers.reshape(-1, 3), up)


def bent_lines(surface: BentSurface) -> Iterator[SpaceLine]:
    """Its folds and its edges."""
    for kind, lines in ((LineKind.FOLD, surface.folds), (LineKind.EDGE, surface.edges)):
        for line in lines:
            yield SpaceLine(kind, surface.points[list(line)], (), len(line) > 2)


def points_on_surface(surface: BentSurface, flat: FloatArray, offset: float) -> FloatArray:
    """Points of the flat plan (n × 2) in space (n × 3), ``offset`` mm above a bent sheet."""
    points = []
    for xy in flat:
        weights = barycentric_weights(surface.flat[surface.triangles], xy[None])[0]
        k = first_largest(weights.min(axis=1), SHARED_EDGE_SHARE)
        corners = surface.points[surface.triangles[k]]
        normal = np.cross(corners[1] - corners[0], corners[2] - corners[0])
        points.append(np.clip(weights[k], 0, 1) @ corners + offset * normal
                      / max(float(np.linalg.norm(normal)), MIN_NORM))
    return np.array(points)
