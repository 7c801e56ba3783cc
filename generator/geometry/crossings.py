"""Where two strokes have single points in common, and whether a loop keeps clear of itself.

The meetings of each two kinds of stroke are found in floats; then ends that
lie on the other stroke, and strokes that lie on one another, are looked after.
"""
from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import combinations, product

import numpy as np

from generator.geometry.arrays import FloatArray
from generator.geometry.ellipse import Circle
from generator.geometry.plane import Line, Point, Real, gap, is_exact
from generator.geometry.strokes import (
    Curve,
    Stroke,
    boxes_touch,
    distance_from_curve,
    on_same_conic,
    overlaps,
    parameter_at,
    snapped_to_end,
)
from generator.geometry.tolerances import (
    BOX_MARGIN,
    COINCIDENT,
    NEWTON_STEP_TOLERANCE,
    PARALLEL_SINE,
    UNIT_CIRCLE_TOLERANCE,
)
from generator.units import TOLERANCE

ParameterPair = tuple[Real, Real]
NEWTON_STEPS = 50             # steps of Newton's method at most


def line_line_crossings(a: Line, b: Line) -> list[ParameterPair]:
    """At most one meeting of two lines, ends not counted."""
    (ax, ay), (bx, by) = map(float, a.step), map(float, b.step)
    turn = ax * by - ay * bx
    if abs(turn) <= PARALLEL_SINE * math.hypot(ax, ay) * math.hypot(bx, by):
        return []
    x, y = float(b.start.x - a.start.x), float(b.start.y - a.start.y)
    return [((x * by - y * bx) / turn, (x * ay - y * ax) / turn)]


def line_conic_crossings(line: Line, curve: Curve) -> list[ParameterPair]:
    """The meetings of a line with a curve, from the curve's frame, where it is the circle of radius 1."""
    (x0, y0), (x1, y1) = curve.in_frame(line.start), curve.in_frame(line.end)
    dx, dy = x1 - x0, y1 - y0
    square = dx * dx + dy * dy
    foot = -(x0 * dx + y0 * dy) / square
    height = math.hypot(x0 + foot * dx, y0 + foot * dy)
    (sx, sy), (ex, ey) = line.start, line.step
    if distance_from_curve(curve,
                           Point(float(sx) + foot * float(ex), float(sy) + foot * float(ey))) <= TOLERANCE:
        shares = [foot]
    else:
        reach = math.sqrt(max((1 - height) * (1 + height), 0) / square)
        shares = [foot - reach, foot + reach] if height < 1 else []
    return [(t, curve.share_of(math.atan2(y0 + t * dy, x0 + t * dx))) for t in shares]


def conic_conic_crossings(a: Curve, b: Curve) -> list[ParameterPair]:
    """The meetings of two curves that do not lie on one circle or ellipse."""
    circles = a.axes[0] == a.axes[1] and b.axes[0] == b.axes[1]
    points = _circle_circle_points(a, b) if circles else map(a.point_at_angle, _angles_on(a, b))
    return [(a.share_of(a.angle_of(p)), b.share_of(b.angle_of(p))) for p in points]


def _circle_circle_points(a: Curve, b: Curve) -> Iterable[Point]:
    (ax, ay), (bx, by) = map(float, a.centre), map(float, b.centre)
    ra, rb, apart = float(a.axes[0]), float(b.axes[0]), gap(a.centre, b.centre)
    if apart <= TOLERANCE or apart > ra + rb + TOLERANCE or apart < abs(ra - rb) - TOLERANCE:
        return []
    ux, uy = (bx - ax) / apart, (by - ay) / apart
    # ra² − rb² in factors, so that two wide circles lose no digits
    along = (apart + (ra - rb) * (ra + rb) / apart) / 2
    touching = abs(apart - ra - rb) <= TOLERANCE or abs(apart - abs(ra - rb)) <= TOLERANCE
    across = 0.0 if touching else math.sqrt(max((ra - along) * (ra + along), 0))
    sides = (0.0,) if touching else (across, -across)
    return [Point(ax + along * ux - s * uy, ay + along * uy + s * ux) for s in sides]


