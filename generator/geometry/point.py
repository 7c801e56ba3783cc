"""What is said of a shape that cannot be.

A point of the plane, in mm: x to the right, y upward.
"""
from __future__ import annotations

import math
from fractions import Fraction
from typing import NamedTuple


class ShapeError(ValueError):
    """A shape that cannot be drawn; the text is for the demonstrator, in the trade's words."""


Real = Fraction | float


class Point(NamedTuple):
    """``x`` and ``y`` in mm; Fractions while exact, floats after a root or an angle."""

    x: Real
    y: Real


def real(value: int | Real) -> Real:
    """A coordinate made sound: whole numbers become Fractions, other floats must be finite.

    Raises :class:`ShapeError` for an endless or undefined number.
    """
    if type(value) is Fraction:
        return value
    if isinstance(value, float):
        if not math.isfinite(value):
            raise ShapeError("a point of this shape has no place: the sums it comes from do not work out")
        return float(value)
    return Fraction(value)


def sound(point: tuple[int | Real, int | Real]) -> Point:
    """``point`` with sound coordinates, see :func:`real`."""
    x, y = point
    if type(x) is Fraction and type(y) is Fraction and type(point) is Point:
        return point
    return Point(real(x), real(y))


def as_float(value: Real) -> float:
    """The nearest float; several times quicker than ``float`` is for a Fraction."""
    return value.numerator / value.denominator if type(value) is Fraction else value


def floats(point: Point) -> tuple[float, float]:
    """Both coordinates as floats."""
    x, y = point
    return as_float(x), as_float(y)


def is_exact(point: Point) -> bool:
    """True while both coordinates are Fractions."""
    return type(point[0]) is Fraction and type(point[1]) is Fraction


def root(value: Real) -> Real:
    """The square root: a Fraction where it is one, else a float."""
    if type(value) is Fraction:
        above, below = math.isqrt(value.numerator), math.isqrt(value.denominator)
        if above * above == value.numerator and below * below == value.denominator:
            return Fraction(above, below)
    return math.sqrt(value)


def distance(a: Point, b: Point) -> Real:
    """How far apart two points are, in mm; exact where it can be."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    if not dx:
        return abs(dy)
    if not dy:
        return abs(dx)
    if type(dx) is float or type(dy) is float:
        return math.hypot(dx, dy)
    return root(dx * dx + dy * dy)


def gap(a: Point, b: Point) -> float:
    """How far apart two points are, in mm, as a float: quick, for comparing with a tolerance."""
    return math.dist(floats(a), floats(b))


def midpoint(a: Point, b: Point) -> Point:
    """The point half-way between two points."""
    return Point((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
