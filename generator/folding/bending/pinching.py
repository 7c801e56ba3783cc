"""Pinch the tips of a gathered top whose curves swing out: a free ridge along the middle of each petal.

Such petals are wider than the wedge between two mirror planes. Beside a fold that swings out the petal bends
outward (Fuchs and Tabachnikov 1999), so it comes to the axis only with a ridge along its middle, sharpest at
the tip. Where the ridge ends is found: the whole middle is let free first, then only where it folds sharply.

A corner of the shoulder is then the tip of a cone. Card is dented there, over a few millimetres that shrink
with its thickness; so whether the top closes is judged in the limit, on a sheet that is made thinner step by
step, and how high it stands on card. Lengths in mm, angles in radians.
"""
from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from generator.folding.bending.bays import BayRing
from generator.folding.bending.equilibrium import THICKNESS, edge_triangles, row_edges
from generator.folding.bending.gathering import (
    HALF_BAY_POINTS,
    MAX_STRAIN,
    BentHalfBay,
    HalfBayGathering,
    creases,
    swings_out,
)
from generator.folding.features.crown import Crown
from generator.geometry.arrays import FloatArray

RIDGE_ANGLE = math.pi / 3       # a middle line that folds farther than this is a ridge, and seen as one
THINNER_SHEETS = THICKNESS / 2, THICKNESS / 4       # mm, on which it is judged


@dataclass(frozen=True, slots=True)
class ClosedHalfBay:
    """The half bay of card, the same of the sheet it is judged on, and how long its ridge is (0: none)."""

    card: BentHalfBay
    judged: BentHalfBay
    ridge: float = 0.0

    @property
    def unstretched(self) -> bool:
        """Whether it came to rest without stretching the paper."""
        return self.card.rested and self.judged.rested and self.judged.strain[0] <= MAX_STRAIN


def closed_half_bay(ring: BayRing, points: int = HALF_BAY_POINTS) -> ClosedHalfBay:
    """Close a top, smooth where its curves swing in, pinched where they swing out. Raises MeshTooLarge."""
    if not is_pinched(ring):
        bent = HalfBayGathering(ring, points).closed()
        return ClosedHalfBay(bent, bent)
    free = HalfBayGathering(ring, points, ridge=math.inf)
    bent = free.closed()
    ridge = ridge_length(free, bent)
    bent = judged = HalfBayGathering(ring, points, ridge).settled(bent.points)
    for thickness in THINNER_SHEETS:
        judged = HalfBayGathering(ring, points, ridge, thickness).settled(judged.points)
    return ClosedHalfBay(bent, judged, ridge)


def is_pinched(ring: BayRing) -> bool:
    """Whether its curves swing out, and a straight top would have room for gussets so high."""
    if not swings_out(ring):
        return False
    straight = Crown(ring.sides, ring.width, float(creases(ring.plan)[0][-1][1]))
    return straight.height < straight.apothem or straight.closes(ring.tucked)


def ridge_length(gathering: HalfBayGathering, bent: BentHalfBay) -> float:
    """How far down from the peak the middle line is folded more than :data:`RIDGE_ANGLE`."""
    ends, angles = middle_folds(gathering, bent)
    smooth = np.flatnonzero(np.abs(angles) < RIDGE_ANGLE)
    low = float(ends[smooth].max()) if len(smooth) else 0.0
    return max(0.0, gathering.high - low)


def middle_folds(gathering: HalfBayGathering, bent: BentHalfBay) -> tuple[FloatArray, FloatArray]:
    """Upper ends (n) of the middle line's edges over the shoulder, lowest first, and how far each folds (n).

    Positive where the petal is hollow as seen from outside.
    """
    mesh, sides = gathering.mesh, edge_triangles(gathering.mesh.triangles)
    edges = sorted((edge for edge in row_edges(mesh.on("middle"))
                    if mesh.flat[list(edge), 1].max() < gathering.high + 1e-9),
                   key=lambda edge: float(mesh.flat[list(edge), 1].max()))
    corners = bent.points[mesh.triangles[[sides[edge][0][0] for edge in edges]]]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return (np.array([mesh.flat[list(edge), 1].max() for edge in edges]),
            2 * np.arcsin(normals[:, 0] / np.linalg.norm(normals, axis=1)))
