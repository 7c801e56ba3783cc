"""Dimension lines, leaders and signs as plain strokes and arrow heads, the same for every back end."""
from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from generator.dataclass import dataclass
from generator.drawing.pen import Dimension, Leader, Path, Sign, Symbol
from generator.drawing.recording import ARROW_LENGTH, ARROW_WIDTH_SHARE, ORIGIN_RADIUS
from generator.geometry import Arc, Circle, Line, Point
from generator.geometry.tolerances import PLACE_TOLERANCE

LEADER_DOT_RADIUS = 0.55          # mm: radius of the dot at the end of a leader
SIGN_HEAD_LENGTH = 2.8     # mm: length of a sign's arrow head
SIGN_HEAD_WIDTH_SHARE = 0.75    # share of it that it is wide
AXIS_OVERHANG = 0.28         # of a turning sign's width that its axis reaches below it; twice that above

ArrowHead = tuple[Point, Point, Point]


@dataclass(frozen=True, slots=True)
class SymbolStrokes:
    """``lines`` are drawn, ``solid`` heads and dots filled, ``hollow`` heads only outlined."""

    lines: tuple[Path, ...] = ()
    solid: tuple[ArrowHead, ...] = ()
    hollow: tuple[ArrowHead, ...] = ()
    dots: tuple[Circle, ...] = ()
    rings: tuple[Circle, ...] = ()


def dimension_strokes(dimension: Dimension) -> SymbolStrokes:
    """A dimension line with its ends (ISO 129-1, 5.4: arrows, a circle at a common origin; from memory)."""
    origin, last = dimension.origin, dimension.stops[-1]
    extensions = tuple(path for line in dimension.extensions for path in polyline(line))
    heads = [arrow_head(stop, origin) for stop in dimension.stops]
    if dimension.running:
        start = point_towards(origin, last, ORIGIN_RADIUS)
        return SymbolStrokes((*extensions, *polyline((start, last))), tuple(heads),
                             rings=(Circle(origin, ORIGIN_RADIUS),))
    heads.append(arrow_head(origin, last))
    return SymbolStrokes((*extensions, *polyline((origin, last))), tuple(heads))


def leader_strokes(leader: Leader) -> SymbolStrokes:
    """A leader line with a dot on an area or an arrow on a line (ISO 128-22; from memory)."""
    last, before = leader.points[-1], leader.points[-2]
    if leader.on_line:
        return SymbolStrokes(tuple(polyline(leader.points)), (arrow_head(last, before),))
    return SymbolStrokes(tuple(polyline(leader.points)), dots=(Circle(last, LEADER_DOT_RADIUS),))


def symbol_strokes(symbol: Symbol) -> SymbolStrokes:
    """A sign as a curved arrow; what folds back has a hollow head, what is turned over an upright axis."""
    curve = bowed_line(symbol.start, symbol.end, symbol.bow)
    tail = curve[-1].at(1 - SIGN_HEAD_LENGTH / max(curve[-1].length(), 2 * SIGN_HEAD_LENGTH))
    head = arrow_head(symbol.end, tail, SIGN_HEAD_LENGTH, SIGN_HEAD_WIDTH_SHARE)
    if symbol.sign is Sign.FOLD_BACK:
        return SymbolStrokes((curve,), hollow=(head,))
    return SymbolStrokes((curve, _axis(symbol)) if symbol.sign is Sign.TURN_OVER else (curve,), (head,))


def _axis(symbol: Symbol) -> Path:
    """The axis about which a piece is turned over, as a page is turned."""
    x, low = (symbol.start[0] + symbol.end[0]) / 2, min(symbol.start[1], symbol.end[1])
    overhang = AXIS_OVERHANG * math.dist(symbol.start, symbol.end)
    return (Line(Point(x, low - overhang), Point(x, low + 2 * overhang)),)


def bowed_line(start: Point, end: Point, bow: float) -> Path:
    """A line, or an arc where ``bow`` (mm, to the left of travel) is not 0."""
    if start == end:
        return ()
    return (Arc(start, end, bow),) if abs(bow) > PLACE_TOLERANCE else (Line(start, end),)


def arrow_head(tip: Point, tail: Point, size: float = ARROW_LENGTH,
               width_share: float = ARROW_WIDTH_SHARE) -> ArrowHead:
    """A narrow arrow head at ``tip`` on a line that comes from ``tail``."""
    dx, dy = float(tip[0]) - float(tail[0]), float(tip[1]) - float(tail[1])
    distance = math.hypot(dx, dy) or 1.0
    ux, uy = dx / distance, dy / distance
    base_x, base_y, half = tip[0] - ux * size, tip[1] - uy * size, size * width_share / 2
    return (Point(*tip), Point(base_x - uy * half, base_y + ux * half),
            Point(base_x + uy * half, base_y - ux * half))


def point_towards(start: Point, end: Point, by: float) -> Point:
    """The point ``by`` mm from ``start`` towards ``end``."""
    distance = math.dist(start, end)
    if not distance:
        return start
    return Point(*(a + (b - a) * by / distance for a, b in zip(start, end, strict=True)))


def polyline(points: tuple[Point, ...]) -> Iterator[Path]:
    """The straight path through all points, without steps of no length; nothing where there is none."""
    path = tuple(Line(Point(*a), Point(*b)) for a, b in pairwise(points) if a != b)
    if path:
        yield path
