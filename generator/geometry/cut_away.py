"""An area cut away from a piece: what outline is left, the paper always on the left of travel.

Both outlines are parted where they meet. Of the piece's outline stays what
lies outside the removed area, of the removed area's what lies inside the
piece, reversed; what stays is chained into loops.
"""
from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import cached_property

from generator.dataclass import dataclass, replace
from generator.geometry.arc import FULL_TURN
from generator.geometry.clipping import StrokePart, split_stroke
from generator.geometry.noding import PointIndex
from generator.geometry.plane import Line, Point, Real, ShapeError, floats, gap, is_exact
from generator.geometry.region import closed, is_within, signed_area, turns_left
from generator.geometry.strokes import Stroke, box_of, boxes_touch, tangent_at
from generator.geometry.tolerances import COINCIDENT
from generator.units import TOLERANCE

ANGLE_DECIMALS = 7      # decimals of a radian; directions closer than this are told apart by their curvature


@dataclass(frozen=True, eq=False)
class OutlinePart:
    """A bit of an outline with where it comes from."""

    part: StrokePart
    origin: str
    index: int

    @property
    def key(self) -> tuple[bool, int, float]:
        """The order in which loops begin and follow: the old outline first."""
        return self.origin != "outline", self.index, float(self.part.t0)


def closed_loops(pieces: Sequence[OutlinePart]) -> list[tuple[OutlinePart, ...]]:
    """The closed loops, in the order of the outline they come from; slivers are left out.

    Raises :class:`ShapeError` where the pieces do not close.
    """
    pieces = _with_merged_ends(pieces)
    leaving: dict[Point, list[OutlinePart]] = defaultdict(list)
    for piece in pieces:
        leaving[piece.part.start].append(piece)
    loops: list[list[OutlinePart]] = []
    for piece in sorted(pieces, key=lambda p: p.key):
        if piece in leaving[piece.part.start]:
            loops += _simple_loops(_traced_loop(piece, leaving))
    joined = [_rotated_to_first(_joined(loop)) for loop in loops]
    return sorted((loop for loop in joined if _has_area(loop)), key=lambda loop: loop[0].key)


def _with_merged_ends(pieces: Sequence[OutlinePart]) -> list[OutlinePart]:
    """The pieces, one point for every place (an exact one where there is one), none shorter than that."""
    index, places = PointIndex(COINCIDENT), list[Point]()

    def place(point: Point) -> Point:
        k = index.number(floats(point))
        if k == len(places):
            places.append(point)
        return places[k]

    ends = [p for piece in pieces for p in (piece.part.start, piece.part.end)]
    for point in sorted(ends, key=lambda p: not is_exact(p)):
        place(point)
    placed = [replace(p, part=replace(p.part, start=place(p.part.start), end=place(p.part.end)))
              for p in pieces]
    return [p for p in placed if p.part.start != p.part.end or float(p.part.stroke.length()) > 4 * COINCIDENT]


def _traced_loop(first: OutlinePart, leaving: dict[Point, list[OutlinePart]]) -> list[OutlinePart]:
    """From ``first`` along the paper's edge until it closes, each piece taken out of ``leaving``."""
    leaving[first.part.start].remove(first)
    visited = [first]
    while visited[-1].part.end != first.part.start:
        choices = leaving[visited[-1].part.end]
        if not choices:
            raise ShapeError(
                "the outlines meet so closely that no clean edge is left; move one of them a little")
        step = min(choices, key=lambda p: _clockwise(visited[-1].part, p.part))
        choices.remove(step)
        visited.append(step)
    return visited


def _clockwise(arriving: StrokePart, leaving: StrokePart) -> tuple[float, float]:
    """The angle from the way back, clockwise, to the way on: the least one keeps to the paper's edge.

    Ways in one direction are told apart by how much they bend to the left.
    """
    (ax, ay), (lx, ly) = arriving.stroke.tangent(arriving.t1), leaving.stroke.tangent(leaving.t0)
    angle = round((math.atan2(-ay, -ax) - math.atan2(ly, lx)) % FULL_TURN, ANGLE_DECIMALS)
    bend = _curvature(leaving, leaving.t0)
    if angle in (0, round(FULL_TURN, ANGLE_DECIMALS)):       # straight back, as at a cusp
        angle = 0.0 if bend < -_curvature(arriving, arriving.t1) else FULL_TURN
    return angle, -bend


def _curvature(part: StrokePart, t: Real) -> float:
    """Curvature in 1/mm, positive to the left of travel: rx·ry / speed³."""
    if isinstance(part.stroke, Line):
        return 0.0
    curve = part.stroke
    _, _, ux, uy, vx, vy = curve.frame
    angle = curve.first + curve.sweep * float(t)
    speed = math.hypot(math.cos(angle) * vx - math.sin(angle) * ux,
                       math.cos(angle) * vy - math.sin(angle) * uy)
    return math.copysign(float(curve.axes[0]) * float(curve.axes[1]) / speed ** 3, curve.sweep)


def _simple_loops(visited: list[OutlinePart]) -> Iterator[list[OutlinePart]]:
    """A loop that comes by a place twice, in loops that do not."""
    path: list[OutlinePart] = []
    passed: dict[Point, int] = {}       # a place of the path → the piece that begins there
    for piece in visited:
        passed[piece.part.start] = len(path)
        path.append(piece)
        begun = passed.get(piece.part.end)
        if begun is not None:
            loop = path[begun:]
            yield loop
            for each in loop:
                del passed[each.part.start]
            del path[begun:]