def _angles_on(a: Curve, b: Curve) -> list[float]:
    """The angles of ``a`` whose points lie on ``b``.

    In b's frame  |a(θ)|² − 1 = k0 + k1·cos θ + l1·sin θ + k2·cos 2θ + l2·sin 2θ;
    with z = exp(iθ) its zeros are those roots of a quartic that lie on |z| = 1.
    """
    c, p, q = _in_frame_of(a, b)
    cc, pp, qq, cp, cq, pq = (float(x @ y) for x,
                              y in ((c, c), (p, p), (q, q), (2 * c, p), (2 * c, q), (p, q)))
    k0, k1, l1, k2, l2 = waves = (cc - 1 + (pp + qq) / 2, cp, cq, (pp - qq) / 2, pq)
    roots = np.roots([complex(k2, -l2), complex(k1, -l1), 2 * k0, complex(k1, l1), complex(k2, l2)])
    angles = [cmath.phase(z) for z in roots if abs(abs(z) - 1) <= UNIT_CIRCLE_TOLERANCE]
    polished = [found for angle in angles if (found := _refined(waves, angle, a, b)) is not None]
    return [x for k, x in enumerate(polished)
            if all(abs(math.sin((x - y) / 2)) > TOLERANCE for y in polished[:k])]


def _in_frame_of(a: Curve, b: Curve) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Centre and half axes of ``a`` in b's frame."""
    cx, cy, ux, uy, vx, vy = a.frame
    centre = np.array(b.in_frame(Point(cx, cy)))
    return (centre, np.array(b.in_frame(Point(cx + ux, cy + uy))) - centre,
            np.array(b.in_frame(Point(cx + vx, cy + vy))) - centre)


def _refined(waves: tuple[float, ...], angle: float, a: Curve, b: Curve) -> float | None:
    """The touching or crossing nearest to ``angle``, or None where the two only come near."""
    touching = _newton(waves, angle, 1)
    if abs(touching - angle) <= 10 * UNIT_CIRCLE_TOLERANCE and distance_from_curve(
            b, a.point_at_angle(touching)) <= TOLERANCE:
        return touching
    crossing = _newton(waves, angle, 0)
    return crossing if distance_from_curve(b, a.point_at_angle(crossing)) <= TOLERANCE else None


def _newton(waves: tuple[float, ...], angle: float, order: int) -> float:
    """A zero of the ``order``-th derivative of the waves, from a start close by."""
    for _ in range(NEWTON_STEPS):
        value, slope = _trigonometric_sum(waves, angle, order), _trigonometric_sum(waves, angle, order + 1)
        step = value / slope if slope else 0.0
        angle -= max(-0.1, min(0.1, step))
        if abs(step) <= NEWTON_STEP_TOLERANCE:
            break
    return angle


def _trigonometric_sum(waves: tuple[float, ...], angle: float, order: int) -> float:
    """k0 + k1·cos θ + l1·sin θ + k2·cos 2θ + l2·sin 2θ, or a derivative.

    Each derivative adds a quarter turn and a factor.
    """
    k0, k1, l1, k2, l2 = waves
    one, two = angle + order * math.pi / 2, 2 * angle + order * math.pi / 2
    return ((0 if order else k0) + k1 * math.cos(one) + l1 * math.sin(one)
            + 2.0 ** order * (k2 * math.cos(two) + l2 * math.sin(two)))


START, END = Fraction(0), Fraction(1)


def crossings(a: Stroke, b: Stroke) -> tuple[tuple[Real, Real], ...]:
    """The shares (of a, of b) at which the two cross or touch, ordered along ``a``; exact for exact lines.

    Points of a stretch where one lies on the other are not among them, see
    :func:`overlaps`.
    """
    if not boxes_touch(a.box, b.box):
        return ()
    if isinstance(a, Line) and isinstance(b, Line) and a.exact and b.exact:
        return _exact_line_crossings(a, b)
    found = _end_crossings(a, b)
    if not (found and isinstance(a, Line) and isinstance(b, Line)):     # two lines meet once
        found += [m for m in _interior_crossings(a, b)
                  if all(gap(a.at(m[0]), a.at(f[0])) > COINCIDENT for f in found)]
    common = overlaps(a, b)
    return tuple(sorted(m for m in found if not _covered(a, m[0], common)))


def crossing_point(a: Stroke, ta: Real, b: Stroke, tb: Real) -> Point:
    """The place of a crossing as well as it is known.

    An exact end or line before a computed point of a curve.
    """
    places = [a.start] if ta == 0 else [a.end] if ta == 1 else []
    places += [b.start] if tb == 0 else [b.end] if tb == 1 else []
    exact = [p for p in places if is_exact(p)]
    if exact:
        return exact[0]
    lines = [s.at(t) for s, t in ((a, ta), (b, tb)) if isinstance(s, Line)]
    return (places + lines + [a.at(ta)])[0] if not (lines and is_exact(lines[0])) else lines[0]


