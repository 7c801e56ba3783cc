"""Straight lines, exact while their ends are."""
from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from generator.geometry.plane import Point, Real, ShapeError, Transform, as_point, distance, floats, is_exact
from generator.geometry.tolerances import FINE_CHORD_TOLERANCE

Box = tuple[Real, Real, Real, Real]


@dataclass(frozen=True)
class Line:
    """A straight stroke from ``start`` to ``end``, in mm."""

    start: Point
    end: Point

    def __post_init__(self) -> None:
        object.__setattr__(self, "start", as_point(self.start))
        object.__setattr__(self, "end", as_point(self.end))
        if self.start == self.end:
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

    def flattened(self, chord_error: float = FINE_CHORD_TOLERANCE) -> tuple[Point, ...]:        # noqa: ARG002 (as above)
        """Both ends."""
        return (self.start, self.end)