def _joined(loop: list[OutlinePart]) -> list[OutlinePart]:
    """Pieces of one stroke that go on in each other made one again, round the whole loop."""
    start = next((k for k in range(len(loop)) if not loop[k - 1].part.goes_on_in(loop[k].part)), 0)
    joined: list[OutlinePart] = []
    for piece in loop[start:] + loop[:start]:
        if joined and joined[-1].part.goes_on_in(piece.part):
            joined[-1] = replace(joined[-1], part=joined[-1].part.joined(piece.part))
        else:
            joined.append(piece)
    return joined


def _rotated_to_first(loop: list[OutlinePart]) -> tuple[OutlinePart, ...]:
    """The loop, begun at its first piece of the old outline."""
    first = min(range(len(loop)), key=lambda k: loop[k].key)
    return tuple(loop[first:] + loop[:first])


def _has_area(loop: tuple[OutlinePart, ...]) -> bool:
    """False for a sliver thinner than the tolerance."""
    strokes = [p.part.cut() for p in loop]
    return abs(float(signed_area(strokes))) > TOLERANCE * sum(float(s.length()) for s in strokes)


OPEN_OUTLINE = "an area that is cut away, or from, must have an outline that ends where it begins"
TracedStroke = tuple[Stroke, str, int]


@dataclass(frozen=True)
class Loop:
    """A closed loop of (stroke, origin, index).

    ``origin`` is "outline" or "removed", ``index`` the place there.

    Outer loops run counter-clockwise, holes clockwise. The index of a
    stroke from a hole counts on from the outline's strokes.
    """

    strokes: tuple[TracedStroke, ...]

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
        raise ShapeError(OPEN_OUTLINE)
    gone = _turned([(s, "removed", k) for k, s in enumerate(removed)], 1)
    if not boxes_touch(box_of(outline), box_of(removed)):
        return tuple(Loop(tuple(loop)) for loop in loops)
    kept, lost = _rest_of_outline(loops, gone)
    cuts = _cut_edges(loops, gone)
    if not lost and not cuts:
        return tuple(Loop(tuple(loop)) for loop in loops)
    found = [Loop(tuple((p.part.cut(), p.origin, p.index) for p in loop))
             for loop in closed_loops(kept + cuts)]
    return tuple(sorted(found, key=lambda loop: loop.is_hole))


def _oriented(outline: Sequence[Stroke]) -> list[list[TracedStroke]]:
    """The loops of the piece, each travelled so that the paper lies on the left."""
    loops: list[list[TracedStroke]] = [[]]
    for index, stroke in enumerate(outline):
        if loops[-1] and gap(loops[-1][-1][0].end, loops[-1][0][0].start) <= COINCIDENT:
            loops.append([])
        loops[-1].append((stroke, "outline", index))
    if not all(closed([s for s, _, _ in loop]) for loop in loops):
        raise ShapeError(OPEN_OUTLINE)
    return [_turned(loop, -1 if k else 1) for k, loop in enumerate(loops)]


def _turned(loop: list[TracedStroke], way: int) -> list[TracedStroke]:
    """The loop travelled counter-clockwise (``way`` 1) or clockwise (−1)."""
    if turns_left([s for s, _, _ in loop]) == (way > 0):
        return loop
    return [(s.reversed(), origin, index) for s, origin, index in reversed(loop)]


def _rest_of_outline(loops: list[list[TracedStroke]],
                     gone: list[TracedStroke]) -> tuple[list[OutlinePart], bool]:
    """What stays of the piece's edges, and whether anything of them is lost."""
    area, kept, lost = [s for s, _, _ in gone], [], False
    for stroke, origin, index in (traced for loop in loops for traced in loop):
        for part in split_stroke(stroke, area):
            if is_within(area, *part.middle) if part.edge is None else _same_side(part, part.edge):
                lost = True
            else:
                kept.append(OutlinePart(part, origin, index))
    return kept, lost


def _same_side(part: StrokePart, edge: Stroke) -> bool:
    """Whether a bit on the other area's ``edge`` has that area on the same side as the paper: it goes."""
    (dx, dy), (ex, ey) = tangent_at(part.stroke, part.middle), tangent_at(edge, part.middle)
    return dx * ex + dy * ey > 0


def _cut_edges(loops: list[list[TracedStroke]], gone: list[TracedStroke]) -> list[OutlinePart]:
    """The new edges: what of the removed area's outline lies within the piece, reversed."""
    piece = [s for loop in loops for s, _, _ in loop]
    pieces = []
    for stroke, origin, index in gone:
        parts = [b for b in split_stroke(stroke, piece) if b.edge is None and is_within(piece, *b.middle)]
        back = stroke.reversed() if parts else stroke
        pieces += [OutlinePart(_reversed(b, back), origin, index) for b in parts]
    return pieces


def _reversed(part: StrokePart, back: Stroke) -> StrokePart:
    return replace(part, stroke=back, t0=1 - part.t1, t1=1 - part.t0, start=part.end, end=part.start)
