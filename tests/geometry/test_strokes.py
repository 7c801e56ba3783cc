"""What every stroke keeps, whatever its kind."""
from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.geometry import Arc, Circle, EllipseArc, Line, Point, ShapeError, arc_by_radius, gap
from tests.geometry.strategies import far_apart, lines, open_strokes, rigid_maps, strokes
from tests.time_limits import examples

SHARES = [Fraction(k, 8) for k in range(9)]
quick = settings(deadline=None, max_examples=examples(50))
ORIGIN, P = Point(0, 0), Point(30, 0)


@quick
@given(strokes)
def test_reversed_twice_is_the_same(stroke):
    """A stroke travelled back and back again is the stroke itself, to the last digit."""
    assert stroke.reversed().reversed() == stroke


@quick
@given(strokes)
def test_reversed_passes_the_same_points(stroke):
    """Travelled the other way, the share t is the share 1 − t, and the direction is turned round."""
    back = stroke.reversed()
    for t in SHARES:
        assert not far_apart(back.at(t), stroke.at(1 - t))
        (dx, dy), (ex, ey) = back.tangent(t), stroke.tangent(1 - t)
        assert math.hypot(dx + ex, dy + ey) < 1e-9


@quick
@given(strokes, st.fractions(Fraction(1, 100), Fraction(99, 100), max_denominator=100))
def test_parts_add_up(stroke, t):
    """The lengths of both parts make the whole length, and the parts meet at the parting."""
    first, second = stroke.part(0, t), stroke.part(t, 1)
    assert first.start == stroke.start and second.end == stroke.end and first.end == second.start
    assert float(first.length() + second.length()) == pytest.approx(float(stroke.length()), abs=1e-9)


@quick
@given(open_strokes, st.lists(st.fractions(0, 1, max_denominator=50), min_size=2, max_size=2, unique=True))
def test_a_part_lies_on_the_stroke(stroke, shares):
    """A part from t0 to t1 passes the points that the stroke passes between them."""
    t0, t1 = sorted(shares)
    part = stroke.part(t0, t1)
    for t in SHARES:
        assert gap(part.at(t), stroke.at(t0 + (t1 - t0) * t)) < 1e-8


@quick
@given(strokes, rigid_maps)
def test_moved_and_moved_back(stroke, move):
    """The inverse map brings every point back; the length never changes."""
    there = stroke.moved(move)
    back = there.moved(move.inverse())
    assert float(there.length()) == pytest.approx(float(stroke.length()), abs=1e-8)
    assert all(gap(back.at(t), stroke.at(t)) < 1e-8 for t in SHARES)


@quick
@given(open_strokes, rigid_maps)
def test_a_moved_stroke_keeps_its_points(stroke, move):
    """A turned or mirrored stroke passes the turned or mirrored points, at the same shares."""
    there = stroke.moved(move)
    assert all(gap(there.at(t), move.apply(stroke.at(t))) < 1e-8 for t in SHARES)


@quick
@given(strokes)
def test_bounds_hold_every_point_and_are_reached(stroke):
    """No point lies outside the bounds, and each side of them is touched."""
    left, bottom, right, top = map(float, stroke.bounds())
    places = [stroke.at(k / 400) for k in range(401)]
    xs, ys = [float(p.x) for p in places], [float(p.y) for p in places]
    assert left - 1e-9 <= min(xs) and max(xs) <= right + 1e-9 and bottom - 1e-9 <= min(ys) and max(
        ys) <= top + 1e-9
    near = 1e-4 * float(stroke.length())    # the samples miss the extremes by this at most
    assert min(xs) - left < near and right - max(xs) < near and min(ys) - bottom < near and top - max(
        ys) < near
    assert stroke.box == pytest.approx((left, bottom, right, top), abs=1e-9)


@quick
@given(strokes, st.sampled_from((1.0, 0.1, 0.01)))
def test_flattened_keeps_the_ends_and_the_chord_error(stroke, error):
    """The chords begin and end exactly where the stroke does, and leave it by the chord error at most."""
    places = stroke.flattened(error)
    assert places[0] == stroke.start and places[-1] == stroke.end
    pieces = len(places) - 1
    for k in range(pieces):
        middle = Point((places[k].x + places[k + 1].x) / 2, (places[k].y + places[k + 1].y) / 2)
        assert gap(middle, stroke.at((k + 0.5) / pieces)) <= error + 1e-9


@quick
@given(lines(), st.fractions(-1, 2, max_denominator=64))
def test_lines_stay_exact(line, t):
    """Between exact ends every point, part and bound is a Fraction."""
    place = line.at(t)
    assert type(place.x) is Fraction and type(place.y) is Fraction
    assert place.x == line.start.x + t * (line.end.x - line.start.x)
    assert all(type(v) is Fraction for v in line.bounds())


def test_lengths_are_exact_where_the_root_is():
    """A level line and a diagonal of 3 to 4 have a rational length, the diagonal of a square has not."""
    assert Line(ORIGIN, Point(Fraction(127, 5), 0)).length() == Fraction(127, 5)
    diagonal = Line(ORIGIN, Point(Fraction(3, 2), 2)).length()
    assert type(diagonal) is Fraction and diagonal == Fraction(5, 2)
    assert Line(ORIGIN, Point(1, 1)).length() == math.sqrt(2)


@pytest.mark.parametrize(("make", "words"), [
    (lambda: Line(ORIGIN, ORIGIN), "from a point to itself"),
    (lambda: Arc(ORIGIN, ORIGIN, 3), "from a point to itself"),
    (lambda: Arc(ORIGIN, P, 0), "without one it is a straight line"),
    (lambda: Arc(ORIGIN, Point(1e-9, 0), 5), "a whole circle"),
    (lambda: arc_by_radius(ORIGIN, ORIGIN, 3), "from a point to itself"),
    (lambda: arc_by_radius(ORIGIN, P, Fraction(149, 10)), "radius is too small to reach both points"),
    (lambda: arc_by_radius(ORIGIN, P, -20), "radius is too small"),
    (lambda: EllipseArc(ORIGIN, P, 14, 100), "ellipse is too small to pass through both points"),
    (lambda: EllipseArc(ORIGIN, P, 0, 100), "two radii greater than nothing"),
    (lambda: EllipseArc(ORIGIN, ORIGIN, 5, 5), "from a point to itself"),
    (lambda: Circle(ORIGIN, 0), "a radius greater than nothing"),
    (lambda: Line(ORIGIN, Point(float("nan"), 0)), "has no place"),
    (lambda: Arc(ORIGIN, P, float("inf")), "has no place"),
    (lambda: Arc(ORIGIN, P, 3).flattened(0), "without any error"),
])
def test_shapes_that_cannot_be(make, words):
    """An impossible shape is refused in the trade's words; it never becomes a number that is none."""
    with pytest.raises(ShapeError, match=words):
        make()


def test_the_rightmost_point_begins_a_circle():
    """A circle is one closed stroke; its parts are arcs, also past its beginning."""
    circle = Circle(Point(10, 20), 5)
    assert circle.start == circle.end == Point(15, 20)
    assert gap(circle.at(0.25), Point(10, 25)) < 1e-12 and gap(circle.reversed().at(0.25),
                                                               Point(10, 15)) < 1e-12
    past = circle.part(0.75, 1.25)
    assert isinstance(past, Arc) and gap(past.at(0.5), Point(15, 20)) < 1e-12
    assert circle.part(0, 1) is circle
