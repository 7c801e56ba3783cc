"""What arcs, ellipse arcs and circles share: a centre, two axes, an angle to begin at and a sweep.

A point of the curve is  centre + cos θ · u + sin θ · v,  where u and v are
perpendicular half axes and θ is the eccentric angle in radians; the curve
runs from θ = ``first`` to ``first + sweep`` (negative: clockwise). Arcs of
circles are told by their bulge or by their radius.
"""
from __future__ import annotations

import math
from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING, TypeAlias, TypeVar

from generator.dataclass import dataclass
from generator.geometry.plane import (
    Box,
    Point,
    Real,
    ShapeError,
    Transform,
    absolute,
    as_coordinate,
    as_float,
    as_point,
    distance,
    floats,
    gap,
    root,
)
from generator.geometry.tolerances import (
    EXTREME_ANGLE_TOLERANCE,
    FINE_CHORD_TOLERANCE,
    MIN_BULGE_RATIO,
    MIN_CHORD_RATIO,
)
from generator.units import TOLERANCE

FULL_TURN = 2 * math.pi
Coordinate = TypeVar("Coordinate", float, Real)
Bounds: TypeAlias = tuple[Coordinate, Coordinate, Coordinate, Coordinate]      # left, bottom, right, top
MAX_CHORDS = 10_000    # that a curve is ever replaced by


