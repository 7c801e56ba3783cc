"""Dimension lines, leaders and signs as plain strokes and arrow heads, the same for every back end."""
from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from generator.drawing.pen import Dimension, Leader, Path, Sign, Symbol
from generator.drawing.recording import ARROW_LENGTH, ARROW_WIDTH_SHARE, ORIGIN_RADIUS
from generator.geometry import Arc, Circle, Line, Point

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
    """A sign as a curved arrow; what folds back has a hollow head, what is turned over has an axis."""
    if symbol.sign is Sign.TURN_OVER:
        return _turn_over_strokes(symbol)
    curve = bowed_line(symbol.start, symbol.end, symbol.bow)
    head = arrow_head(symbol.end,
                      curve[-1].at(1 - SIGN_HEAD_LENGTH / max(curve[-1].length(), 2 * SIGN_HEAD_LENGTH)),
                      SIGN_HEAD_LENGTH, SIGN_HEAD_WIDTH_SHARE)
    if symbol.sign is Sign.FOLD_BACK:
        return SymbolStrokes((curve,), hollow=(head,))
    return SymbolStrokes((curve,), (head,))


def _turn_over_strokes(symbol: Symbol) -> SymbolStrokes:
    """An arrow over an upright axis, as a page is turned."""
    curve = bowed_line(symbol.start, symbol.end, symbol.bow)
    middle_x, low = (symbol.start[0] + symbol.end[0]) / 2, min(symbol.start[1], symbol.end[1])
    size = math.dist(symbol.start, symbol.end)
    axis = (Line(Point(middle_x, low - AXIS_OVERHANG * size),
                 Point(middle_x, low + 2 * AXIS_OVERHANG * size)),)
    back = curve[-1].at(1 - SIGN_HEAD_LENGTH / max(curve[-1].length(), 2 * SIGN_HEAD_LENGTH))
    return SymbolStrokes((curve, axis),
                         (arrow_head(symbol.end, back, SIGN_HEAD_LENGTH, SIGN_HEAD_WIDTH_SHARE),))


def bowed_line(start: Point, end: Point, bow: float) -> Path:
    """A line, or an arc where ``bow`` (mm, to the left of travel) is not 0."""
    if start == end:
        return ()
    return (Arc(start, end, bow),) if abs(bow) > 1e-6 else (Line(start, end),)


def arrow_head(tip: Point, tail: Point, size: float = ARROW_LENGTH,
               core: float = ARROW_WIDTH_SHARE) -> ArrowHead:
    """A narrow arrow head at ``tip`` on a line that comes from ``tail``."""
    dx, dy = float(tip[0]) - float(tail[0]), float(tip[1]) - float(tail[1])
    away = math.hypot(dx, dy) or 1.0
    ux, uy = dx / away, dy / away
    base_x, base_y, half = tip[0] - ux * size, tip[1] - uy * size, size * core / 2
    return (Point(*tip), Point(base_x - uy * half, base_y + ux * half),
            Point(base_x + uy * half, base_y - ux * half))


def point_towards(start: Point, end: Point, by: float) -> Point:
    """The point ``by`` mm from ``start`` on the way to ``end``."""
    away = math.dist(start, end)
    if not away:
        return start
    return Point(start[0] + (end[0] - start[0]) * by / away, start[1] + (end[1] - start[1]) * by / away)


def polyline(points: tuple[Point, ...]) -> Iterator[Path]:
    """The straight path through all points, without steps of no length; nothing where there is none."""
    path = tuple(Line(Point(*a), Point(*b)) for a, b in zip(points, points[1:], strict=False) if a != b)
    if path:
        yield path
