"""How several folded pieces are set up in one picture: beside each other, or put together."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np

from generator.drawing.folded.camera import Body, Facet, LineKind, Solid
from generator.drawing.folded.ribbons import crosswise_ribbon, level_ribbon
from generator.drawing.folded.solid_builder import PieceShape, SolidBuilder
from generator.folding.features.lids import sleeve_pairs
from generator.folding.piece_context import PieceContext, final_state
from generator.geometry.arrays import FloatArray
from generator.geometry.ties import first_largest
from generator.geometry.tolerances import CONTACT_DISTANCE, EVEN_VIEWS, PARALLEL_TOLERANCE

PIECE_GAP_SHARE = 0.22      # of the wider of two pieces: between those that stand beside each other
LID_LIFT_SHARE = 0.6        # of a lid's height: between it and its base
LID_NAME = "lid"
DRAWN_OUT_SHARE = 0.4       # of its length, that a drawer is out of its sleeve
RING_TOLERANCE = np.radians(0.5)    # by which sides that stand against each other miss the middle of a ring
CLOSED_SHARE = 0.02         # of its largest side, that may be missing of the outside of a closed box
TIED_NOTE = "tied"


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


def assembled_solid(builders: Sequence[SolidBuilder], shapes: Sequence[PieceShape],
                    yaw: float = 0.0) -> Solid | None:
    """What the last action makes, as seen from ``yaw``; None where it makes nothing of the pieces.

    A lid is put on its base, a drawer half into its sleeve, boxes are set in a ring, a ribbon is tied.
    """
    plan = builders[0].plan
    solid = _put_together(builders, shapes)
    towards = np.array((np.sin(np.radians(yaw)), -np.cos(np.radians(yaw)), 0.0))
    for tie in plan.ties:
        tied = [shape for shape in shapes if shape.info.id in tie.pieces]
        boxes = next(info.boxes for info in plan.pieces if info.id == tie.ribbon)
        if solid is None and len(tied) == 1:
            solid = _solid(tied, ("",)) if boxes == 1 else _ring(tied[0], boxes)
        if solid is None:
            return None
        points = np.concatenate([part.points for part in solid.parts])
        length = float(plan.final_state(tie.ribbon).width.value)
        lead = crosswise_ribbon if tie.crosswise else level_ribbon
        solid = replace(solid, ribbons=(*solid.ribbons, lead(points, length, towards)),
                        notes=(*solid.notes, TIED_NOTE))
    return solid


def _put_together(builders: Sequence[SolidBuilder], shapes: Sequence[PieceShape]) -> Solid | None:
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


def _ring(shape: PieceShape, count: int) -> Solid | None:
    """So many boxes side by side in a ring; None where no two of its walls point at a middle that fits."""
    middle = _ring_middle(shape, count)
    if middle is None:
        return None
    shape, placed, first = _outside(shape), [], 0
    for turn in 2 * np.pi * np.arange(count) / count:
        around = np.array(((np.cos(turn), -np.sin(turn), 0.0), (np.sin(turn), np.cos(turn), 0.0),
                           (0.0, 0.0, 1.0)))
        placed.append(shape.moved(around, -around @ middle, first))
        first += len(shape.parts)
    return replace(_solid(placed, [""] * count), bodies=(Body(shape.info.name, "ring", count),))


def _outside(shape: PieceShape) -> PieceShape:
    """A closed box without what lies behind its walls; any other piece as it is."""
    points = shape.points()
    outer: list[int] = []
    kept: list[FloatArray] = []
    for number, part in sorted(enumerate(shape.parts), key=lambda each: -getattr(each[1], "area", 0.0)):
        if isinstance(part, Facet):
            beyond = (points - part.corners[0]) @ part.normal
            normal = part.normal if beyond.max() < CONTACT_DISTANCE else -part.normal
            outside = min(beyond.max(), -beyond.min()) < CONTACT_DISTANCE
            if outside and all(normal @ each < 1 - PARALLEL_TOLERANCE for each in kept):
                outer.append(number)
                kept.append(normal)
    areas = [part.area for part in shape.parts if isinstance(part, Facet)]
    open_area = np.sum([areas[k] * normal for k, normal in zip(outer, kept, strict=True)], axis=0)
    if len(areas) < len(shape.parts) or np.linalg.norm(open_area) > CLOSED_SHARE * max(areas):
        return shape
    lines = tuple(replace(line, parts=tuple(outer.index(k) for k in line.parts if k in outer))
                  for line in shape.lines if any(k in outer for k in line.parts))
    return replace(shape, parts=tuple(shape.parts[k] for k in outer), lines=lines)


def _ring_middle(shape: PieceShape, count: int) -> FloatArray | None:
    """Where the planes of the two sides meet that stand against the neighbours in a ring of ``count``."""
    walls = [part for part in shape.parts if isinstance(part, Facet) and abs(part.normal[2]) < RING_TOLERANCE]
    centre = shape.points().mean(axis=0)
    pairs, sizes = [], []
    for one, other in combinations(walls, 2):
        (a, p), (b, q) = ((mid, wall.normal * np.sign(wall.normal @ (mid - centre)))
                          for wall in (one, other) for mid in (wall.corners.mean(axis=0),))
        if abs(np.arccos(np.clip(p @ q, -1, 1)) - (np.pi - 2 * np.pi / count)) < RING_TOLERANCE:
            pairs.append(np.append(np.linalg.solve(np.array((p[:2], q[:2])), np.array((p @ a, q @ b))), 0.0))
            areas = sorted((one.area, other.area))
            sizes.append(2 * areas[0] - areas[1])       # large ones, and of one size
    return pairs[first_largest(sizes, EVEN_VIEWS)] if pairs else None
