"""Lids that hang on their own box: two trays of one piece, joined by folds."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np

from generator.dataclass import dataclass
from generator.folding.features.lids import wall_layers
from generator.folding.piece_context import PieceContext, feature
from generator.folding.records import Hinge
from generator.folding.rigid_folding import overlap_share
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import FLAT_FOLD_ANGLE, POINT_TOLERANCE

MIN_WALLS = 3                   # that stand up round a panel, for it to be the floor of a tray
UPRIGHT = np.pi / 2
UPRIGHT_TOLERANCE = 0.3         # radians
ACROSS_SHARE = 0.7              # cosine between a fold and a direction that it does not run along
MIN_ENCLOSED = 0.9              # of the rim of a floor
MIN_COVER = 0.5                 # of the smaller floor that the lid must lie over


@dataclass(frozen=True, slots=True)
class LidFit:
    """How much ``larger`` a lid is than its base one way, and what the paper ``needed`` takes of it, in mm.

    ``mark`` is a line on which a rim of the lid stands, by its id; ``way`` says how the lid is larger.
    """

    way: str
    larger: float
    needed: float
    mark: int


@dataclass(frozen=True, slots=True, eq=False)
class OwnLid:
    """A tray that hangs on another one. ``hinge`` is the last fold between them, counted from the base.

    ``rigid`` where its rims are joined, so that they go over the box: others are tucked in. ``fits`` along
    the hinge, and across it where a rim stands opposite the hinge.
    """

    panel: int
    base: int
    hinge: Hinge
    closed: bool
    rigid: bool
    fits: tuple[LidFit, ...]


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
                 and context.is_rigid(h.other(panel.id))]
        if len(walls) < MIN_WALLS or not context.is_rigid(panel.id):
            continue
        signs = {h.bend.sign for _, h in walls}
        normal = folded.normal(panel.id)
        for sign in signs:
            same = tuple(k for k, h in walls if h.bend.sign == sign)
            if len(same) >= MIN_WALLS:
                yield _Tray(panel.id, same, normal * sign)


def _own_lid(context: PieceContext, one: _Tray, other: _Tray) -> OwnLid | None:
    """The lid among two trays; None where they do not hang together by one wall.

    Of two that share a wall the lid is the one with the lower walls. Both have walls all round, and nothing
    joins the rims of the lid to the walls of the box: opposite walls of a ring of panels are no lid and box.
    """
    shared = [(base, lid, h) for base, lid in ((one, other), (other, one))
              for h in context.folded.flat.hinges_of(lid.floor) if h.other(lid.floor) in base.walls]
    if not shared or len({h.id for *_, h in shared}) > len({base.floor for base, *_ in shared}):
        return None
    base, lid, hinge = min(shared, key=lambda row: _height(context, row[1], row[0]))
    rims = tuple(k for k in lid.walls if k not in base.walls)
    if (context.folded.angles[hinge.id] > FLAT_FOLD_ANGLE or not rims
            or not _encloses(context, base.floor, base.walls)
            or not _encloses(context, lid.floor, (*rims, hinge.other(lid.floor)))
            or any({each.one, each.other} & set(rims) and {each.one, each.other} & set(base.walls)
                   for each in context.closings)):
        return None
    closed = (float(base.up @ lid.up) < -np.cos(UPRIGHT_TOLERANCE) and
              overlap_share(context.folded.flat, context.folded.frames, lid.floor, base.floor) > MIN_COVER)
    joined = {k for each in context.closings for k in (each.one, each.other)}
    along = (hinge.end - hinge.start) / hinge.length
    ways = ("wider", along, 2), ("deeper", np.array((-along[1], along[0])), 1)
    return OwnLid(lid.floor, base.floor, hinge, closed, bool(joined & set(rims)),
                  tuple(fit for way, step, sides in ways
                        if (fit := _fit(context, lid, base, hinge, way, step, sides)) is not None))


def _fit(context: PieceContext, lid: _Tray, base: _Tray, hinge: Hinge, way: str, step: FloatArray,
         sides: int) -> LidFit | None:
    """How a lid fits one way, between so many walls: across the hinge its own wall closes one side."""
    rims = [h for h in context.folded.flat.hinges_of(lid.floor) if h.other(lid.floor) in lid.walls
            and h is not hinge and abs(float((h.end - h.start) @ step)) < ACROSS_SHARE * h.length]
    if not rims:
        return None
    inside = wall_layers(context, [h.other(lid.floor) for h in rims])[0]
    outside = wall_layers(context, _across(context, base, step))[1]
    return LidFit(way, _width(context, lid.floor, step) - _width(context, base.floor, step),
                  sides * context.thickness + inside + outside, rims[0].mark)


def _encloses(context: PieceContext, floor: int, walls: Sequence[int]) -> bool:
    """Whether walls stand on all but a little of the rim of a floor."""
    round_ = sum(h.length for h in context.folded.flat.hinges_of(floor) if h.other(floor) in walls)
    return bool(round_ >= MIN_ENCLOSED * context.folded.flat.panels[floor].polygon.exterior.length)


def _across(context: PieceContext, tray: _Tray, along: FloatArray) -> tuple[int, ...]:
    """The walls of a tray that stand across a direction of the flat plan: their folds do not run along it."""
    return tuple(h.other(tray.floor) for h in context.folded.flat.hinges_of(tray.floor)
                 if h.other(tray.floor) in tray.walls
                 and abs(float((h.end - h.start) @ along)) < ACROSS_SHARE * h.length)


def _height(context: PieceContext, tray: _Tray, other: _Tray) -> float:
    """How high the walls of a tray are, but for those that it shares, in mm: their area along their folds."""
    own = [k for k in tray.walls if k not in other.walls]
    hinges = [h for h in context.folded.flat.hinges_of(tray.floor) if h.other(tray.floor) in own]
    area = sum(context.folded.flat.panels[k].polygon.area for k in own)
    return float(area / max(sum(h.length for h in hinges), POINT_TOLERANCE))


def _width(context: PieceContext, panel: int, along: FloatArray) -> float:
    corners = np.asarray(context.folded.flat.panels[panel].polygon.exterior.coords)
    return float(np.ptp(corners @ along))