class Conic:
    """The behaviour of the curved strokes.

    They give ``start``, ``end``, ``centre``, ``axes``, ``first``, ``sweep``.
    """

    if TYPE_CHECKING:       # at run time a field without a default would take the property for its default
        @property
        def start(self) -> Point: ...       # noqa: D102 (said above)
        @property
        def end(self) -> Point: ...         # noqa: D102
        @property
        def centre(self) -> Point: ...      # noqa: D102
        @property
        def axes(self) -> tuple[Real, Real]: ...    # noqa: D102 (half axes, in mm)
        @property
        def tilt(self) -> float: ...        # noqa: D102 (the angle of the first axis, radians)
        @property
        def first(self) -> float: ...       # noqa: D102
        @property
        def sweep(self) -> float: ...       # noqa: D102

    exact = False

    @cached_property
    def frame(self) -> tuple[float, float, float, float, float, float]:
        """Centre, first and second half axis as vectors: (cx, cy, ux, uy, vx, vy)."""
        rx, ry = floats(self.axes)
        cosine, sine = (math.cos(self.tilt), math.sin(self.tilt)) if self.tilt else (1.0, 0.0)
        return *floats(self.centre), rx * cosine, rx * sine, -ry * sine, ry * cosine

    @cached_property
    def ends(self) -> tuple[float, float, float, float]:
        """Start and end in floats: (x0, y0, x1, y1)."""
        return *floats(self.start), *floats(self.end)

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """:meth:`bounds` in floats, for quick comparisons."""
        x0, y0, x1, y1 = self.ends
        cx, cy, ux, uy, vx, vy = self.frame
        wide, high = math.hypot(ux, vx), math.hypot(uy, vy)
        return self._bounded((x0, y0), (x1, y1), lambda: (cx - wide, cy - high, cx + wide, cy + high))

    def point_at_angle(self, angle: float) -> Point:
        """The point at the eccentric angle ``angle``, in radians."""
        return Point(*self._place_at_angle(angle))

    def _place_at_angle(self, angle: float) -> tuple[float, float]:
        cx, cy, ux, uy, vx, vy = self.frame
        cosine, sine = math.cos(angle), math.sin(angle)
        return cx + cosine * ux + sine * vx, cy + cosine * uy + sine * vy

    def in_frame(self, point: Point) -> tuple[float, float]:
        """``point`` in the curve's own frame, where the curve is the circle of radius 1 about the origin."""
        cx, cy, ux, uy, vx, vy = self.frame
        x, y = floats(point)
        dx, dy = x - cx, y - cy
        return (dx * ux + dy * uy) / (ux * ux + uy * uy), (dx * vx + dy * vy) / (vx * vx + vy * vy)

    def angle_of(self, point: Point) -> float:
        """The eccentric angle of a point of the curve, in radians."""
        x, y = self.in_frame(point)
        return math.atan2(y, x)

    def share_of(self, angle: float) -> float:
        """The ``t`` at which the curve has an eccentric angle: 0 to 1 on the stroke, more beyond its end."""
        travelled = (angle - self.first) if self.sweep > 0 else (self.first - angle)
        return (travelled % FULL_TURN) / abs(self.sweep)

    def at(self, t: Real) -> Point:
        """The point at the share ``t`` of the (eccentric) angle; both ends are kept exactly."""
        if t == 0:
            return self.start
        if t == 1:
            return self.end
        return self.point_at_angle(self.first + self.sweep * float(t))

    def near(self, t: float) -> tuple[float, float]:
        """:meth:`at` in floats, for quick comparisons."""
        return self._place_at_angle(self.first + self.sweep * t)

    def tangent(self, t: Real) -> Point:
        """The direction of travel as a unit vector of floats."""
        _, _, ux, uy, vx, vy = self.frame
        angle = self.first + self.sweep * float(t)
        cosine, sine = math.cos(angle), math.sin(angle)
        dx, dy = cosine * vx - sine * ux, cosine * vy - sine * uy
        size = math.copysign(math.hypot(dx, dy), self.sweep)
        return Point(dx / size, dy / size)

    def bounds(self) -> Box:
        """Left, bottom, right, top; exact where an end, or an exact centre and radius, says it."""
        return self._bounds

    @cached_property
    def _bounds(self) -> Box:
        return self._bounded(self.start, self.end, self._whole_bounds)

    def _whole_bounds(self) -> Box:
        """The bounds of the whole circle or ellipse."""
        _, _, ux, uy, vx, vy = self.frame
        (x, y), (wide, high) = self.centre, self.axes if not self.tilt else (math.hypot(ux, vx),
                                                                             math.hypot(uy, vy))
        return x - wide, y - high, x + wide, y + high

    def _bounded(self, start: tuple[Coordinate, Coordinate], end: tuple[Coordinate, Coordinate],
                 whole: Callable[[], Bounds[Coordinate]]) -> Bounds[Coordinate]:
        """The bounds of both ends, and of the whole curve where the stroke passes its outermost point."""
        (x0, y0), (x1, y1) = start, end
        ends = min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)
        if not any(self._passed):       # the usual case, which spares the exact centre
            return ends
        left, bottom, right, top = (far if passed else near
                                    for far, passed, near in zip(whole(), self._passed, ends, strict=True))
        return left, bottom, right, top

    @cached_property
    def _passed(self) -> tuple[bool, bool, bool, bool]:
        """Whether the stroke passes the whole curve's leftmost, lowest, rightmost, topmost point."""
        _, _, ux, uy, vx, vy = self.frame
        right, top = math.atan2(vx, ux), math.atan2(vy, uy)
        return (self._passes(right + math.pi), self._passes(top + math.pi), self._passes(right),
                self._passes(top))

    def _passes(self, angle: float) -> bool:
        """Whether the stroke goes through an eccentric angle, its ends not counted."""
        share, near = self.share_of(angle), EXTREME_ANGLE_TOLERANCE / abs(self.sweep)
        return near < share < 1 - near

    def flattened(self, chord_error: float = FINE_CHORD_TOLERANCE) -> tuple[Point, ...]:
        """Points along the stroke, both ends kept, whose chords leave it by ``chord_error`` mm at most.

        A chord over the angle δ of a circle of radius r leaves it by r·(1 − cos δ/2) = 2r·sin² δ/4,
        that of an ellipse by no more than with its longer half axis. Never more than 10 000 chords.
        """
        if not chord_error > 0:
            raise ShapeError("a curve cannot be replaced by straight lines without any error")
        share = min(chord_error / float(max(self.axes)), 1.0)
        widest = 4 * math.asin(math.sqrt(share / 2))
        pieces = min(max(1, math.ceil(abs(self.sweep) / widest - EXTREME_ANGLE_TOLERANCE)), MAX_CHORDS)
        return (self.start, *(self.at(k / pieces) for k in range(1, pieces)), self.end)


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
        object.__setattr__(self, "start", as_point(self.start))
        object.__setattr__(self, "end", as_point(self.end))
        object.__setattr__(self, "bulge", as_coordinate(self.bulge))
        if self.start == self.end:
            raise ShapeError("an arc from a point to itself has no length; for a whole round use a circle")
        chord, bulge = gap(self.start, self.end), abs(as_float(self.bulge))
        if bulge <= MIN_BULGE_RATIO * chord:
            raise ShapeError("an arc needs a bulge; without one it is a straight line")
        if chord <= MIN_CHORD_RATIO * bulge:
            raise ShapeError("the ends of this arc lie so close together that it is a whole circle")

    @cached_property
    def chord(self) -> Real:
        """The straight distance between the ends, in mm."""
        return distance(self.start, self.end)

    @cached_property
    def radius(self) -> Real:
        """In mm; exact while bulge and ends are."""
        dx, dy = self.end.x - self.start.x, self.end.y - self.start.y
        return ((dx * dx + dy * dy) / 4 + self.bulge * self.bulge) / (2 * absolute(self.bulge))

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
    a, b, radius = as_point(a), as_point(b), as_coordinate(radius)
    half = distance(a, b) / 2
    if not half:
        raise ShapeError("an arc from a point to itself has no length; for a whole round use a circle")
    if radius < half - TOLERANCE / 2:
        raise ShapeError(
            "the radius is too small to reach both points: it must be at least half their distance")
    depth = root(max(radius * radius - half * half, 0 * half))
    # r − √(r² − h²), written so that a wide radius loses no digits
    bulge = radius + depth if large else half * half / (radius + depth)
    return Arc(a, b, bulge if left else -bulge)
