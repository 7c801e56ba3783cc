"""Arcs and ellipse arcs against what is known of them outside the project."""
from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import mpmath
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.geometry import Arc, Circle, EllipseArc, Point, arc_by_radius, gap
from tests.geometry.strategies import arcs, ellipse_arcs, lengths, points

quick = settings(deadline=None, max_examples=25)
ORIGIN, P = Point(0, 0), Point(30, 0)


def integrated(stroke):
    """The length from centre, half axes and three points: mpmath integrates the speed of (rx·cos θ, ry·sin
    θ).
    """
    rx, ry = map(float, stroke.axes)
    angles = [_eccentric_angle(stroke, stroke.at(t)) for t in (0, 0.5, 1)]
    halves = [mpmath.atan2(mpmath.sin(b - a), mpmath.cos(b - a)) for a, b in pairwise(angles)]
    return sum(abs(mpmath.quad(lambda t: mpmath.hypot(rx * mpmath.sin(t), ry * mpmath.cos(t)),
                               [a, a + h / 2, a + h]))
               for a, h in zip(angles, halves, strict=False))


def _eccentric_angle(stroke, point):
    x, y = (float(p) - float(c) for p, c in zip(point, stroke.centre, strict=True))
    cosine, sine = mpmath.cos(stroke.tilt), mpmath.sin(stroke.tilt)
    return mpmath.atan2((y * cosine - x * sine) / float(stroke.axes[1]),
                        (x * cosine + y * sine) / float(stroke.axes[0]))


@quick
@given(arcs())
def test_arc_lengths_against_integration(arc):
    """Check from outside: mpmath's numerical integration along the arc gives its length."""
    assert arc.length() == pytest.approx(float(integrated(arc)), rel=1e-9)


@quick
@given(ellipse_arcs())
def test_ellipse_arc_lengths_against_integration(arc):
    """Check from outside: mpmath's numerical integration along the ellipse arc gives its length."""
    assert arc.length() == pytest.approx(float(integrated(arc)), rel=1e-9)


@pytest.mark.parametrize(("rx", "ry"), [(50, 30), (30, 50), (300, 3), (3, 300)])
def test_half_an_ellipse_against_elliptic_integrals(rx, ry):
    """Check from outside: mpmath's complete elliptic integral E gives the perimeter 4aE(k) (DLMF 19.30, from
    memory).
    """
    a, b = max(rx, ry), min(rx, ry)
    perimeter = 4 * a * mpmath.ellipe(1 - mpmath.mpf(b) ** 2 / mpmath.mpf(a) ** 2)
    half = EllipseArc(Point(-rx, 0), Point(rx, 0), rx, ry)
    assert 2 * half.length() == pytest.approx(float(perimeter), rel=1e-11)


@pytest.mark.parametrize(("rx", "ry", "perimeter"), [(50, 30, 255.2699886), (100, 50, 484.4224110)])
def test_ellipse_perimeters(rx, ry, perimeter):
    """Check values row 13: 4aE(k), DLMF 19.30 (from memory)."""
    halves = EllipseArc(Point(-rx, 0), Point(rx, 0), rx, ry), EllipseArc(Point(rx, 0), Point(-rx, 0), rx, ry)
    assert sum(h.length() for h in halves) == pytest.approx(perimeter, abs=1e-6)


@quick
@given(arcs())
def test_the_points_of_an_arc_lie_on_one_circle(arc):
    """Every point is one radius from the centre, and the middle rises by the bulge over the chord's
    middle.
    """
    cx, cy = map(float, arc.centre)
    for k in range(9):
        assert gap(arc.at(k / 8), Point(cx, cy)) == pytest.approx(float(arc.radius), rel=1e-9)
    middle = Point((arc.start.x + arc.end.x) / 2, (arc.start.y + arc.end.y) / 2)
    assert gap(arc.at(0.5), middle) == pytest.approx(abs(float(arc.bulge)), abs=1e-9)


def test_a_positive_bulge_lies_to_the_left():
    """Travelled to the right, left is up; the middle of the arc is the bulge above the chord."""
    assert gap(Arc(ORIGIN, P, 4).at(0.5), Point(15, 4)) < 1e-9 and gap(Arc(ORIGIN, P, -4).at(0.5),
                                                                       Point(15, -4)) < 1e-9
    assert gap(Arc(ORIGIN, P, 40).at(0.5), Point(15, 40)) < 1e-9     # more than half a circle


