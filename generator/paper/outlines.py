"""Free-standing shapes: panels, flaps and tabs, not yet on any piece; edges count from the lower left corner."""
from __future__ import annotations

import math
from fractions import Fraction

from generator.geometry import Line, Point, ShapeError, Stroke, distance, regular_polygon
from generator.geometry import rectangle as rectangle_lines
from generator.geometry import trapezoid as trapezoid_lines
from generator.paper.job import Job
from generator.paper.kinds import AngleArg, Length, Number
from generator.paper.shapes import whole
from generator.paper.values import Outline
from generator.units import Quantity


def ngon(job: Job, sides: Number, *, side: Length) -> Outline:
    """A regular polygon by its number of sides and the length of a side; edges count from the first, leftward."""
    n = whole(job, sides, "sides", least=3, most=100)
    return Outline(f"a regular polygon of {n} sides", lambda edge: regular_polygon(n, side.value), (side,),
                   lambda edge: (side,) * n)


def rectangle(job: Job, *, width: Length = None, height: Length) -> Outline:
    """A rectangle; without a width it is as wide as the edge it is attached to."""
    def draw(edge):
        return rectangle_lines(_given(width, edge, "rectangle"), height.value)
    return Outline("a rectangle", draw, _sizes(width, height), lambda edge: (width or edge, height) * 2)


def trapezoid(job: Job, *, base: Length = None, top: Length, height: Length) -> Outline:
    """A trapezoid with equal legs: base (as wide as its edge when left out), top and height."""
    def draw(edge):
        return trapezoid_lines(_given(base, edge, "trapezoid"), top.value, height.value)

    def lengths(edge):
        leg = _leg((base or edge) - top, height)
        return base or edge, leg, top, leg
    return Outline("a trapezoid", draw, _sizes(base, top, height), lengths)


def triangle(job: Job, *, base: Length = None, height: Length) -> Outline:
    """A triangle with equal legs on a base (as wide as its edge when left out)."""
    def draw(edge):
        wide = _given(base, edge, "triangle")
        if wide <= 0 or height.value <= 0:
            raise ShapeError("a triangle needs a base and a height above nothing")
        return _loop((Point(Fraction(0), Fraction(0)), Point(wide, Fraction(0)), Point(wide / 2, height.value)))

    def lengths(edge):
        leg = _leg(base or edge, height)
        return base or edge, leg, leg
    return Outline("a triangle", draw, _sizes(base, height), lengths)


def tab(job: Job, *, depth: Length, slope: AngleArg = None) -> Outline:
    """A glue tab on the whole of an edge, tapered at both ends by ``slope`` (60 deg when left out)."""
    degrees = float(slope.degrees) if slope is not None else 60.0
    if not 10 <= degrees <= 90:
        job.refuse("shape-wrong", f"a tab cannot taper at {degrees:g}°", "use 10 to 90 deg", at="slope")

    def draw(edge):
        wide = _given(None, edge, "tab")
        cut = Fraction(0) if degrees == 90 else float(depth.value) / math.tan(math.radians(degrees))
        if 2 * cut >= wide:
            raise ShapeError("this tab is too deep for its edge: its slopes meet before its end")
        return trapezoid_lines(wide, wide - 2 * cut, depth.value)
    return Outline("a tab", draw, (depth,))


def gore(job: Job, *, radius: Length, gores: Number) -> Outline:
    """Half of one gore of a dome: half width r·cos(s/r)·tan(π/n) at s along the middle, to a point at s = πr/2.

    The tan form is the one that closes with s measured along the centre line.
    """
    n = whole(job, gores, "gores", least=3, most=100)

    def draw(edge):
        r, steps = float(radius.value), 24
        left = [_gore_point(r, n, k / steps) for k in range(steps + 1)]     # foot to tip
        wide = -left[0].x
        right = [Point(-p.x, p.y) for p in left]
        ordered = [Point(p.x + wide, p.y) for p in (left[0], *right, *reversed(left[1:-1]))]
        if edge is not None and abs(float(edge.value) - 2 * wide) > 1e-6:
            raise ShapeError(f"this gore is {2 * wide:.2f} mm wide at its foot, its edge is not")
        return _loop(ordered)
    return Outline("a gore", draw, (radius,))


def _gore_point(r: float, n: int, share: float) -> Point:
    s = share * math.pi * r / 2
    return Point(-r * math.cos(s / r) * math.tan(math.pi / n), s)


def _loop(points: tuple | list) -> tuple[Stroke, ...]:
    return tuple(Line(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True) if a != b)


def _leg(overhang: Quantity, height: Quantity) -> Quantity:
    """One of two equal legs that overcome ``overhang`` together; exact where its square is one."""
    half = overhang.value / 2
    return Quantity(distance(Point(Fraction(0), Fraction(0)), Point(half, height.value)), 1, overhang.names | height.names)


def _given(size: Quantity | None, edge: Quantity | None, what: str) -> object:
    if size is not None:
        return size.value
    if edge is None:
        raise ShapeError(f"a {what} that hangs on no edge needs its width")
    return edge.value


def _sizes(*sizes: Quantity | None) -> tuple[Quantity, ...]:
    return tuple(size for size in sizes if size is not None)
