"""Closed shapes of straight lines."""
from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.geometry import (
    Point,
    Region,
    ShapeError,
    apothem,
    circumradius,
    closed,
    gap,
    inset,
    polygon,
    rectangle,
    regular_polygon,
    reversed_path,
    signed_area,
    square,
    trapezoid,
)
from tests.geometry.strategies import corner_lists
from tests.time_limits import examples

quick = settings(deadline=None, max_examples=examples(60))


@pytest.mark.parametrize(("n", "outer", "inner"),
                         [(6, 100, 86.60254), (5, 85.06508, 68.81910), (8, 130.65630, None)])
def test_radii_of_regular_polygons(n, outer, inner):
    """Check values row 11: R = a/(2 sin π/n), apothem a/(2 tan π/n) for sides of 100 (textbook)."""
    assert float(circumradius(n, 100)) == pytest.approx(outer, abs=1e-5)
    assert inner is None or float(apothem(n, 100)) == pytest.approx(inner, abs=1e-5)
    sides = regular_polygon(n, 100)
    middle = Point(sum(float(s.start.x) for s in sides) / n, sum(float(s.start.y) for s in sides) / n)
    assert all(gap(s.start, middle) == pytest.approx(outer, abs=1e-5) for s in sides)
    assert inner is None or all(gap(s.at(0.5), middle) == pytest.approx(inner, abs=1e-5) for s in sides)


@pytest.mark.parametrize("n", [3, 4, 5, 6, 7, 8, 12, 17])
def test_regular_polygons_are_regular(n):
    """Equal sides, counter-clockwise, the first along +x from the origin and exact."""
    sides = regular_polygon(n, 40)
    assert len(sides) == n and closed(sides) and signed_area(sides) > 0
    assert (sides[0].start, sides[0].end) == (Point(0, 0), Point(40, 0)) and sides[0].exact
    assert all(float(s.length()) == pytest.approx(40, abs=1e-9) for s in sides)
    turns = [math.atan2(*reversed(s.tangent())) for s in sides]
    assert all(math.cos(b - a - 2 * math.pi / n) == pytest.approx(1, abs=1e-12) for a, b in pairwise(turns))
    # area n·a²/(4 tan π/n), textbook
    assert float(signed_area(sides)) == pytest.approx(n * 40 ** 2 / (4 * math.tan(math.pi / n)), abs=1e-8)


def test_a_square_is_exact():
    """Four equal sides need no root, whichever way they are asked for."""
    assert regular_polygon(4, Fraction(127, 5)) == square(Fraction(127, 5))
    assert all(s.exact for s in square(10)) and signed_area(square(10)) == 100


def test_rectangle_and_trapezoid():
    """Both stand on their base from the origin, counter-clockwise: bottom, right, top, left."""
    assert [s.start for s in rectangle(30, 20)] == [Point(0, 0), Point(30, 0), Point(30, 20), Point(0, 20)]
    assert [s.start for s in trapezoid(30, 20, 7)] == [Point(0, 0), Point(30, 0), Point(25, 7), Point(5, 7)]
    assert [s.start.x for s in trapezoid(20, 30, 7)] == [0, 20, 25, -5]
    assert all(s.exact for s in trapezoid(30, 20, 7))


@pytest.mark.parametrize(("make", "words"), [
    (lambda: regular_polygon(2, 10), "from 3 to 360 sides"),
    (lambda: regular_polygon(5, 0), "a length of side, greater than nothing"),
    (lambda: rectangle(0, 5), "a width, greater than nothing"),
    (lambda: rectangle(5, -1), "a height, greater than nothing"),
    (lambda: trapezoid(30, 0, 5), "without one it is a triangle"),
    (lambda: polygon([Point(0, 0), Point(1, 1)]), "at least three corners"),
    (lambda: polygon([Point(0, 0), Point(1, 1), Point(1, 1)]), "the same point"),
    (lambda: inset(square(10), 5), "an edge of the shape disappears"),
    (lambda: inset(square(10), 6), "an edge of the shape disappears"),
    (lambda: inset(dumbbell(), 2), "edges of the shape run into each other"),
])
def test_shapes_that_cannot_be(make, words):
    """An impossible shape is refused in the trade's words."""
    with pytest.raises(ShapeError, match=words):
        make()


def dumbbell():
    """Two squares joined by a waist 3 mm wide and 20 mm long."""
    return polygon([Point(x, y) for x, y in (
        (0, 0), (20, 0), (20, 10), (40, 10), (40, 0), (60, 0), (60, 20), (40, 20), (40, 13), (20, 13),
        (20, 20), (0, 20))])


def test_an_inset_of_level_edges_is_exact():
    """Each edge of a liner lies exactly the inset inside the edge it belongs to, either way round."""
    inner = inset(rectangle(30, 20), Fraction(3, 2))
    assert [s.start for s in inner] == [Point(Fraction(3, 2), Fraction(3, 2)),
                                        Point(Fraction(57, 2), Fraction(3, 2)),
                                        Point(Fraction(57, 2), Fraction(37, 2)),
                                        Point(Fraction(3, 2), Fraction(37, 2))]
    assert all(s.exact for s in inner)
    back = inset(reversed_path(rectangle(30, 20)), Fraction(3, 2))
    assert {s.start for s in back} == {s.start for s in inner} and signed_area(back) < 0
    assert inset(inset(rectangle(30, 20), 2), -2) == rectangle(30, 20)


@quick
@given(st.integers(3, 12), st.floats(0.1, 0.9))
def test_an_inset_regular_polygon_is_one(n, share):
    """Its apothem is shorter by the inset, so that its sides shrink in proportion."""
    by = float(apothem(n, 40)) * share
    inner = inset(regular_polygon(n, 40), by)
    assert all(float(s.length()) == pytest.approx(40 * (1 - share), abs=1e-8) for s in inner)


@quick
@given(corner_lists(), st.fractions(Fraction(1, 10), 2, max_denominator=10))
def test_inset_against_shapely(corners, by):
    """Check from outside: shapely's mitred buffer of the same polygon has the same area."""
    outline = polygon(corners)
    try:
        inner = inset(outline, by)
    except ShapeError:
        assume(False)
    known = shapely.Polygon([(float(x), float(y)) for x, y in corners]).buffer(
        -float(by), join_style="mitre", mitre_limit=1e6)
    assert float(Region(inner).area()) == pytest.approx(known.area, rel=1e-9, abs=1e-9)