def test_an_arc_of_exact_measures_has_exact_bounds():
    """Chord 30 and bulge 4: radius (15² + 4²)/8 = 30.125 (textbook), and the top is exactly 4."""
    arc = Arc(ORIGIN, P, 4)
    assert arc.radius == Fraction(241, 8) and arc.bounds() == (0, 0, 30, 4)
    assert all(type(v) is Fraction for v in arc.bounds())
    assert Arc(ORIGIN, P, 40).bounds()[3] == 40 and Arc(ORIGIN, P,
                                                        40).bounds()[2] == 15 + Fraction(15 * 15 + 1600, 80)


@quick
@given(points, points, st.fractions(1, 5, max_denominator=20), st.booleans(), st.booleans())
def test_arcs_by_radius(a, b, factor, left, large):
    """The arc has the radius that was asked for, bulges to the side asked for, and is the longer one if
    asked.
    """
    if a == b:
        return
    radius = Fraction(gap(a, b) / 2).limit_denominator(1000) * factor + Fraction(1, 100)
    arc = arc_by_radius(a, b, radius, left, large)
    assert float(arc.radius) == pytest.approx(float(radius), rel=1e-9)
    assert (arc.bulge > 0) == left and (abs(arc.sweep) > math.pi) == large
    assert (arc.start, arc.end) == (a, b)


def test_a_radius_of_half_the_distance_gives_half_a_circle():
    """The least radius that reaches both points, exact as long as the measures are."""
    arc = arc_by_radius(ORIGIN, P, 15)
    assert arc.bulge == 15 and type(arc.bulge) is Fraction
    assert arc_by_radius(ORIGIN, Point(24, 0), 13).bulge == 8     # 5, 12, 13: exact too


@quick
@given(ellipse_arcs())
def test_an_ellipse_arc_lies_on_its_ellipse(arc):
    """Every point fulfils (x/rx)² + (y/ry)² = 1 about the centre, in the ellipse's own axes."""
    cx, cy = map(float, arc.centre)
    cosine, sine = math.cos(arc.tilt), math.sin(arc.tilt)
    for k in range(9):
        x, y = float(arc.at(k / 8).x) - cx, float(arc.at(k / 8).y) - cy
        u, v = (x * cosine + y * sine) / float(arc.rx), (y * cosine - x * sine) / float(arc.ry)
        assert u * u + v * v == pytest.approx(1, abs=1e-7)
    assert abs(arc.sweep) <= math.pi + 1e-9


@quick
@given(ellipse_arcs())
def test_an_ellipse_arc_bulges_to_its_side(arc):
    """The middle of the arc lies to the left of the chord, or to the right."""
    (x0, y0), (x1, y1), (x, y) = (tuple(map(float, p)) for p in (arc.start, arc.end, arc.at(0.5)))
    turn = (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)
    assert (turn > 0) == arc.left


def test_half_an_ellipse_between_exact_points_has_exact_bounds():
    """A half ellipse over a span of 30 with a height of 9 is exactly 9 high."""
    assert EllipseArc(ORIGIN, P, 15, 9).bounds() == (0, 0, 30, 9)
    assert EllipseArc(ORIGIN, P, 15, 9, left=False).bounds() == (0, -9, 30, 0)


@quick
@given(points, lengths)
def test_an_ellipse_of_equal_radii_is_a_circle(start, radius):
    """With rx = ry an ellipse arc passes the points of the arc by radius."""
    end = Point(start.x + radius, start.y + radius / 2)
    ellipse, arc = EllipseArc(start, end, radius, radius), arc_by_radius(start, end, radius)
    assert all(gap(ellipse.at(k / 8), arc.at(k / 8)) < 1e-9 for k in range(9))
    assert ellipse.length() == pytest.approx(arc.length(), rel=1e-11)


def test_a_circle_is_as_long_as_its_circumference():
    """2πr (textbook)."""
    assert Circle(ORIGIN, 10).length() == pytest.approx(62.83185307179586, abs=1e-12)
