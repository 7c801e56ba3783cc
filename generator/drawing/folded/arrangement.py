"""How several folded pieces are set up in one picture: beside each other, or put together."""
from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from generator.drawing.folded.camera import Body, LineKind, Solid
from generator.drawing.folded.solid_builder import PieceShape, SolidBuilder
from generator.folding.features.lids import sleeve_pairs
from generator.folding.piece_context import PieceContext, final_state

PIECE_GAP_SHARE = 0.22      # of the wider of two pieces: between those that stand beside each other
LID_LIFT_SHARE = 0.6        # of a lid's height: between it and its base
LID_NAME = "lid"
DRAWN_OUT_SHARE = 0.4       # of its length, that a drawer is out of its sleeve


def lid_index(names: Sequence[str]) -> int | None:
    """Which of two pieces is the lid of the other."""
    lids = [number for number, name in enumerate(names) if LID_NAME in name.lower()]
    return lids[0] if len(names) == 2 and len(lids) == 1 else None


def finished_solid(shapes: Sequence[PieceShape], yaw: float) -> Solid:
    """All pieces in the end: a lid above its base, others beside each other, as seen from ``yaw``."""
    lid = lid_index([shape.info.name for shape in shapes])
    if lid is not None:
        return _lid_above_base(shapes[1 - lid], shapes[lid])
    return side_by_side(shapes, yaw)


def _lid_above_base(base: PieceShape, lid: PieceShape) -> Solid:
    """A lid, turned upside down from how it was folded, some way above its base."""
    height, top = np.ptp(lid.points()[:, 2]), base.points()[:, 2].max()
    return _lid_at(base, lid, top + height * (1 + LID_LIFT_SHARE), "above")


def _lid_at(base: PieceShape, lid: PieceShape, height: float, place: str) -> Solid:
    shift = np.array((0.0, 0.0, height))
    return _solid((base, lid.moved(np.diag((1.0, -1.0, -1.0)), shift, len(base.parts))), ("", place))


def side_by_side(shapes: Sequence[PieceShape], yaw: float) -> Solid:
    """Pieces in a row from left to right, as seen from ``yaw``."""
    right = np.array((np.cos(np.radians(yaw)), np.sin(np.radians(yaw)), 0.0))
    widths = [float(np.ptp(shape.points() @ right)) for shape in shapes]
    x, placed, count = 0.0, [], 0
    for shape, width in zip(shapes, widths, strict=True):
        placed.append(shape.moved(np.eye(3), (x + width / 2) * right, count))
        x += width + PIECE_GAP_SHARE * max(widths)
        count += len(shape.parts)
    return _solid(placed, ("", *("beside" for _ in placed[1:])))


def _solid(shapes: Sequence[PieceShape], places: Sequence[str]) -> Solid:
    return Solid(tuple(p for s in shapes for p in s.parts), tuple(line for s in shapes for line in s.lines),
                 tuple(r for s in shapes for r in s.ribbons),
                 tuple(Body(s.info.name, place) for s, place in zip(shapes, places, strict=True)),
                 tuple(dict.fromkeys(note for s in shapes for note in s.notes)))


def assembled_solid(builders: Sequence[SolidBuilder], shapes: Sequence[PieceShape]) -> Solid | None:
    """Two pieces put together: a lid on its base, a drawer half in its sleeve; None for all others."""
    contexts = [PieceContext(b.plan, b.info, final_state(b.plan, b.piece.piece), b.piece) for b in builders]
    lid = lid_index([shape.info.name for shape in shapes])
    if lid is not None:
        base, cover, paper = shapes[1 - lid], shapes[lid], contexts[lid].thickness
        top, height = (float(np.ptp(shape.points()[:, 2])) for shape in (base, cover))
        return _lid_at(base, cover, max(top + paper, height), "closed")
    for sleeve, drawer in sleeve_pairs(contexts):
        return _drawer_in_sleeve(shapes[contexts.index(drawer)], shapes[contexts.index(sleeve)])
    return None


def _drawer_in_sleeve(drawer: PieceShape, sleeve: PieceShape) -> Solid:
    """The sleeve, which stands on one of its mouths, laid round the drawer; its end with the hole is out."""
    size, ring = (np.ptp(shape.points(), axis=0) for shape in (drawer, sleeve))
    along = int(np.argmax(size[:2]))
    high = int(np.argmin(np.abs(ring[:2] - size[2])))
    turn = np.zeros((3, 3))
    turn[along, 2] = turn[1 - along, 1 - high] = 1.0
    turn[2, high] = 1.0
    turn[2] *= np.linalg.det(turn)
    holes = [line.points.mean(axis=0) for line in drawer.lines if line.kind is LineKind.HOLE]
    out = np.zeros(3)
    out[along] = DRAWN_OUT_SHARE * size[along] * (-1.0 if holes and holes[0][along] > 0 else 1.0)
    laid = sleeve.points() @ turn.T
    middle = (laid.min(axis=0) + laid.max(axis=0)) / 2
    shift = np.array((0.0, 0.0, size[2] / 2)) - middle + out
    return _solid((drawer, sleeve.moved(turn, shift, len(drawer.parts))), ("", "round"))
