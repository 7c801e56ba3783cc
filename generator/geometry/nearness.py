"""Whether a point lies on a stroke, and where along it."""
from __future__ import annotations

import math
from fractions import Fraction

from generator.geometry.circle import Circle
from generator.geometry.conic import Conic
from generator.geometry.line import Line
from generator.geometry.point import Point, Real, floats, gap, is_exact
from generator.geometry.strokes import Stroke
from generator.units import TOLERANCE

MARGIN = 1e-7           # mm; boxes this close are looked at closely
SAME = 10 * TOLERANCE   # mm; two computed places closer than this are one place

FloatBox = tuple[float, float, float, float]


def boxes_touch(a: FloatBox, b: FloatBox) -> bool:
    """Whether two boxes have a point in common, or nearly."""
    return (a[0] <= b[2] + MARGIN and b[0] <= a[2] + MARGIN
            and a[1] <= b[3] + MARGIN and b[1] <= a[3] + MARGIN)


def in_box(x: float, y: float, box: FloatBox) -> bool:
    """Whether a point lies in a box, or nearly."""
    return box[0] - MARGIN <= x <= box[2] + MARGIN and box[1] - MARGIN <= y <= box[3] + MARGIN


def share_at(stroke: Stroke, point: Point) -> Real | None:
    """The ``t`` from 0 to 1 at which ``point`` lies on ``stroke``, or None where it does not.

    Exact for exact points of exact lines; otherwise within the tolerance, and
    a point at an end gives 0 or 1. A circle's beginning gives 0.
    """
    if not in_box(*floats(point), stroke.box):
        return None
    if isinstance(stroke, Line):
        return _exact_share(stroke, point) if stroke.exact and is_exact(point) else _share_of_line(stroke, point)
    return _share_of_curve(stroke, point)


def _exact_share(line: Line, point: Point) -> Fraction | None:
    (dx, dy), x, y = line.step, point[0] - line.start.x, point[1] - line.start.y
    if (y if not dy else x if not dx else dx * y - dy * x) != 0:
        return None
    t = x / dx if dx else y / dy
    return t if 0 <= t <= 1 else None


def _share_of_line(line: Line, point: Point) -> Real | None:
    at_end = _share_of_end(line, point)
    if at_end is not None:
        return at_end
    (dx, dy), x, y = map(float, line.step), float(point[0] - line.start.x), float(point[1] - line.start.y)
    size = math.hypot(dx, dy)
    t = (x * dx + y * dy) / (size * size)
    return t if 0 < t < 1 and abs(dx * y - dy * x) <= TOLERANCE * size else None


def _share_of_curve(curve: Conic, point: Point) -> Real | None:
    at_end = _share_of_end(curve, point)
    if at_end is not None:
        return at_end
    if off_curve(curve, point) > TOLERANCE:
        return None
    t = curve.share_of(curve.angle_of(point))
    return t if 0 <= t <= 1 else None


def _share_of_end(stroke: Stroke, point: Point) -> Fraction | None:
    if gap(point, stroke.start) <= TOLERANCE:
        return Fraction(0)
    return Fraction(1) if gap(point, stroke.end) <= TOLERANCE else None


def off_curve(curve: Conic, point: Point) -> float:
    """How far ``point`` lies from the whole circle or ellipse of a curve, in mm; right near it, by its slope."""
    x, y = curve.in_frame(point)
    size = math.hypot(x, y)
    slope = math.hypot(x / float(curve.axes[0]), y / float(curve.axes[1]))
    return abs(size - 1) * size / slope if slope else float(min(curve.axes))


def settled(stroke: Stroke, t: float) -> Real:
    """``t`` made exactly 0 or 1 where the point lies at an end."""
    point = stroke.at(t)
    if gap(point, stroke.start) <= TOLERANCE and (t < 0.5 or isinstance(stroke, Circle)):
        return Fraction(0)
    return Fraction(1) if gap(point, stroke.end) <= TOLERANCE and t > 0.5 else t
