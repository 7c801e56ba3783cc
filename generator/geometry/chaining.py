"""Bits of outlines chained into closed loops, the paper always on the left of travel."""
from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from generator.geometry.conic import TURN
from generator.geometry.errors import ShapeError
from generator.geometry.line import Line
from generator.geometry.nearness import SAME
from generator.geometry.point import Point, floats, gap, is_exact
from generator.geometry.region import signed_area
from generator.geometry.splitting import Bit
from generator.units import TOLERANCE

ANGLES = 7      # decimals of a radian; directions closer than this are told apart by their curvature


@dataclass(frozen=True, eq=False)
class Piece:
    """A bit of an outline with where it comes from."""

    bit: Bit
    origin: str
    index: int

    @property
    def key(self) -> tuple[bool, int, float]:
        """The order in which loops begin and follow: the old outline first."""
        return self.origin != "outline", self.index, float(self.bit.t0)


def chained(pieces: Sequence[Piece]) -> list[tuple[Piece, ...]]:
    """The closed loops, in the order of the outline they come from; slivers are left out.

    Raises :class:`ShapeError` where the pieces do not close.
    """
    pieces = _meeting(pieces)
    leaving: dict[Point, list[Piece]] = defaultdict(list)
    for piece in pieces:
        leaving[piece.bit.start].append(piece)
    loops = []
    for piece in sorted(pieces, key=lambda p: p.key):
        if piece in leaving[piece.bit.start]:
            loops += _simple(_walk(piece, leaving))
    joined = [_begun_first(_joined(loop)) for loop in loops]
    return sorted((loop for loop in joined if _has_area(loop)), key=lambda loop: loop[0].key)


def _meeting(pieces: Sequence[Piece]) -> list[Piece]:
    """The pieces with one point for every place, an exact one where there is one; nothing shorter than that."""
    nodes = _Nodes()
    ends = [p for piece in pieces for p in (piece.bit.start, piece.bit.end)]
    for point in sorted(ends, key=lambda p: not is_exact(p)):
        nodes.place(point)
    placed = [replace(p, bit=replace(p.bit, start=nodes.place(p.bit.start), end=nodes.place(p.bit.end)))
              for p in pieces]
    return [p for p in placed if p.bit.start != p.bit.end or float(p.bit.stroke.length()) > 4 * SAME]


class _Nodes:
    """Places that differ by less than :data:`SAME` are one place: the one that was named first."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], list[Point]] = defaultdict(list)

    def place(self, point: Point) -> Point:
        column, row = (round(v / (4 * SAME)) for v in floats(point))
        around = ((column + i, row + j) for i in (0, -1, 1) for j in (0, -1, 1))
        for cell in around:
            for known in self._cells.get(cell, ()):
                if gap(known, point) <= SAME:
                    return known
        self._cells[column, row].append(point)
        return point


def _walk(first: Piece, leaving: dict[Point, list[Piece]]) -> list[Piece]:
    """From ``first`` along the paper's edge until it closes, each piece taken out of ``leaving``."""
    leaving[first.bit.start].remove(first)
    walked = [first]
    while walked[-1].bit.end != first.bit.start:
        choices = leaving[walked[-1].bit.end]
        if not choices:
            raise ShapeError("the outlines meet so closely that no clean edge is left; move one of them a little")
        step = min(choices, key=lambda p: _clockwise(walked[-1].bit, p.bit))
        choices.remove(step)
        walked.append(step)
    return walked


def _clockwise(arriving: Bit, leaving: Bit) -> tuple[float, float]:
    """The angle from the way back, clockwise, to the way on: the least one keeps to the paper's edge.

    Ways in one direction are told apart by how much they bend to the left.
    """
    (ax, ay), (lx, ly) = arriving.stroke.tangent(arriving.t1), leaving.stroke.tangent(leaving.t0)
    angle = round((math.atan2(-ay, -ax) - math.atan2(ly, lx)) % TURN, ANGLES)
    bend = _bend(leaving, leaving.t0)
    if angle in (0, round(TURN, ANGLES)):       # straight back, as at a cusp
        angle = 0.0 if bend < -_bend(arriving, arriving.t1) else TURN
    return angle, -bend


def _bend(bit: Bit, t: float) -> float:
    """Curvature in 1/mm, positive to the left of travel: rx·ry / speed³."""
    if isinstance(bit.stroke, Line):
        return 0.0
    curve = bit.stroke
    _, _, ux, uy, vx, vy = curve.frame
    angle = curve.first + curve.sweep * float(t)
    speed = math.hypot(math.cos(angle) * vx - math.sin(angle) * ux, math.cos(angle) * vy - math.sin(angle) * uy)
    return math.copysign(float(curve.axes[0]) * float(curve.axes[1]) / speed ** 3, curve.sweep)


def _simple(walked: list[Piece]) -> Iterator[list[Piece]]:
    """A loop that comes by a place twice, in loops that do not."""
    path: list[Piece] = []
    passed: dict[Point, int] = {}       # a place of the path → the piece that begins there
    for piece in walked:
        passed[piece.bit.start] = len(path)
        path.append(piece)
        begun = passed.get(piece.bit.end)
        if begun is not None:
            loop = path[begun:]
            yield loop
            for each in loop:
                del passed[each.bit.start]
            del path[begun:]


def _joined(loop: list[Piece]) -> list[Piece]:
    """Pieces of one stroke that go on in each other made one again, round the whole loop."""
    start = next((k for k in range(len(loop)) if not loop[k - 1].bit.goes_on_in(loop[k].bit)), 0)
    joined: list[Piece] = []
    for piece in loop[start:] + loop[:start]:
        if joined and joined[-1].bit.goes_on_in(piece.bit):
            joined[-1] = replace(joined[-1], bit=joined[-1].bit.joined(piece.bit))
        else:
            joined.append(piece)
    return joined


def _begun_first(loop: list[Piece]) -> tuple[Piece, ...]:
    """The loop, begun at its first piece of the old outline."""
    first = min(range(len(loop)), key=lambda k: loop[k].key)
    return tuple(loop[first:] + loop[:first])


def _has_area(loop: tuple[Piece, ...]) -> bool:
    """False for a sliver thinner than the tolerance."""
    strokes = [p.bit.cut() for p in loop]
    return abs(float(signed_area(strokes))) > TOLERANCE * sum(float(s.length()) for s in strokes)
