"""Points (in mm, x to the right, y upward), rigid maps and straight lines, exact where they can be."""
from __future__ import annotations

import math
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

from generator.dataclass import dataclass
from generator.geometry.tolerances import FINE_CHORD_TOLERANCE
from generator.units import TOLERANCE


class ShapeError(ValueError):
    """A shape that cannot be drawn; the text is for the demonstrator, in the trade's words."""


Real = Fraction | float
Box = tuple[Real, Real, Real, Real]      # left, bottom, right, top


class Point(NamedTuple):
    """``x`` and ``y`` in mm; Fractions while exact, floats after a root or an angle."""

    x: Real
    y: Real


def as_coordinate(value: int | Real) -> Real:
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


def as_point(point: tuple[int | Real, int | Real]) -> Point:
    """``point`` with sound coordinates, see :func:`as_coordinate`."""
    x, y = point
    kind = type(x)
    if kind is type(y) and type(point) is Point and (
            kind is Fraction or kind is float and math.isfinite(x) and math.isfinite(y)):
        return point
    return Point(as_coordinate(x), as_coordinate(y))


def as_float(value: Real) -> float:
    """The nearest float; several times quicker than ``float`` is for a Fraction."""
    return value if isinstance(value, float) else value.numerator / value.denominator


def floats(point: tuple[Real, Real]) -> tuple[float, float]:
    """Both coordinates as floats."""
    x, y = point
    return as_float(x), as_float(y)


def is_exact(point: Point) -> bool:
    """True while both coordinates are Fractions."""
    return type(point[0]) is Fraction and type(point[1]) is Fraction


def absolute(value: Real) -> Real:
    """The size of a number, exact while it is (``abs`` has no type for numbers that may be exact)."""
    return -value if value < 0 else value


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
        return absolute(dy)
    if not dy:
        return absolute(dx)
    if type(dx) is float or type(dy) is float:
        return math.hypot(dx, dy)
    return root(dx * dx + dy * dy)


def gap(a: Point, b: Point) -> float:
    """How far apart two points are, in mm, as a float: quick, for comparing with a tolerance."""
    return math.dist(floats(a), floats(b))


