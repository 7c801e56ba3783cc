"""The strokes of outlines and marks: where a point lies along one, and where two lie on one another."""
from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

import numpy as np

from generator.geometry.arc import FULL_TURN, Arc
from generator.geometry.arrays import FloatArray
from generator.geometry.ellipse import Circle, EllipseArc
from generator.geometry.plane import Box, Line, Point, Real, Transform, absolute, floats, gap, is_exact
from generator.geometry.tolerances import BOX_MARGIN, FINE_CHORD_TOLERANCE, OVERLAP_SINE
from generator.units import TOLERANCE

Curve = Arc | EllipseArc | Circle
Stroke = Line | Curve


def box_of(strokes: Iterable[Stroke]) -> FloatBox:
    """Left, bottom, right, top of several strokes (at least one), in floats."""
    left, bottom, right, top = zip(*(s.box for s in strokes), strict=True)
    return min(left), min(bottom), max(right), max(top)


def bounds_of(strokes: Iterable[Stroke]) -> Box:
    """Left, bottom, right, top of several strokes (at least one)."""
    left, bottom, right, top = zip(*(s.bounds() for s in strokes), strict=True)
    return min(left), min(bottom), max(right), max(top)


def polyline(stroke: Stroke, chord_error: float = FINE_CHORD_TOLERANCE) -> FloatArray:
    """A stroke as points (n × 2, mm), its ends among them; chords leave it by ``chord_error`` mm at most."""
    return np.array([floats(p) for p in stroke.flattened(chord_error)])


def ring_points(loop: Iterable[Stroke], chord_error: float = FINE_CHORD_TOLERANCE) -> FloatArray:
    """The corners (n × 2, mm) of a closed loop, its curves replaced by chords as in :func:`polyline`."""
    return np.concatenate([polyline(stroke, chord_error)[:-1] for stroke in loop])


def moved(strokes: Iterable[Stroke], transform: Transform) -> tuple[Stroke, ...]:
    """Each stroke after a rigid map, in the same order."""
    return tuple(s.moved(transform) for s in strokes)


def reversed_path(strokes: Iterable[Stroke]) -> tuple[Stroke, ...]:
    """A path or loop travelled the other way."""
    return tuple(s.reversed() for s in reversed(tuple(strokes)))


FloatBox = tuple[float, float, float, float]


def boxes_touch(a: FloatBox, b: FloatBox) -> bool:
    """Whether two boxes have a point in common, or nearly."""
    return (a[0] <= b[2] + BOX_MARGIN and b[0] <= a[2] + BOX_MARGIN
            and a[1] <= b[3] + BOX_MARGIN and b[1] <= a[3] + BOX_MARGIN)


def in_box(x: float, y: float, box: FloatBox) -> bool:
    """Whether a point lies in a box, or nearly."""
    return box[0] - BOX_MARGIN <= x <= box[2] + BOX_MARGIN and box[1] - BOX_MARGIN <= y <= box[3] + BOX_MARGIN


def parameter_at(stroke: Stroke, point: Point) -> Real | None:
    """The ``t`` from 0 to 1 at which ``point`` lies on ``stroke``, or None where it does not.

    Exact for exact points of exact lines; otherwise within the tolerance, and
    a point at an end gives 0 or 1. A circle's beginning gives 0.
    """
    if not in_box(*floats(point), stroke.box):
        return None
    if isinstance(stroke, Line):
        return _exact_parameter(stroke,
                                point) if stroke.exact and is_exact(point) else _parameter_on_line(
                                    stroke, point)
    return _parameter_on_curve(stroke, point)


def _exact_parameter(line: Line, point: Point) -> Real | None:
    (dx, dy), x, y = line.step, point[0] - line.start.x, point[1] - line.start.y
    if (y if not dy else x if not dx else dx * y - dy * x) != 0:
        return None
    t = x / dx if dx else y / dy
    return t if 0 <= t <= 1 else None


def _parameter_on_line(line: Line, point: Point) -> Real | None:
    at_end = _parameter_at_end(line, point)
    if at_end is not None:
        return at_end
    (dx, dy), x, y = map(float, line.step), float(point[0] - line.start.x), float(point[1] - line.start.y)
    size = math.hypot(dx, dy)
    t = (x * dx + y * dy) / (size * size)
    return t if 0 < t < 1 and abs(dx * y - dy * x) <= TOLERANCE * size else None


def _parameter_on_curve(curve: Curve, point: Point) -> Real | None:
    at_end = _parameter_at_end(curve, point)
    if at_end is not None:
        return at_end
    if distance_from_curve(curve, point) > TOLERANCE:
        return None
    t = curve.share_of(curve.angle_of(point))
    return t if 0 <= t <= 1 else None


def _parameter_at_end(stroke: Stroke, point: Point) -> Fraction | None:
    if gap(point, stroke.start) <= TOLERANCE:
        return Fraction(0)
    return Fraction(1) if gap(point, stroke.end) <= TOLERANCE else None


def distance_from_curve(curve: Curve, point: Point) -> float:
    """How far ``point`` lies from the whole circle or ellipse of a curve, in mm; right near it."""
    x, y = curve.in_frame(point)
    size = math.hypot(x, y)
    slope = math.hypot(x / float(curve.axes[0]), y / float(curve.axes[1]))
    return abs(size - 1) * size / slope if slope else float(min(curve.axes))


