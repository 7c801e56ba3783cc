"""Whole circles: a closed loop of one stroke."""
from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from generator.geometry.arc import Arc, arc_of_sweep
from generator.geometry.conic import TURN, Conic
from generator.geometry.errors import ShapeError
from generator.geometry.point import Point, Real, real, sound
from generator.geometry.transform import Transform

WHOLE = 1e-12   # share of a turn; two parts that make up a circle do so only to the last digits


@dataclass(frozen=True)
class Circle(Conic):
    """A circle, travelled counter-clockwise unless ``clockwise``; it begins and ends at its rightmost point."""

    center: Point
    radius: Real
    clockwise: bool = False

    tilt = 0.0
    first = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "center", sound(self.center))
        object.__setattr__(self, "radius", real(self.radius))
        if self.radius <= 0:
            raise ShapeError("a circle needs a radius greater than nothing")

    @property
    def centre(self) -> Point:
        """The middle of the circle."""
        return self.center

    @cached_property
    def start(self) -> Point:
        """The rightmost point."""
        return Point(self.center.x + self.radius, self.center.y)

    @property
    def end(self) -> Point:
        """The rightmost point again."""
        return self.start

    @cached_property
    def axes(self) -> tuple[Real, Real]:
        """The radius, twice: a circle's half axes."""
        return self.radius, self.radius

    @property
    def sweep(self) -> float:
        """A whole turn, radians; negative is clockwise."""
        return -TURN if self.clockwise else TURN

    def length(self) -> float:
        """The circumference in mm."""
        return 2 * math.pi * float(self.radius)

    def bounds(self) -> tuple[Real, Real, Real, Real]:
        """Left, bottom, right, top; exact while centre and radius are."""
        (x, y), r = self.center, self.radius
        return x - r, y - r, x + r, y + r

    def reversed(self) -> Circle:
        """The same circle, travelled the other way."""
        return Circle(self.center, self.radius, not self.clockwise)

    def part(self, t0: Real, t1: Real) -> Arc | Circle:
        """The arc from share ``t0`` to share ``t1`` of the way; ``t1`` may lie beyond 1, past the beginning."""
        return self if t0 == 0 and t1 == 1 else self.between(t0, t1, self.at(t0), self.at(t1))

    def between(self, t0: Real, t1: Real, start: Point, end: Point) -> Arc | Circle:
        """:meth:`part`, with its ends given, since they are known better than ``t0`` and ``t1`` tell."""
        if abs(abs(t1 - t0) - 1) <= WHOLE:
            return self if t1 > t0 else self.reversed()
        return arc_of_sweep(start, end, float(self.radius), self.sweep * float(t1 - t0))

    def moved(self, transform: Transform) -> Circle:
        """The circle after a rigid map; it still begins at its rightmost point."""
        return Circle(transform.apply(self.center), self.radius, self.clockwise != transform.mirrors)