def _exact_line_crossings(a: Line, b: Line) -> tuple[ParameterPair, ...]:
    if _on_one_side(a, b) or _on_one_side(b, a):
        return ()
    (ax, ay), (bx, by) = a.step, b.step
    x, y = b.start.x - a.start.x, b.start.y - a.start.y
    if not ax and not by and ay and bx:         # upright and level: the usual case, one division each
        ta, tb = y / ay, -x / bx
    elif not ay and not bx and ax and by:
        ta, tb = x / ax, -y / by
    else:
        turn = ax * by - ay * bx
        if not turn:
            return _shared_end(a, b)
        ta, tb = (x * by - y * bx) / turn, (x * ay - y * ax) / turn
    return ((ta, tb),) if 0 <= ta <= 1 and 0 <= tb <= 1 else ()


def _on_one_side(a: Line, b: Line) -> bool:
    """Whether ``a`` plainly lies on one side of the endless line through ``b``."""
    (dx, dy), (x, y, *_), (x0, y0, x1, y1) = b.direction, b.ends, a.ends
    first, last = dx * (y0 - y) - dy * (x0 - x), dx * (y1 - y) - dy * (x1 - x)
    return min(first, last) > BOX_MARGIN or max(first, last) < -BOX_MARGIN


def _shared_end(a: Line, b: Line) -> tuple[tuple[Fraction, Fraction], ...]:
    """Parallel lines have a single common point only where both end in it and lead away from each other."""
    (ax, ay), (bx, by) = a.direction, b.direction
    for (ta, p), (tb, q) in product(_ends(a), _ends(b)):
        if p == q:
            same_way = ax * bx + ay * by > 0
            return ((ta, tb),) if same_way == (ta != tb) else ()
    return ()


def _end_crossings(a: Stroke, b: Stroke) -> list[ParameterPair]:
    """Ends of one stroke that lie on the other."""
    found: list[ParameterPair] = []
    for t, point in _ends(a):
        on_b = parameter_at(b, point)
        if on_b is not None:
            found.append((t, on_b))
    for t, point in _ends(b):
        on_a = parameter_at(a, point)
        if on_a is not None and all(gap(point, a.at(f[0])) > COINCIDENT for f in found):
            found.append((on_a, t))
    return found


def _ends(stroke: Stroke) -> tuple[tuple[Fraction, Point], ...]:
    if isinstance(stroke, Circle):
        return ()
    return (START, stroke.start), (END, stroke.end)


def _interior_crossings(a: Stroke, b: Stroke) -> list[ParameterPair]:
    """Meetings away from the ends."""
    if isinstance(a, Line):
        found = line_line_crossings(a, b) if isinstance(b, Line) else line_conic_crossings(a, b)
    elif isinstance(b, Line):
        found = [(ta, tb) for tb, ta in line_conic_crossings(b, a)]
    else:
        found = [] if on_same_conic(a, b) else conic_conic_crossings(a, b)
    return [(snapped_to_end(a, ta), snapped_to_end(b, tb)) for ta, tb in found if _within(a, ta)
            and _within(b, tb)]


def _within(stroke: Stroke, t: Real) -> bool:
    return 0 <= t <= 1 if isinstance(stroke, Circle) else 0 < t < 1


def _covered(a: Stroke, t: Real, common: tuple[tuple[Real, Real], ...]) -> bool:
    """Whether a point of ``a`` belongs to a stretch, its ends included."""
    point = a.at(t)
    return any(t0 <= t <= t1 or gap(point, a.at(t0)) <= COINCIDENT or gap(point, a.at(t1)) <= COINCIDENT
               for t0, t1 in common)


def crosses_itself(loop: Sequence[Stroke]) -> bool:
    """True where two strokes of a closed loop cross, touch or lie on one another, other than end to start."""
    return any(overlaps(a, b) or _touch_away_from_joints(loop, i, j) for (i, a),
               (j, b) in combinations(enumerate(loop), 2))


def _touch_away_from_joints(loop: Sequence[Stroke], i: int, j: int) -> bool:
    """Whether two strokes of a loop have a point in common that is no joint of theirs."""
    a, b = loop[i], loop[j]
    joints = [a.end] if j == i + 1 else []
    joints += [a.start] if (j + 1) % len(loop) == i else []
    return any(all(gap(a.at(t), joint) > COINCIDENT for joint in joints) for t, _ in crossings(a, b))
