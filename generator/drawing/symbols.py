"""Dimension lines, leaders and signs as plain strokes and arrow heads, the same for every back end."""
from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from generator.drawing.pen import Dimension, Leader, Path, Sign, Symbol
from generator.drawing.recording import ARROW, CIRCLE, CORE
from generator.geometry import Arc, Circle, Line, Point

DOT = 0.55          # mm: radius of the dot at the end of a leader
SIGN_HEAD = 2.8     # mm: length of a sign's arrow head
SIGN_CORE = 0.75    # share of it that it is wide
AXIS = 0.28         # of a turning sign's width that its axis reaches below it; twice that above

Head = tuple[Point, Point, Point]


@dataclass(frozen=True, slots=True)
class Figure:
    """``lines`` are drawn, ``solid`` heads and dots filled, ``hollow`` heads only outlined."""

    lines: tuple[Path, ...] = ()
    solid: tuple[Head, ...] = ()
    hollow: tuple[Head, ...] = ()
    dots: tuple[Circle, ...] = ()
    rings: tuple[Circle, ...] = ()


def dimension_figure(dimension: Dimension) -> Figure:
    """A dimension line with its ends (ISO 129-1, 5.4: arrows, and a circle at a common origin; from memory)."""
    origin, last = dimension.origin, dimension.stops[-1]
    extensions = tuple(path for line in dimension.extensions for path in polyline(line))
    heads = [arrow(stop, origin) for stop in dimension.stops]
    if dimension.running:
        start = towards(origin, last, CIRCLE)
        return Figure((*extensions, *polyline((start, last))), tuple(heads), rings=(Circle(origin, CIRCLE),))
    heads.append(arrow(origin, last))
    return Figure((*extensions, *polyline((origin, last))), tuple(heads))


def leader_figure(leader: Leader) -> Figure:
    """A leader line with a dot on an area or an arrow on a line (ISO 128-22; from memory)."""
    last, before = leader.points[-1], leader.points[-2]
    if leader.on_line:
        return Figure(tuple(polyline(leader.points)), (arrow(last, before),))
    return Figure(tuple(polyline(leader.points)), dots=(Circle(last, DOT),))


def symbol_figure(symbol: Symbol) -> Figure:
    """A sign as a curved arrow; what folds back has a hollow head, what is turned over has an axis."""
    if symbol.sign is Sign.TURN_OVER:
        return _turn_over(symbol)
    curve = curved(symbol.start, symbol.end, symbol.bow)
    head = arrow(symbol.end, curve[-1].at(1 - SIGN_HEAD / max(curve[-1].length(), 2 * SIGN_HEAD)), SIGN_HEAD, SIGN_CORE)
    if symbol.sign is Sign.FOLD_BACK:
        return Figure((curve,), hollow=(head,))
    return Figure((curve,), (head,))


def _turn_over(symbol: Symbol) -> Figure:
    """An arrow over an upright axis, as a page is turned."""
    curve = curved(symbol.start, symbol.end, symbol.bow)
    middle_x, low = (symbol.start[0] + symbol.end[0]) / 2, min(symbol.start[1], symbol.end[1])
    size = math.dist(symbol.start, symbol.end)
    axis = (Line(Point(middle_x, low - AXIS * size), Point(middle_x, low + 2 * AXIS * size)),)
    back = curve[-1].at(1 - SIGN_HEAD / max(curve[-1].length(), 2 * SIGN_HEAD))
    return Figure((curve, axis), (arrow(symbol.end, back, SIGN_HEAD, SIGN_CORE),))


def curved(start: Point, end: Point, bow: float) -> Path:
    """A line, or an arc where ``bow`` (mm, to the left of travel) is not 0."""
    if start == end:
        return ()
    return (Arc(start, end, bow),) if abs(bow) > 1e-6 else (Line(start, end),)


def arrow(tip: Point, tail: Point, size: float = ARROW, core: float = CORE) -> Head:
    """A narrow arrow head at ``tip`` on a line that comes from ``tail``."""
    dx, dy = float(tip[0]) - float(tail[0]), float(tip[1]) - float(tail[1])
    away = math.hypot(dx, dy) or 1.0
    ux, uy = dx / away, dy / away
    base_x, base_y, half = tip[0] - ux * size, tip[1] - uy * size, size * core / 2
    return (Point(*tip), Point(base_x - uy * half, base_y + ux * half), Point(base_x + uy * half, base_y - ux * half))


def towards(start: Point, end: Point, by: float) -> Point:
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
