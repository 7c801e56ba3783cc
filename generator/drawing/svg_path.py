"""Numbers and path data of SVG. The picture's y runs upward, SVG's downward."""
from __future__ import annotations

import math
from collections.abc import Iterable

from generator.drawing.pen import Path
from generator.geometry import Circle, Line, Point, Stroke

PLACES = 3      # decimals: 0.001 mm


def figure(value: float) -> str:
    """A number rounded to 0.001, as short as can be. Raises ValueError for what is not finite."""
    if not math.isfinite(value):
        raise ValueError("a picture cannot be drawn at a place that is not a number")
    text = f"{value:.{PLACES}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class PathData:
    """Path data for a picture of a known height."""

    def __init__(self, height: float):
        self.height = height

    def point(self, point: Point) -> str:
        """"x y"."""
        return f"{figure(float(point[0]))} {figure(self.height - float(point[1]))}"

    def path(self, path: Path) -> str:
        """A path of strokes that join; closed with Z where it ends at its beginning."""
        if len(path) == 1 and isinstance(path[0], Circle):
            return self.circle(path[0])
        first, last = path[0].start, path[-1].end
        closed = len(path) > 1 and _same(first, last)
        drawn = path[:-1] if closed and isinstance(path[-1], Line) else path
        parts = [f"M{self.point(first)}", *map(self.onward, drawn)]
        return "".join(parts) + ("Z" if closed else "")

    def onward(self, stroke: Stroke) -> str:
        """One stroke from where the pen is."""
        if isinstance(stroke, Line):
            return f"L{self.point(stroke.end)}"
        if isinstance(stroke, Circle):
            return self.circle(stroke)
        rx, ry = map(float, stroke.axes)
        tilt = figure(-math.degrees(float(stroke.tilt))) if stroke.tilt else "0"
        large, sweep = int(abs(stroke.sweep) > math.pi), int(stroke.sweep < 0)
        return f"A{figure(rx)} {figure(ry)} {tilt} {large} {sweep} {self.point(stroke.end)}"

    def circle(self, circle: Circle) -> str:
        """A whole circle as two halves."""
        (x, y), r = (float(circle.center.x), float(circle.center.y)), float(circle.radius)
        right, left = self.point(Point(x + r, y)), self.point(Point(x - r, y))
        half = f"A{figure(r)} {figure(r)} 0 0 0 "
        return f"M{right}{half}{left}{half}{right}Z"

    def polygon(self, points: Iterable[Point]) -> str:
        """A closed polygon."""
        return "M" + "L".join(map(self.point, points)) + "Z"


def _same(a: Point, b: Point) -> bool:
    return abs(float(a[0]) - float(b[0])) < 1e-6 and abs(float(a[1]) - float(b[1])) < 1e-6
