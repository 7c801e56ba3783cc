"""Rigid maps of the plane: shifts, turns and mirrors, exact where they can be."""
from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from generator.geometry.point import Point, Real, ShapeError, distance, real, sound
from generator.units import TOLERANCE

QUARTERS = ((1, 0), (0, 1), (-1, 0), (0, -1))  # cosine and sine of 0°, 90°, 180°, 270°


def _part(a: Real, x: Real, b: Real, y: Real) -> Real:
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
        return Transform(c=real(dx), f=real(dy))

    @staticmethod
    def quarter(turns: int) -> Transform:
        """``turns`` times a quarter turn counter-clockwise about the origin."""
        cosine, sine = QUARTERS[turns % 4]
        return Transform(a=cosine, b=-sine, d=sine, e=cosine)

    @staticmethod
    def mirror_x() -> Transform:
        """x becomes −x: as if turned over like a page."""
        return Transform(a=-1)

    @staticmethod
    def mirror_y() -> Transform:
        """y becomes −y."""
        return Transform(e=-1)

    @staticmethod
    def rotation(radians: float) -> Transform:
        """Counter-clockwise about the origin by an angle in radians (floats)."""
        cosine, sine = math.cos(real(radians)), math.sin(real(radians))
        return Transform(a=cosine, b=-sine, d=sine, e=cosine)

    @staticmethod
    def onto(a0: Point, a1: Point, b0: Point, b1: Point) -> Transform:
        """The turn and shift that lay the segment ``a0``–``a1`` on ``b0``–``b1``.

        Raises :class:`ShapeError` where the two are not equally long.
        """
        a0, a1, b0, b1 = map(sound, (a0, a1, b0, b1))
        cosine, sine = _turn_between(a0, a1, b0, b1)
        return Transform(a=cosine, b=-sine, c=b0.x - _part(cosine, a0.x, -sine, a0.y),
                         d=sine, e=cosine, f=b0.y - _part(sine, a0.x, cosine, a0.y))

    def apply(self, point: Point) -> Point:
        """Where ``point`` comes to lie."""
        x, y = point
        x, y = _part(self.a, x, self.b, y), _part(self.d, x, self.e, y)
        return Point(x + self.c if self.c else x, y + self.f if self.f else y)

    def then(self, other: Transform) -> Transform:
        """First this map, then ``other``."""
        corner = other.apply(Point(self.c, self.f))
        return Transform(a=_part(other.a, self.a, other.b, self.d), b=_part(other.a, self.b, other.b, self.e),
                         c=corner.x,
                         d=_part(other.d, self.a, other.e, self.d), e=_part(other.d, self.b, other.e, self.e),
                         f=corner.y)

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


def _turn_between(a0: Point, a1: Point, b0: Point, b1: Point) -> tuple[Real, Real]:
    """Cosine and sine of the turn from the direction a0→a1 to b0→b1."""
    ax, ay, bx, by = a1.x - a0.x, a1.y - a0.y, b1.x - b0.x, b1.y - b0.y
    square = ax * ax + ay * ay
    if not square:
        raise ShapeError("an edge from a point to itself has no direction to lie along")
    if abs(float(distance(a0, a1)) - float(distance(b0, b1))) > TOLERANCE:
        raise ShapeError("the two edges are not equally long, so one does not come to lie on the other")
    cosine, sine = (ax * bx + ay * by) / square, (ax * by - ay * bx) / square
    if type(cosine) is Fraction and type(sine) is Fraction and cosine * cosine + sine * sine == 1:
        return _whole(cosine), _whole(sine)
    size = math.hypot(cosine, sine)
    return float(cosine) / size, float(sine) / size


def _whole(value: Fraction) -> Real:
    return value.numerator if value.denominator == 1 else value
