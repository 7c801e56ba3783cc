"""Where two strokes lie on one another."""
from __future__ import annotations

from fractions import Fraction

from generator.geometry.circle import Circle
from generator.geometry.conic import TURN, Conic
from generator.geometry.line import Line
from generator.geometry.nearness import boxes_touch, off_curve, settled
from generator.geometry.point import Point, Real
from generator.geometry.strokes import Stroke
from generator.units import TOLERANCE

CLEARLY = 1e-3                          # sine of the angle of two lines that only cross
ZERO, ONE = Fraction(0), Fraction(1)
SAMPLES = (0.5, 0.25, 0.75, 0.0, 1.0)   # five points tell one ellipse from another; neighbours share an end


def overlaps(a: Stroke, b: Stroke) -> tuple[tuple[Real, Real], ...]:
    """The shares (t0, t1) of ``a`` that lie on ``b``, in order; exact for exact lines.

    Only strokes of one line, one circle or one ellipse overlap; a common
    point is no overlap.
    """
    if not boxes_touch(a.box, b.box):
        return ()
    if isinstance(a, Line) and isinstance(b, Line):
        return _lines_overlap(a, b)
    if isinstance(a, Line) or isinstance(b, Line) or not on_one_curve(a, b):
        return ()
    return _curves_overlap(a, b)


def _lines_overlap(a: Line, b: Line) -> tuple[tuple[Real, Real], ...]:
    (ax, ay), (bx, by) = a.direction, b.direction
    if abs(ax * by - ay * bx) > CLEARLY:
        return ()
    if a.exact and b.exact:
        if not on_one_line(a, b):
            return ()
        t0, t1 = _span(a, b)
        return ((t0, t1),) if t0 < t1 else ()
    t0, t1 = (settled(a, t) for t in _span(a, b))
    if (t1 - t0) * float(a.length()) <= TOLERANCE:
        return ()
    return ((t0, t1),) if max(_off_line(b, a.at(t0)), _off_line(b, a.at(t1))) <= TOLERANCE else ()


def on_one_line(a: Line, b: Line) -> bool:
    """Whether two exact lines lie on one straight line."""
    (ax, ay), (bx, by) = a.step, b.step
    if not ax or not bx:
        return not ax and not bx and a.start.x == b.start.x
    if not ay or not by:
        return not ay and not by and a.start.y == b.start.y
    return ax * by == ay * bx and ax * (b.start.y - a.start.y) == ay * (b.start.x - a.start.x)


def _span(a: Line, b: Line) -> tuple[Real, Real]:
    """The shares of ``a`` between the feet of b's ends, cut to 0 … 1."""
    t0, t1 = sorted((_foot(a, b.start), _foot(a, b.end)))
    return t0 if t0 > 0 else ZERO, t1 if t1 < 1 else ONE


def _foot(line: Line, point: Point) -> Real:
    """The share of ``line`` below ``point``."""
    (dx, dy), x, y = line.step, point[0] - line.start.x, point[1] - line.start.y
    if not dy:
        return x / dx
    return y / dy if not dx else (x * dx + y * dy) / (dx * dx + dy * dy)


def _off_line(line: Line, point: Point) -> float:
    """The distance of ``point`` from the endless line, in mm."""
    dx, dy = line.direction
    return abs(dx * float(point[1] - line.start.y) - dy * float(point[0] - line.start.x))


def on_one_curve(a: Conic, b: Conic) -> bool:
    """Whether two curves lie on one circle or ellipse: the smaller one's points lie on the larger one's."""
    small, large = sorted((a, b), key=lambda c: abs(c.sweep) * float(max(c.axes)))
    return all(off_curve(large, small.at(t)) <= 2 * TOLERANCE for t in SAMPLES)


def _curves_overlap(a: Conic, b: Conic) -> tuple[tuple[Real, Real], ...]:
    if isinstance(b, Circle):
        return ((0.0, 1.0),)
    along = b if (a.sweep > 0) == (b.sweep > 0) else b.reversed()
    begin, length = a.share_of(a.angle_of(along.start)), abs(b.sweep / a.sweep)
    size, found = abs(a.sweep) * float(max(a.axes)), []
    for turn in (begin - TURN / abs(a.sweep), begin):
        t0, t1 = max(turn, 0.0), min(turn + length, 1.0)
        if (t1 - t0) * size > TOLERANCE:
            found.append((settled(a, t0), _settled_last(a, t1)))
    return tuple(found)


def _settled_last(a: Conic, t: float) -> Real:
    """As :func:`settled`, but the end of a circle stays its end."""
    return t if isinstance(a, Circle) else settled(a, t)


def direction_at(stroke: Stroke, place: tuple[float, float]) -> Point:
    """The direction of travel of a stroke at a place that lies on it, as a unit vector of floats."""
    if isinstance(stroke, Line):
        return stroke.direction
    return stroke.tangent(stroke.share_of(stroke.angle_of(Point(*place))))