def snapped_to_end(stroke: Stroke, t: Real) -> Real:
    """``t`` made exactly 0 or 1 where the point lies at an end."""
    point = stroke.at(t)
    if gap(point, stroke.start) <= TOLERANCE and (t < 0.5 or isinstance(stroke, Circle)):
        return Fraction(0)
    return Fraction(1) if gap(point, stroke.end) <= TOLERANCE and t > 0.5 else t


ZERO, ONE = Fraction(0), Fraction(1)
# five points tell one ellipse from another; neighbours share an end
SAMPLE_PARAMETERS = (0.5, 0.25, 0.75, 0.0, 1.0)


def overlaps(a: Stroke, b: Stroke) -> tuple[tuple[Real, Real], ...]:
    """The shares (t0, t1) of ``a`` that lie on ``b``, in order; exact for exact lines.

    Only strokes of one line, one circle or one ellipse overlap; a common
    point is no overlap.
    """
    if not boxes_touch(a.box, b.box):
        return ()
    if isinstance(a, Line) and isinstance(b, Line):
        return _lines_overlap(a, b)
    if isinstance(a, Line) or isinstance(b, Line) or not on_same_conic(a, b):
        return ()
    return _curves_overlap(a, b)


def _lines_overlap(a: Line, b: Line) -> tuple[tuple[Real, Real], ...]:
    (ax, ay), (bx, by) = a.direction, b.direction
    if absolute(ax * by - ay * bx) > OVERLAP_SINE:
        return ()
    if a.exact and b.exact:
        if not collinear(a, b):
            return ()
        t0, t1 = _projected_span(a, b)
        return ((t0, t1),) if t0 < t1 else ()
    t0, t1 = (snapped_to_end(a, t) for t in _projected_span(a, b))
    if (t1 - t0) * float(a.length()) <= TOLERANCE:
        return ()
    return ((t0, t1),) if max(_distance_from_line(b, a.at(t0)),
                              _distance_from_line(b, a.at(t1))) <= TOLERANCE else ()


def collinear(a: Line, b: Line) -> bool:
    """Whether two exact lines lie on one straight line."""
    (ax, ay), (bx, by) = a.step, b.step
    if not ax or not bx:
        return not ax and not bx and a.start.x == b.start.x
    if not ay or not by:
        return not ay and not by and a.start.y == b.start.y
    return ax * by == ay * bx and ax * (b.start.y - a.start.y) == ay * (b.start.x - a.start.x)


def _projected_span(a: Line, b: Line) -> tuple[Real, Real]:
    """The shares of ``a`` between the feet of b's ends, cut to 0 … 1."""
    t0, t1 = sorted((_projection(a, b.start), _projection(a, b.end)))
    return t0 if t0 > 0 else ZERO, t1 if t1 < 1 else ONE


def _projection(line: Line, point: Point) -> Real:
    """The share of ``line`` below ``point``."""
    (dx, dy), x, y = line.step, point[0] - line.start.x, point[1] - line.start.y
    if not dy:
        return x / dx
    return y / dy if not dx else (x * dx + y * dy) / (dx * dx + dy * dy)


def _distance_from_line(line: Line, point: Point) -> float:
    """The distance of ``point`` from the endless line, in mm."""
    dx, dy = line.direction
    return abs(dx * float(point[1] - line.start.y) - dy * float(point[0] - line.start.x))


def on_same_conic(a: Curve, b: Curve) -> bool:
    """Whether two curves lie on one circle or ellipse: the smaller one's points lie on the larger one's."""
    small, large = sorted((a, b), key=lambda c: abs(c.sweep) * float(max(c.axes)))
    return all(distance_from_curve(large, small.at(t)) <= 2 * TOLERANCE for t in SAMPLE_PARAMETERS)


def _curves_overlap(a: Curve, b: Curve) -> tuple[tuple[Real, Real], ...]:
    if isinstance(b, Circle):
        return ((0.0, 1.0),)
    along = b if (a.sweep > 0) == (b.sweep > 0) else b.reversed()
    begin, length = a.share_of(a.angle_of(along.start)), abs(b.sweep / a.sweep)
    size, found = abs(a.sweep) * float(max(a.axes)), []
    for turn in (begin - FULL_TURN / abs(a.sweep), begin):
        t0, t1 = max(turn, 0.0), min(turn + length, 1.0)
        if (t1 - t0) * size > TOLERANCE:
            found.append((snapped_to_end(a, t0), _snapped_last(a, t1)))
    return tuple(found)


def _snapped_last(a: Curve, t: Real) -> Real:
    """As :func:`snapped_to_end`, but the end of a circle stays its end."""
    return t if isinstance(a, Circle) else snapped_to_end(a, t)


def tangent_at(stroke: Stroke, place: tuple[float, float]) -> Point:
    """The direction of travel of a stroke at a place that lies on it, as a unit vector of floats."""
    if isinstance(stroke, Line):
        return stroke.direction
    return stroke.tangent(stroke.share_of(stroke.angle_of(Point(*place))))