def midpoint(a: Point, b: Point) -> Point:
    """The point half-way between two points."""
    return Point((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)


QUARTER_TURNS = ((1, 0), (0, 1), (-1, 0), (0, -1))  # cosine and sine of 0°, 90°, 180°, 270°


def _dot_product(a: Real, x: Real, b: Real, y: Real) -> Real:
    """a·x + b·y, without work for the factors 0, 1 and −1 of quarter turns and mirrors."""
    if b == 0:
        return x if a == 1 else -x if a == -1 else a * x
    if a == 0:
        return y if b == 1 else -y if b == -1 else b * y
    return a * x + b * y


@dataclass(frozen=True, slots=True)
class Transform:
    """x' = a·x + b·y + c and y' = d·x + e·y + f; lengths are kept by every map made here.

    Exact for shifts, quarter turns, mirrors, and for :meth:`onto` where both
    segments are exact and equally long.
    """

    a: Real = 1
    b: Real = 0
    c: Real = Fraction(0)
    d: Real = 0
    e: Real = 1
    f: Real = Fraction(0)

    @staticmethod
    def identity() -> Transform:
        """The map that moves nothing."""
        return Transform()

    @staticmethod
    def shift(dx: Real, dy: Real) -> Transform:
        """``dx`` to the right and ``dy`` up, in mm."""
        return Transform(c=as_coordinate(dx), f=as_coordinate(dy))

    @staticmethod
    def quarter(turns: int) -> Transform:
        """``turns`` times a quarter turn counter-clockwise about the origin."""
        cosine, sine = QUARTER_TURNS[turns % 4]
        return Transform(a=cosine, b=-sine, d=sine, e=cosine)

    @staticmethod
    def mirror_x() -> Transform:
        """X becomes −x: as if turned over like a page."""
        return Transform(a=-1)

    @staticmethod
    def mirror_y() -> Transform:
        """Y becomes −y."""
        return Transform(e=-1)

    @staticmethod
    def rotation(radians: float) -> Transform:
        """Counter-clockwise about the origin by an angle in radians (floats)."""
        cosine, sine = math.cos(as_coordinate(radians)), math.sin(as_coordinate(radians))
        return Transform(a=cosine, b=-sine, d=sine, e=cosine)

    @staticmethod
    def onto(a0: Point, a1: Point, b0: Point, b1: Point) -> Transform:
        """The turn and shift that lay the segment ``a0``–``a1`` on ``b0``–``b1``.

        Raises :class:`ShapeError` where the two are not equally long.
        """
        a0, a1, b0, b1 = map(as_point, (a0, a1, b0, b1))
        cosine, sine = _rotation_between(a0, a1, b0, b1)
        return Transform(a=cosine, b=-sine, c=b0.x - _dot_product(cosine, a0.x, -sine, a0.y),
                         d=sine, e=cosine, f=b0.y - _dot_product(sine, a0.x, cosine, a0.y))

    def apply(self, point: Point) -> Point:
        """Where ``point`` comes to lie."""
        x, y = point
        x, y = _dot_product(self.a, x, self.b, y), _dot_product(self.d, x, self.e, y)
        return Point(x + self.c if self.c else x, y + self.f if self.f else y)

    def then(self, other: Transform) -> Transform:
        """First this map, then ``other``."""
        corner = other.apply(Point(self.c, self.f))
        return Transform(a=_dot_product(other.a, self.a, other.b, self.d),
                         b=_dot_product(other.a, self.b, other.b, self.e), c=corner.x,
                         d=_dot_product(other.d, self.a, other.e, self.d),
                         e=_dot_product(other.d, self.b, other.e, self.e), f=corner.y)

    def inverse(self) -> Transform:
        """The map that takes everything back. A rigid map's is its transpose."""
        back = Transform(a=self.a, b=self.d, d=self.b, e=self.e)
        corner = back.apply(Point(-self.c, -self.f))
        return Transform(a=self.a, b=self.d, c=corner.x, d=self.b, e=self.e, f=corner.y)

    @property
    def mirrors(self) -> bool:
        """True where left and right change places."""
        return self.a * self.e - self.b * self.d < 0

    @property
    def turn(self) -> float:
        """The angle in radians that a level line is turned by, counter-clockwise."""
        return math.atan2(self.d, self.a)


def _rotation_between(a0: Point, a1: Point, b0: Point, b1: Point) -> tuple[Real, Real]:
    """Cosine and sine of the turn from the direction a0→a1 to b0→b1."""
    ax, ay, bx, by = a1.x - a0.x, a1.y - a0.y, b1.x - b0.x, b1.y - b0.y
    square = ax * ax + ay * ay
    if not square:
        raise ShapeError("an edge from a point to itself has no direction to lie along")
    if abs(float(distance(a0, a1)) - float(distance(b0, b1))) > TOLERANCE:
        raise ShapeError("the two edges are not equally long, so one does not come to lie on the other")
    cosine, sine = (ax * bx + ay * by) / square, (ax * by - ay * bx) / square
    if type(cosine) is Fraction and type(sine) is Fraction and cosine * cosine + sine * sine == 1:
        return _int_where_whole(cosine), _int_where_whole(sine)
    size = math.hypot(cosine, sine)
    return float(cosine) / size, float(sine) / size


def _int_where_whole(value: Fraction) -> Real:
    return value.numerator if value.denominator == 1 else value


@dataclass(frozen=True)
class Line:
    """A straight stroke from ``start`` to ``end``, in mm."""

    start: Point
    end: Point

    def __post_init__(self) -> None:
        start, end = as_point(self.start), as_point(self.end)
        if start is not self.start or end is not self.end:
            object.__setattr__(self, "start", start)
            object.__setattr__(self, "end", end)
        if start == end:
            raise ShapeError("a line from a point to itself has no length")

    @cached_property
    def exact(self) -> bool:
        """True while all four coordinates are Fractions."""
        return is_exact(self.start) and is_exact(self.end)

    @cached_property
    def step(self) -> Point:
        """From start to end: (to the right, up)."""
        return Point(self.end.x - self.start.x, self.end.y - self.start.y)

    @cached_property
    def ends(self) -> tuple[float, float, float, float]:
        """Start and end in floats: (x0, y0, x1, y1)."""
        return *floats(self.start), *floats(self.end)

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """:meth:`bounds` in floats, for quick comparisons."""
        x0, y0, x1, y1 = self.ends
        return min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)

    @cached_property
    def direction(self) -> Point:
        """The direction of travel as a unit vector of floats."""
        dx, dy = floats(self.step)
        size = math.hypot(dx, dy)
        return Point(dx / size, dy / size)

    def length(self) -> Real:
        """In mm; exact where the root is."""
        return distance(self.start, self.end)

    def at(self, t: Real) -> Point:
        """The point at the share ``t`` of the way."""
        if t == 0:
            return self.start
        if t == 1:
            return self.end
        (x, y), (dx, dy) = self.start, self.step
        return Point(x + dx * t if dx else x, y + dy * t if dy else y)

    def tangent(self, t: Real = 0) -> Point:        # noqa: ARG002 (every stroke has this signature)
        """The direction of travel as a unit vector of floats."""
        return self.direction

    def near(self, t: float) -> tuple[float, float]:
        """:meth:`at` in floats, for quick comparisons."""
        x0, y0, x1, y1 = self.ends
        return x0 + (x1 - x0) * t, y0 + (y1 - y0) * t

    def reversed(self) -> Line:
        """The same line, travelled the other way."""
        return Line(self.end, self.start)

    def part(self, t0: Real, t1: Real) -> Line:
        """The line from share ``t0`` to share ``t1`` of the way."""
        return self if t0 == 0 and t1 == 1 else Line(self.at(t0), self.at(t1))

    def between(self, t0: Real, t1: Real, start: Point, end: Point) -> Line:        # noqa: ARG002 (as above)
        """:meth:`part`, with its ends given, since they are known better than ``t0`` and ``t1`` tell."""
        return Line(start, end)

    def moved(self, transform: Transform) -> Line:
        """The line after a rigid map."""
        return Line(transform.apply(self.start), transform.apply(self.end))

    def bounds(self) -> Box:
        """Left, bottom, right, top."""
        return self._bounds

    @cached_property
    def _bounds(self) -> Box:
        (x0, y0), (x1, y1) = self.start, self.end
        left, right = (x0, x1) if x0 <= x1 else (x1, x0)
        bottom, top = (y0, y1) if y0 <= y1 else (y1, y0)
        return left, bottom, right, top

    def flattened(self, chord_error: float = FINE_CHORD_TOLERANCE  # noqa: ARG002 (as above)
                  ) -> tuple[Point, ...]:
        """Both ends."""
        return (self.start, self.end)
