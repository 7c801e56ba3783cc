"""Arcs of circles, by their bulge or by their radius."""
from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from generator.geometry.conic import Conic
from generator.geometry.errors import ShapeError
from generator.geometry.point import Point, Real, as_float, distance, gap, real, root, sound
from generator.geometry.transform import Transform
from generator.units import TOLERANCE

FLATTEST = 1e-12    # bulge over chord; flatter than this no sum can tell an arc from a line
ROUNDEST = 1e-9     # chord over bulge; rounder than this it is a circle


@dataclass(frozen=True)
class Arc(Conic):
    """An arc from ``start`` to ``end`` that rises ``bulge`` mm (its sagitta) over the chord.

    A positive bulge lies to the left of travel, a negative one to the right.
    Centre = middle of the chord + left normal · (b² − c²/4) / 2b, radius =
    (c²/4 + b²) / 2|b|, sweep = −4·atan(2b/c), for bulge b and chord c.
    """

    start: Point
    end: Point
    bulge: Real

    tilt = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "start", sound(self.start))
        object.__setattr__(self, "end", sound(self.end))
        object.__setattr__(self, "bulge", real(self.bulge))
        if self.start == self.end:
            raise ShapeError("an arc from a point to itself has no length; for a whole round use a circle")
        chord, bulge = gap(self.start, self.end), abs(as_float(self.bulge))
        if bulge <= FLATTEST * chord:
            raise ShapeError("an arc needs a bulge; without one it is a straight line")
        if chord <= ROUNDEST * bulge:
            raise ShapeError("the ends of this arc lie so close together that it is a whole circle")

    @cached_property
    def chord(self) -> Real:
        """The straight distance between the ends, in mm."""
        return distance(self.start, self.end)

    @cached_property
    def radius(self) -> Real:
        """In mm; exact while bulge and ends are."""
        dx, dy = self.end.x - self.start.x, self.end.y - self.start.y
        return ((dx * dx + dy * dy) / 4 + self.bulge * self.bulge) / (2 * abs(self.bulge))

    @cached_property
    def centre(self) -> Point:
        """The middle of the circle; exact where the chord is."""
        (x0, y0), (x1, y1), b, c = self.start, self.end, self.bulge, self.chord
        lift = (b * b - c * c / 4) / (2 * b * c)
        return Point((x0 + x1) / 2 - (y1 - y0) * lift, (y0 + y1) / 2 + (x1 - x0) * lift)

    @cached_property
    def axes(self) -> tuple[Real, Real]:
        """The radius, twice: a circle's half axes."""
        return self.radius, self.radius

    @cached_property
    def sweep(self) -> float:
        """The angle travelled, radians; negative is clockwise."""
        x0, y0, x1, y1 = self.ends
        return -4 * math.atan2(2 * as_float(self.bulge), math.hypot(x1 - x0, y1 - y0))

    @cached_property
    def frame(self) -> tuple[float, float, float, float, float, float]:
        """Centre and half axes in floats; the sums of :attr:`centre` and :attr:`radius`, done quickly."""
        (x0, y0, x1, y1), b = self.ends, as_float(self.bulge)
        c = math.hypot(x1 - x0, y1 - y0)
        lift, radius = (b * b - c * c / 4) / (2 * b * c), (c * c / 4 + b * b) / (2 * abs(b))
        return (x0 + x1) / 2 - (y1 - y0) * lift, (y0 + y1) / 2 + (x1 - x0) * lift, radius, 0.0, 0.0, radius

    @cached_property
    def first(self) -> float:
        """The angle of the start, seen from the centre, radians."""
        (x, y, *_), (cx, cy, *_) = self.ends, self.frame
        return math.atan2(y - cy, x - cx)

    def length(self) -> float:
        """In mm along the arc."""
        return self.frame[2] * abs(self.sweep)

    def reversed(self) -> Arc:
        """The same arc, travelled the other way."""
        return Arc(self.end, self.start, -self.bulge)

    def part(self, t0: Real, t1: Real) -> Arc:
        """The arc from share ``t0`` to share ``t1`` of the way."""
        return self if t0 == 0 and t1 == 1 else self.between(t0, t1, self.at(t0), self.at(t1))

    def between(self, t0: Real, t1: Real, start: Point, end: Point) -> Arc:
        """:meth:`part`, with its ends given, since they are known better than ``t0`` and ``t1`` tell."""
        if t0 == 0 and t1 == 1:
            return Arc(start, end, self.bulge)
        return arc_of_sweep(start, end, self.frame[2], self.sweep * float(t1 - t0))

    def moved(self, transform: Transform) -> Arc:
        """The arc after a rigid map."""
        bulge = -self.bulge if transform.mirrors else self.bulge
        return Arc(transform.apply(self.start), transform.apply(self.end), bulge)


def arc_of_sweep(start: Point, end: Point, radius: float, sweep: float) -> Arc:
    """An arc of a known sweep (radians, negative is clockwise); its sagitta is 2r·sin²(sweep/4)."""
    sagitta = 2 * radius * math.sin(sweep / 4) ** 2
    return Arc(start, end, math.copysign(sagitta, -sweep))


def arc_by_radius(a: Point, b: Point, radius: Real, left: bool = True, large: bool = False) -> Arc:
    """The arc from ``a`` to ``b`` of a radius in mm, bulging to the left (or right) of travel.

    ``large`` takes the longer of the two arcs. Raises :class:`ShapeError`
    where the radius does not reach both points.
    """
    a, b, radius = sound(a), sound(b), real(radius)
    half = distance(a, b) / 2
    if not half:
        raise ShapeError("an arc from a point to itself has no length; for a whole round use a circle")
    if radius < half - TOLERANCE / 2:
        raise ShapeError("the radius is too small to reach both points: it must be at least half their distance")
    depth = root(max(radius * radius - half * half, 0 * half))
    # r − √(r² − h²), written so that a wide radius loses no digits
    bulge = radius + depth if large else half * half / (radius + depth)
    return Arc(a, b, bulge if left else -bulge)
