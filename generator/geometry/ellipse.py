"""Whole circles, and arcs of ellipses through two points."""
from __future__ import annotations

import math
from functools import cached_property

import numpy as np

from generator.dataclass import dataclass
from generator.geometry.arc import FULL_TURN, Arc, Conic, arc_of_sweep
from generator.geometry.plane import Point, Real, ShapeError, Transform, as_coordinate, as_point
from generator.geometry.tolerances import (
    ARC_LENGTH_TOLERANCE,
    DIAMETER_TOLERANCE,
    FULL_CIRCLE_TOLERANCE,
    HALF_ELLIPSE_TOLERANCE,
)


@dataclass(frozen=True)
class Circle(Conic):
    """A circle, travelled counter-clockwise unless ``clockwise``.

    It begins and ends at its rightmost point.
    """

    center: Point
    radius: Real
    clockwise: bool = False

    tilt = 0.0
    first = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "center", as_point(self.center))
        object.__setattr__(self, "radius", as_coordinate(self.radius))
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
        return -FULL_TURN if self.clockwise else FULL_TURN

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
        """The arc from share ``t0`` to share ``t1`` of the way.

        ``t1`` may lie beyond 1, past the beginning.
        """
        return self if t0 == 0 and t1 == 1 else self.between(t0, t1, self.at(t0), self.at(t1))

    def between(self, t0: Real, t1: Real, start: Point, end: Point) -> Arc | Circle:
        """:meth:`part`, with its ends given, since they are known better than ``t0`` and ``t1`` tell."""
        if abs(abs(float(t1 - t0)) - 1) <= FULL_CIRCLE_TOLERANCE:
            return self if t1 > t0 else self.reversed()
        return arc_of_sweep(start, end, float(self.radius), self.sweep * float(t1 - t0))

    def moved(self, transform: Transform) -> Circle:
        """The circle after a rigid map; it still begins at its rightmost point."""
        return Circle(transform.apply(self.center), self.radius, self.clockwise != transform.mirrors)


GAUSS_NODES, GAUSS_WEIGHTS = np.polynomial.legendre.leggauss(20)
MAX_HALVINGS = 40        # halvings of the angle when the length is summed


