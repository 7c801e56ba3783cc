"""What arcs, ellipse arcs and circles share: a centre, two axes, an angle to begin at and a sweep.

A point of the curve is  centre + cos θ · u + sin θ · v,  where u and v are
perpendicular half axes and θ is the eccentric angle in radians; the curve
runs from θ = ``first`` to ``first + sweep`` (negative: clockwise).
"""
from __future__ import annotations

import math
from functools import cached_property

from generator.geometry.errors import ShapeError
from generator.geometry.line import Box
from generator.geometry.point import Point, Real

TURN = 2 * math.pi
NEAR_END = 1e-8         # radians; an extreme closer to an end than this is that end
FINEST = 1e-6           # of the larger half axis; flattening never needs to be finer


class Conic:
    """The behaviour of the curved strokes. They give ``start``, ``end``, ``centre``, ``axes``, ``first``, ``sweep``."""

    start: Point
    end: Point
    centre: Point
    axes: tuple[Real, Real]     # half axes, in mm
    tilt: float                 # the angle of the first axis, radians
    first: float
    sweep: float

    exact = False

    @cached_property
    def frame(self) -> tuple[float, float, float, float, float, float]:
        """Centre, first and second half axis as vectors: (cx, cy, ux, uy, vx, vy)."""
        rx, ry = map(float, self.axes)
        cosine, sine = (math.cos(self.tilt), math.sin(self.tilt)) if self.tilt else (1.0, 0.0)
        return float(self.centre[0]), float(self.centre[1]), rx * cosine, rx * sine, -ry * sine, ry * cosine

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """:meth:`bounds` in floats, for quick comparisons."""
        return tuple(map(float, self.bounds()))

    def point_at_angle(self, angle: float) -> Point:
        """The point at the eccentric angle ``angle``, in radians."""
        cx, cy, ux, uy, vx, vy = self.frame
        cosine, sine = math.cos(angle), math.sin(angle)
        return Point(cx + cosine * ux + sine * vx, cy + cosine * uy + sine * vy)

    def in_frame(self, point: Point) -> tuple[float, float]:
        """``point`` in the curve's own frame, where the curve is the circle of radius 1 about the origin."""
        cx, cy, ux, uy, vx, vy = self.frame
        rx, ry = map(float, self.axes)
        dx, dy = float(point[0]) - cx, float(point[1]) - cy
        return (dx * ux + dy * uy) / (rx * rx), (dx * vx + dy * vy) / (ry * ry)

    def angle_of(self, point: Point) -> float:
        """The eccentric angle of a point of the curve, in radians."""
        x, y = self.in_frame(point)
        return math.atan2(y, x)

    def share_of(self, angle: float) -> float:
        """The ``t`` at which the curve has an eccentric angle: 0 to 1 on the stroke, more beyond its end."""
        travelled = (angle - self.first) if self.sweep > 0 else (self.first - angle)
        return (travelled % TURN) / abs(self.sweep)

    def at(self, t: Real) -> Point:
        """The point at the share ``t`` of the (eccentric) angle; both ends are kept exactly."""
        if t == 0:
            return self.start
        if t == 1:
            return self.end
        return self.point_at_angle(self.first + self.sweep * float(t))

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
        xs, ys = [self.start[0], self.end[0]], [self.start[1], self.end[1]]
        _, _, ux, uy, vx, vy = self.frame
        wide, high = self.axes if not self.tilt else (math.hypot(ux, vx), math.hypot(uy, vy))
        for values, angle, middle, reach in ((xs, math.atan2(vx, ux), self.centre[0], wide),
                                             (ys, math.atan2(vy, uy), self.centre[1], high)):
            if self._passes(angle):
                values.append(middle + reach)
            if self._passes(angle + math.pi):
                values.append(middle - reach)
        return min(xs), min(ys), max(xs), max(ys)

    def _passes(self, angle: float) -> bool:
        """Whether the stroke goes through an eccentric angle, its ends not counted."""
        share, near = self.share_of(angle), NEAR_END / abs(self.sweep)
        return near < share < 1 - near

    def flattened(self, chord_error: float = 0.01) -> tuple[Point, ...]:
        """Points along the stroke, both ends kept, whose chords leave it by ``chord_error`` mm at most."""
        if not chord_error > 0:
            raise ShapeError("a curve cannot be replaced by straight lines without any error")
        size = float(max(self.axes))
        share = min(max(chord_error / size, FINEST), 1.0)
        pieces = max(1, math.ceil(abs(self.sweep) / (2 * math.acos(1 - share)) - NEAR_END))
        return (self.start, *(self.at(k / pieces) for k in range(1, pieces)), self.end)
