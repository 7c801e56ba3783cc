"""Closed shapes of straight lines, by the measures the trade gives them."""
from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from generator.geometry.crossings import crosses_itself
from generator.geometry.plane import Line, Point, Real, ShapeError, absolute, as_coordinate, as_point
from generator.geometry.tolerances import PARALLEL_SINE

MAX_SIDES = 360


def polygon(points: Sequence[Point]) -> tuple[Line, ...]:
    """The closed outline through ``points`` in the order given, at least three."""
    corners = [as_point(p) for p in points]
    if len(corners) < 3:
        raise ShapeError("a polygon needs at least three corners")
    if any(a == b for a, b in _edges(corners)):
        raise ShapeError("two neighbouring corners of this polygon are the same point")
    return tuple(Line(a, b) for a, b in _edges(corners))


def rectangle(width: Real, height: Real) -> tuple[Line, ...]:
    """Bottom, right, top, left; the lower left corner is the origin. Both in mm."""
    w, h = _positive(width, "a rectangle needs a width"), _positive(height, "a rectangle needs a height")
    zero = Fraction(0)
    return polygon((Point(zero, zero), Point(w, zero), Point(w, h), Point(zero, h)))


def square(side: Real) -> tuple[Line, ...]:
    """A rectangle as wide as it is high, in mm."""
    return rectangle(side, side)


def trapezoid(base: Real, top: Real, height: Real) -> tuple[Line, ...]:
    """Base along +x from the origin, the top centred over it; all in mm."""
    base = _positive(base, "a trapezoid needs a base")
    top = _positive(top, "a trapezoid needs a top (without one it is a triangle)")
    height, zero, slope = _positive(height, "a trapezoid needs a height"), Fraction(0), (base - top) / 2
    return polygon((Point(zero, zero), Point(base, zero), Point(base - slope, height), Point(slope, height)))


def regular_polygon(n: int, side: Real) -> tuple[Line, ...]:
    """``n`` equal sides of ``side`` mm, counter-clockwise, the first along +x from the origin.

    A square is exact; of the others the first side is.
    """
    if n < 3 or n > MAX_SIDES:
        raise ShapeError(f"a regular polygon needs from 3 to {MAX_SIDES} sides")
    side = _positive(side, "a regular polygon needs a length of side")
    if n == 4:
        return rectangle(side, side)
    zero = Fraction(0)
    middle_x, middle_y, radius = float(side) / 2, float(apothem(n, side)), float(circumradius(n, side))
    turns = (2 * math.pi * k / n - math.pi / 2 - math.pi / n for k in range(2, n))
    far = (Point(middle_x + radius * math.cos(a), middle_y + radius * math.sin(a)) for a in turns)
    return polygon((Point(zero, zero), Point(side, zero), *far))


def apothem(n: int, side: Real) -> Real:
    """From the middle of a regular polygon to the middle of a side: a / (2 tan π/n), in mm."""
    return as_coordinate(side) / 2 if n == 4 else float(side) / (2 * math.tan(math.pi / n))


def circumradius(n: int, side: Real) -> Real:
    """From the middle of a regular polygon to a corner: a / (2 sin π/n), in mm."""
    return as_coordinate(side) if n == 6 else float(side) / (2 * math.sin(math.pi / n))


def inset(outline: Sequence[Line], by: Real) -> tuple[Line, ...]:
    """Each edge of a closed outline of straight lines moved inwards by ``by`` mm (outwards where negative).

    Counter-clockwise or clockwise alike; edge k of the answer is edge k
    moved. Exact for exact level and upright edges. Raises :class:`ShapeError`
    where an edge disappears or two edges run into each other.
    """
    by, edges = as_coordinate(by), tuple(outline)
    if any(not isinstance(e, Line) for e in edges):
        raise ShapeError("only an outline of straight lines can be inset")
    side = 1 if _doubled_area(edges) > 0 else -1
    rims = [_offset_edge(e, by * side) for e in edges]
    corners = [_corner(rims[k - 1], rims[k]) for k in range(len(edges))]
    result = tuple(zip(corners, corners[1:] + corners[:1], strict=True))
    if any(_dot(a, b, e) <= 0 for (a, b), e in zip(result, edges, strict=True)):
        raise ShapeError("the inset is so wide that an edge of the shape disappears")
    moved = tuple(Line(a, b) for a, b in result)
    if crosses_itself(moved):
        raise ShapeError("the inset is so wide that edges of the shape run into each other")
    return moved


def _offset_edge(edge: Line, by: Real) -> tuple[Point, Point]:
    """A point of the edge moved ``by`` mm to its left, and its step."""
    (x, y), (dx, dy), size = edge.start, edge.step, edge.length()
    return Point(x - dy * by / size if dy else x, y + dx * by / size if dx else y), edge.step


def _corner(first: tuple[Point, Point], second: tuple[Point, Point]) -> Point:
    """Where two moved edges meet; edges that continue each other meet where the second begins."""
    ((x, y), (dx, dy)), ((u, v), (du, dv)) = first, second
    turn = dx * dv - dy * du
    if absolute(turn) <= PARALLEL_SINE * math.hypot(dx, dy) * math.hypot(du, dv):
        return Point(u, v)
    t = ((u - x) * dv - (v - y) * du) / turn
    across_x, across_y = (x if not dx else u if not du else x + dx * t), (y if not dy else v if not dv
                                                                          else y + dy * t)
    return Point(across_x, across_y)


def _dot(a: Point, b: Point, edge: Line) -> Real:
    return (b.x - a.x) * edge.step.x + (b.y - a.y) * edge.step.y


def _doubled_area(edges: Sequence[Line]) -> Real:
    return sum(e.start.x * e.end.y - e.end.x * e.start.y for e in edges)


def _edges(corners: Sequence[Point]) -> list[tuple[Point, Point]]:
    return [(corners[k], corners[(k + 1) % len(corners)]) for k in range(len(corners))]


def _positive(value: Real, complaint: str) -> Real:
    value = as_coordinate(value)
    if value <= 0:
        raise ShapeError(f"{complaint}, greater than nothing")
    return value
