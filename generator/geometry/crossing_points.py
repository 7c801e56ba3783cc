"""Where the lines, circles and ellipses of two strokes meet within both, by the kind of stroke.

These find the plain meetings in floats; ends that lie on the other stroke,
and strokes that lie on one another, are looked after by the callers.
"""
from __future__ import annotations

import cmath
import math
from collections.abc import Iterable

import numpy as np

from generator.geometry.conic import Conic
from generator.geometry.line import Line
from generator.geometry.nearness import off_curve
from generator.geometry.point import Point, gap
from generator.units import TOLERANCE

Meeting = tuple[float, float]
PARALLEL = 1e-12        # sine of the angle between two lines
ROUND_ENOUGH = 1e-3     # how far from the unit circle a root may lie before it is polished
POLISH = 50             # steps of Newton's method at most


def lines_meet(a: Line, b: Line) -> list[Meeting]:
    """At most one meeting of two lines, ends not counted."""
    (ax, ay), (bx, by) = map(float, a.step), map(float, b.step)
    turn = ax * by - ay * bx
    if abs(turn) <= PARALLEL * math.hypot(ax, ay) * math.hypot(bx, by):
        return []
    x, y = float(b.start.x - a.start.x), float(b.start.y - a.start.y)
    return [((x * by - y * bx) / turn, (x * ay - y * ax) / turn)]


def line_meets_curve(line: Line, curve: Conic) -> list[Meeting]:
    """The meetings of a line with a curve, from the curve's frame, where it is the circle of radius 1."""
    (x0, y0), (x1, y1) = curve.in_frame(line.start), curve.in_frame(line.end)
    dx, dy = x1 - x0, y1 - y0
    square = dx * dx + dy * dy
    foot = -(x0 * dx + y0 * dy) / square
    height = math.hypot(x0 + foot * dx, y0 + foot * dy)
    (sx, sy), (ex, ey) = line.start, line.step
    if off_curve(curve, Point(float(sx) + foot * float(ex), float(sy) + foot * float(ey))) <= TOLERANCE:
        shares = [foot]
    else:
        reach = math.sqrt(max((1 - height) * (1 + height), 0) / square)
        shares = [foot - reach, foot + reach] if height < 1 else []
    return [(t, curve.share_of(math.atan2(y0 + t * dy, x0 + t * dx))) for t in shares]


def curves_meet(a: Conic, b: Conic) -> list[Meeting]:
    """The meetings of two curves that do not lie on one circle or ellipse."""
    circles = a.axes[0] == a.axes[1] and b.axes[0] == b.axes[1]
    points = _circles_meet(a, b) if circles else map(a.point_at_angle, _angles_on(a, b))
    return [(a.share_of(a.angle_of(p)), b.share_of(b.angle_of(p))) for p in points]


def _circles_meet(a: Conic, b: Conic) -> Iterable[Point]:
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


def _angles_on(a: Conic, b: Conic) -> list[float]:
    """The angles of ``a`` whose points lie on ``b``.

    In b's frame  |a(θ)|² − 1 = k0 + k1·cos θ + l1·sin θ + k2·cos 2θ + l2·sin 2θ;
    with z = exp(iθ) its zeros are those roots of a quartic that lie on |z| = 1.
    """
    c, p, q = _in_frame_of(a, b)
    waves = (c @ c - 1 + (p @ p + q @ q) / 2, 2 * c @ p, 2 * c @ q, (p @ p - q @ q) / 2, p @ q)
    k0, k1, l1, k2, l2 = waves
    roots = np.roots([complex(k2, -l2), complex(k1, -l1), 2 * k0, complex(k1, l1), complex(k2, l2)])
    angles = [cmath.phase(z) for z in roots if abs(abs(z) - 1) <= ROUND_ENOUGH]
    polished = [found for angle in angles if (found := _polished(waves, angle, a, b)) is not None]
    return [x for k, x in enumerate(polished) if all(abs(math.sin((x - y) / 2)) > TOLERANCE for y in polished[:k])]


def _in_frame_of(a: Conic, b: Conic) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Centre and half axes of ``a`` in b's frame."""
    cx, cy, ux, uy, vx, vy = a.frame
    centre = np.array(b.in_frame(Point(cx, cy)))
    return (centre, np.array(b.in_frame(Point(cx + ux, cy + uy))) - centre,
            np.array(b.in_frame(Point(cx + vx, cy + vy))) - centre)


def _polished(waves: tuple[float, ...], angle: float, a: Conic, b: Conic) -> float | None:
    """The touching or crossing nearest to ``angle``, or None where the two only come near."""
    touching = _newton(waves, angle, 1)
    if abs(touching - angle) <= 10 * ROUND_ENOUGH and off_curve(b, a.point_at_angle(touching)) <= TOLERANCE:
        return touching
    crossing = _newton(waves, angle, 0)
    return crossing if off_curve(b, a.point_at_angle(crossing)) <= TOLERANCE else None


def _newton(waves: tuple[float, ...], angle: float, order: int) -> float:
    """A zero of the ``order``-th derivative of the waves, from a start close by."""
    for _ in range(POLISH):
        value, slope = _wave(waves, angle, order), _wave(waves, angle, order + 1)
        step = value / slope if slope else 0.0
        angle -= max(-0.1, min(0.1, step))
        if abs(step) <= 1e-16:
            break
    return angle


def _wave(waves: tuple[float, ...], angle: float, order: int) -> float:
    """k0 + k1·cos θ + l1·sin θ + k2·cos 2θ + l2·sin 2θ, or a derivative: each adds a quarter turn and a factor."""
    k0, k1, l1, k2, l2 = waves
    one, two = angle + order * math.pi / 2, 2 * angle + order * math.pi / 2
    return ((0 if order else k0) + k1 * math.cos(one) + l1 * math.sin(one)
            + 2 ** order * (k2 * math.cos(two) + l2 * math.sin(two)))
