"""An area cut away from a piece: what outline is left.

Both outlines are parted where they meet. Of the piece's outline stays what
lies outside the removed area, of the removed area's what lies inside the
piece, reversed; what stays is chained into loops.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from generator.geometry.chaining import Piece, chained
from generator.geometry.errors import ShapeError
from generator.geometry.nearness import SAME, boxes_touch
from generator.geometry.overlaps import direction_at
from generator.geometry.point import gap
from generator.geometry.region import closed, is_within, turns_left
from generator.geometry.splitting import Bit, split
from generator.geometry.strokes import Stroke

OPEN = "an area that is cut away, or from, must have an outline that ends where it begins"
Traced = tuple[Stroke, str, int]


@dataclass(frozen=True)
class Loop:
    """A closed loop of (stroke, origin, index): ``origin`` is "outline" or "removed", ``index`` the place there.

    Outer loops run counter-clockwise, holes clockwise. The index of a
    stroke from a hole counts on from the outline's strokes.
    """

    strokes: tuple[Traced, ...]

    @cached_property
    def path(self) -> tuple[Stroke, ...]:
        """The strokes alone."""
        return tuple(stroke for stroke, _, _ in self.strokes)

    @cached_property
    def is_hole(self) -> bool:
        """True for a loop that runs clockwise."""
        return not turns_left(self.path)


def cut_away(outline: Sequence[Stroke], removed: Sequence[Stroke]) -> tuple[Loop, ...]:
    """What is left of a piece: its outer loops first, then its holes; nothing when all is removed.

    ``outline`` is the piece's outer loop, followed by the loops of its holes,
    if any; ``removed`` is one loop. Each may be travelled either way. Exact
    for exact straight strokes; arcs stay arcs. Raises :class:`ShapeError`
    where a loop is open, or crosses itself.
    """
    loops = _oriented(outline)
    if not closed(removed):
        raise ShapeError(OPEN)
    gone = _turned([(s, "removed", k) for k, s in enumerate(removed)], 1)
    if not boxes_touch(_box(outline), _box(removed)):
        return tuple(Loop(tuple(loop)) for loop in loops)
    kept, lost = _rest_of_outline(loops, gone)
    cuts = _cut_edges(loops, gone)
    if not lost and not cuts:
        return tuple(Loop(tuple(loop)) for loop in loops)
    found = [Loop(tuple((p.bit.cut(), p.origin, p.index) for p in loop)) for loop in chained(kept + cuts)]
    return tuple(sorted(found, key=lambda loop: loop.is_hole))


def _oriented(outline: Sequence[Stroke]) -> list[list[Traced]]:
    """The loops of the piece, each travelled so that the paper lies on the left."""
    loops: list[list[Traced]] = [[]]
    for index, stroke in enumerate(outline):
        if loops[-1] and gap(loops[-1][-1][0].end, loops[-1][0][0].start) <= SAME:
            loops.append([])
        loops[-1].append((stroke, "outline", index))
    if not all(closed([s for s, _, _ in loop]) for loop in loops):
        raise ShapeError(OPEN)
    return [_turned(loop, -1 if k else 1) for k, loop in enumerate(loops)]


def _turned(loop: list[Traced], way: int) -> list[Traced]:
    """The loop travelled counter-clockwise (``way`` 1) or clockwise (−1)."""
    if turns_left([s for s, _, _ in loop]) == (way > 0):
        return loop
    return [(s.reversed(), origin, index) for s, origin, index in reversed(loop)]


def _box(strokes: Sequence[Stroke]) -> tuple[float, float, float, float]:
    lefts, bottoms, rights, tops = zip(*(s.box for s in strokes))
    return min(lefts), min(bottoms), max(rights), max(tops)


def _rest_of_outline(loops: list[list[Traced]], gone: list[Traced]) -> tuple[list[Piece], bool]:
    """What stays of the piece's edges, and whether anything of them is lost."""
    area, kept, lost = [s for s, _, _ in gone], [], False
    for stroke, origin, index in (traced for loop in loops for traced in loop):
        for bit in split(stroke, area):
            if _along(bit) if bit.edge is not None else is_within(area, *bit.middle):
                lost = True
            else:
                kept.append(Piece(bit, origin, index))
    return kept, lost


def _along(bit: Bit) -> bool:
    """Whether a bit on the other area's edge has that area on the same side as the paper, so that it goes."""
    (dx, dy), (ex, ey) = direction_at(bit.stroke, bit.middle), direction_at(bit.edge, bit.middle)
    return dx * ex + dy * ey > 0


def _cut_edges(loops: list[list[Traced]], gone: list[Traced]) -> list[Piece]:
    """The new edges: what of the removed area's outline lies within the piece, reversed."""
    piece = [s for loop in loops for s, _, _ in loop]
    pieces = []
    for stroke, origin, index in gone:
        bits = [b for b in split(stroke, piece) if b.edge is None and is_within(piece, *b.middle)]
        back = stroke.reversed() if bits else stroke
        pieces += [Piece(_reversed(b, back), origin, index) for b in bits]
    return pieces


def _reversed(bit: Bit, back: Stroke) -> Bit:
    return replace(bit, stroke=back, t0=1 - bit.t1, t1=1 - bit.t0, start=bit.end, end=bit.start)
