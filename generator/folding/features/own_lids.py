"""Lids that hang on their own box: two trays of one piece, joined by folds."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from generator.folding.features.lids import wall_layers
from generator.folding.piece_context import PieceContext, feature
from generator.folding.records import Hinge
from generator.folding.rigid_folding import overlap_share
from generator.geometry.arrays import FloatArray

MIN_WALLS = 3                   # that stand up round a panel, for it to be the floor of a tray
UPRIGHT = np.pi / 2
UPRIGHT_TOLERANCE = 0.3         # radians
FLAT_ANGLE = np.pi - 1e-3
MIN_COVER_SHARE = 0.5           # of the smaller floor that the lid must lie over


@dataclass(frozen=True, slots=True, eq=False)
class OwnLid:
    """A tray that hangs on another one. ``hinge`` is the last fold between them, counted from the base.

    ``spare`` is how much wider the lid is than its base and ``needed`` what the paper takes of it, in mm,
    measured along the hinge.
    """

    panel: int
    base: int
    hinge: Hinge
    closed: bool
    spare: float
    needed: float


@dataclass(frozen=True, slots=True, eq=False)
class _Tray:
    floor: int
    walls: tuple[int, ...]
    up: FloatArray


@feature
def own_lids(context: PieceContext) -> tuple[OwnLid, ...]:
    """Every tray of a piece that hangs on another one, its base, by a wall of that."""
    if not context.closes():
        return ()
    return tuple(lid for one, other in combinations(_trays(context), 2)
                 if (lid := _own_lid(context, one, other)) is not None)


def _trays(context: PieceContext) -> Iterator[_Tray]:
    folded = context.folded
    for panel in folded.flat.panels:
        walls = [(h.other(panel.id), h) for h in folded.flat.hinges_of(panel.id)
                 if abs(folded.angles[h.id] - UPRIGHT) < UPRIGHT_TOLERANCE
                 and context.firm(h.other(panel.id))]
        if len(walls) < MIN_WALLS or not context.firm(panel.id):
            continue
        signs = {h.bend.sign for _, h in walls}
        normal = folded.normal(panel.id)
        for sign in signs:
            same = tuple(k for k, h in walls if h.bend.sign == sign)
            if len(same) >= MIN_WALLS:
                yield _Tray(panel.id, same, normal * sign)


def _own_lid(context: PieceContext, one: _Tray, other: _Tray) -> OwnLid | None:
    """The lid among two trays; None where they do not hang together by one wall, or are no lid and base."""
    shared = [(base, lid, h) for base, lid in ((one, other), (other, one)) for h in
              context.folded.flat.hinges_of(lid.floor) if h.other(lid.floor) in base.walls]
    if len(shared) != 1:
        return None
    base, lid, hinge = shared[0]
    if context.folded.angles[hinge.id] > FLAT_ANGLE or base.floor == lid.floor:
        return None
    walls = tuple(k for k in lid.walls if k not in base.walls)
    closed = (float(base.up @ lid.up) < -np.cos(UPRIGHT_TOLERANCE)
              and overlap_share(context.folded.flat, context.folded.frames, lid.floor, base.floor)
              > MIN_COVER_SHARE)
    along = (hinge.end - hinge.start) / hinge.length
    spare = _width(context, lid.floor, along) - _width(context, base.floor, along)
    inside, outside = wall_layers(context, walls)[0], wall_layers(context, base.walls)[1]
    return OwnLid(lid.floor, base.floor, hinge, closed, spare, 2 * context.thickness + inside + outside)


def _width(context: PieceContext, panel: int, along: FloatArray) -> float:
    corners = np.asarray(context.folded.flat.panels[panel].polygon.exterior.coords)
    return float(np.ptp(corners @ along))