@dataclass(frozen=True)
class EllipseArc(Conic):
    """The shorter arc through ``start`` and ``end`` of an ellipse of half axes ``rx`` and ``ry`` mm.

    The axes lie level and upright unless a later turn has tilted them by
    ``tilt`` radians. The arc bulges to the left of travel, or to the right.
    ``t`` shares out the eccentric angle, not the length.
    """

    start: Point
    end: Point
    rx: Real
    ry: Real
    left: bool = True
    tilt: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "start", as_point(self.start))
        object.__setattr__(self, "end", as_point(self.end))
        object.__setattr__(self, "rx", as_coordinate(self.rx))
        object.__setattr__(self, "ry", as_coordinate(self.ry))
        if self.start == self.end:
            raise ShapeError("an ellipse arc from a point to itself has no length")
        if self.rx <= 0 or self.ry <= 0:
            raise ShapeError("an ellipse needs two radii greater than nothing")
        if self._rest < -DIAMETER_TOLERANCE:
            raise ShapeError(
                "the ellipse is too small to pass through both points: make one of its radii longer")

    @cached_property
    def _chord(self) -> tuple[Real, Real]:
        """The chord with the ellipse pressed into a circle of radius 1."""
        dx, dy = self.end.x - self.start.x, self.end.y - self.start.y
        if self.tilt:
            cosine, sine = math.cos(self.tilt), math.sin(self.tilt)
            dx, dy = float(dx) * cosine + float(dy) * sine, float(dy) * cosine - float(dx) * sine
        return dx / self.rx, dy / self.ry

    @cached_property
    def _rest(self) -> Real:
        """1 − (half chord)² in the pressed plane: the square of the centre's distance from the chord."""
        dx, dy = self._chord
        return 1 - (dx * dx + dy * dy) / 4

    @cached_property
    def axes(self) -> tuple[Real, Real]:
        """The half axes."""
        return self.rx, self.ry

    @cached_property
    def centre(self) -> Point:
        """The middle of the ellipse; exact for half an ellipse between exact points."""
        middle = Point((self.start.x + self.end.x) / 2, (self.start.y + self.end.y) / 2)
        if self._rest <= HALF_ELLIPSE_TOLERANCE:
            return middle
        dx, dy = map(float, self._chord)
        away = math.sqrt(self._rest) / math.hypot(dx, dy) * (1 if self.left else -1)
        x, y = dy * away * float(self.rx), -dx * away * float(self.ry)
        cosine, sine = math.cos(self.tilt), math.sin(self.tilt)
        return Point(float(middle.x) + x * cosine - y * sine, float(middle.y) + x * sine + y * cosine)

    @cached_property
    def sweep(self) -> float:
        """The eccentric angle travelled, radians; negative is clockwise."""
        half = math.hypot(*map(float, self._chord)) / 2
        rest = math.sqrt(self._rest) if self._rest > HALF_ELLIPSE_TOLERANCE else 0.0
        return (-2 if self.left else 2) * math.atan2(half, rest)

    @cached_property
    def first(self) -> float:
        """The eccentric angle of the start, radians."""
        return self.angle_of(self.start)

    def length(self) -> float:
        """In mm along the arc, summed by Gauss's rule to a share of 1e-13 or so."""
        rx, ry = map(float, self.axes)
        return _arc_length(rx, ry, min(self.first, self.first + self.sweep), abs(self.sweep), MAX_HALVINGS)

    def reversed(self) -> EllipseArc:
        """The same arc, travelled the other way."""
        return EllipseArc(self.end, self.start, self.rx, self.ry, not self.left, self.tilt)

    def part(self, t0: Real, t1: Real) -> EllipseArc:
        """The arc from share ``t0`` to share ``t1`` of the eccentric angle."""
        return self if t0 == 0 and t1 == 1 else self.between(t0, t1, self.at(t0), self.at(t1))

    def between(self, t0: Real, t1: Real, start: Point, end: Point) -> EllipseArc:
        """:meth:`part`, with its ends given, since they are known better than ``t0`` and ``t1`` tell."""
        return EllipseArc(start, end, self.rx, self.ry, self.left == (t0 < t1), self.tilt)

    def moved(self, transform: Transform) -> EllipseArc:
        """The arc after a rigid map; quarter turns change the radii over, other turns tilt the axes."""
        rx, ry, tilt = self.rx, self.ry, -self.tilt if transform.mirrors else self.tilt
        if transform.a == 0 and transform.e == 0:
            rx, ry = ry, rx
        elif transform.b != 0 or transform.d != 0:
            tilt += transform.turn
        return EllipseArc(transform.apply(self.start), transform.apply(self.end), rx, ry,
                          self.left != transform.mirrors, tilt)


def _gauss_sum(rx: float, ry: float, low: float, width: float) -> float:
    angles = low + width * (GAUSS_NODES + 1) / 2
    return float(GAUSS_WEIGHTS @ np.hypot(rx * np.sin(angles), ry * np.cos(angles))) * width / 2


def _arc_length(rx: float, ry: float, low: float, width: float, depth: int) -> float:
    """∫ √(rx² sin² + ry² cos²) over the eccentric angle, halved until both rules agree."""
    whole = _gauss_sum(rx, ry, low, width)
    halves = _gauss_sum(rx, ry, low, width / 2) + _gauss_sum(rx, ry, low + width / 2, width / 2)
    if depth == 0 or abs(whole - halves) <= ARC_LENGTH_TOLERANCE * (rx + ry):
        return halves
    return _arc_length(rx, ry, low, width / 2, depth - 1) + _arc_length(rx, ry, low + width / 2, width / 2,
                                                                        depth - 1)
