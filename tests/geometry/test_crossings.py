"""Where strokes cross, touch, and lie on one another."""
from __future__ import annotations

import math
from fractions import Fraction

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.geometry import Arc, Circle, EllipseArc, Line, Point, crossings, gap, overlaps, parameter_at
from tests.geometry.strategies import EIGHTH, in_eighths, lines, rigid_maps, strokes
from tests.time_limits import examples

quick = settings(deadline=None, max_examples=examples(80))


def line(*numbers):
    x0, y0, x1, y1 = map(Fraction, numbers)
    return Line(Point(x0, y0), Point(x1, y1))



@quick
@given(lines(), lines())
def test_lines_against_shapely(a, b):
    """Check from outside: shapely finds the same common point, or the same stretch; both are exact here."""
    known, other = (shapely.LineString(in_eighths([s.start, s.end])) for s in (a, b))
    found, common = crossings(a, b), overlaps(a, b)
    if common:
        (t0, t1), = common
        assert known.intersection(other).length * float(EIGHTH) == pytest.approx(
            float((t1 - t0) * a.length()), abs=1e-9) and not found
    elif found:
        (ta, tb), = found
        place = shapely.Point(*in_eighths([a.at(ta)]))
        assert type(ta) is Fraction and a.at(ta) == b.at(tb)
        assert known.distance(place) < 1e-9 and other.distance(place) < 1e-9 and known.intersects(other)
    else:
        assert not known.intersects(other)


@quick
@given(strokes, strokes)
def test_crossings_lie_on_both_and_turn_with_the_order(a, b):
    """Both shares name one place, and the same places are found when the strokes change over."""
    found = crossings(a, b)
    assert all(gap(a.at(ta), b.at(tb)) < 1e-7 for ta, tb in found)
    assert all(0 <= t <= 1 for pair in found for t in pair) and list(found) == sorted(found)
    other = crossings(b, a)
    assert len(other) == len(found)
    assert all(min(gap(a.at(ta), b.at(tb)) for tb, _ in other) < 1e-7 for ta, _ in found)


@quick
@given(strokes, strokes, rigid_maps)
def test_crossings_move_along(a, b, move):
    """Turned or mirrored strokes cross at the moved places."""
    found = [move.apply(a.at(t)) for t, _ in crossings(a, b)]
    there = a.moved(move)
    moved = [there.at(t) for t, _ in crossings(there, b.moved(move))]
    assert len(found) == len(moved) and all(min(gap(p, q) for q in moved) < 1e-6 for p in found)


@settings(deadline=None, max_examples=examples(60))
@given(strokes, strokes)
def test_crossings_against_fine_chords(a, b):
    """Check from outside: where shapely's fine chords of two strokes cross plainly, so do the strokes, and
    nowhere else.
    """
    assume(not overlaps(a, b))
    chords = [shapely.LineString([tuple(map(float, p)) for p in s.flattened(1e-5)]) for s in (a, b)]
    common = chords[0].intersection(chords[1])
    places = [p for p in getattr(common, "geoms", [common]) if not p.is_empty]
    found = [a.at(t) for t, _ in crossings(a, b)]
    for place in places:        # a touching or a grazing crossing of the chords wanders along the stroke
        centre = place.centroid
        assert min((math.dist((centre.x, centre.y), tuple(map(float, p))) for p in found),
                   default=math.inf) < 0.2
    for p in found:
        assert all(c.distance(shapely.Point(tuple(map(float, p)))) < 1e-4 for c in chords)


@pytest.mark.parametrize(("a", "b", "places"), [
    (line(0, 0, 10, 0), line(3, -5, 3, 5), [(3, 0)]),               # level and upright
    (line(0, 0, 10, 0), line(3, 0, 3, 5), [(3, 0)]),                # an end on the other
    (line(0, 0, 10, 0), line(10, 0, 10, 5), [(10, 0)]),             # end on end
    (line(0, 0, 10, 0), line(10, 0, 15, 0), [(10, 0)]),             # one goes on in the other
    (line(0, 0, 10, 0), line(0, 1, 10, 1), []),                     # parallel
    (line(0, 0, 10, 0), line(5, 0, 15, 0), []),                     # overlapping is no crossing
    (line(0, 0, 10, 10), line(0, 10, 10, 0), [(5, 5)]),
    (line(0, 0, 10, 0), line(3, 1, 3, 5), []),
    (line(-9, 3, 9, 3), Circle(Point(0, 0), 5), [(-4, 3), (4, 3)]),
    (line(-9, 5, 9, 5), Circle(Point(0, 0), 5), [(0, 5)]),          # touching
    (line(5, -5, 5, 5), Circle(Point(0, 0), 5), [(5, 0)]),          # touching where the circle begins
    (Circle(Point(0, 0), 5), Circle(Point(6, 0), 5), [(3, 4), (3, -4)]),
    (Circle(Point(0, 0), 5), Circle(Point(8, 0), 3), [(5, 0)]),     # touching from outside
    (Circle(Point(0, 0), 5), Circle(Point(2, 0), 3), [(5, 0)]),     # touching from inside
    (Circle(Point(0, 0), 5), Circle(Point(1, 0), 3), []),
    (Circle(Point(0, 0), 5), Circle(Point(0, 0), 3), []),
    (EllipseArc(Point(-5, 0), Point(5, 0), 5, 3), line(0, 0, 0, 9), [(0, 3)]),
    (EllipseArc(Point(-5, 0), Point(5, 0), 5, 3), line(-9, 3, 9, 3), [(0, 3)]),
    (EllipseArc(Point(-5, 0), Point(5, 0), 5, 3), EllipseArc(Point(-3, 0), Point(3, 0), 3, 5),
     [(-15 / math.sqrt(34), 15 / math.sqrt(34)), (15 / math.sqrt(34), 15 / math.sqrt(34))]),
    # touching at the top
    (EllipseArc(Point(-5, 0), Point(5, 0), 5, 3), Circle(Point(0, 0), 3), [(0, 3)]),
    (EllipseArc(Point(-5, 0), Point(5, 0), 5, 3), Circle(Point(0, 6), 3), [(0, 3)]),
    (EllipseArc(Point(-5, 0), Point(5, 0), 5, 3), Circle(Point(0, 0), 5), [(-5, 0), (5, 0)]),
])
def test_known_meetings(a, b, places):
    """Crossings and touchings worked out by hand, right triangles of 3, 4 and 5 among them."""
    found = [a.at(t) for t, _ in crossings(a, b)]
    assert len(found) == len(places)
    assert all(min(gap(p, Point(*q)) for p in found) < 1e-7 for q in places)


@pytest.mark.parametrize(("a", "b", "shares"), [
    (line(0, 0, 10, 0), line(5, 0, 15, 0), [(Fraction(1, 2), 1)]),
    (line(0, 0, 10, 0), line(15, 0, 5, 0), [(Fraction(1, 2), 1)]),
    (line(0, 0, 10, 0), line(-5, 0, 15, 0), [(0, 1)]),
    (line(0, 0, 8, 8), line(2, 2, 4, 4), [(Fraction(1, 4), Fraction(1, 2))]),
    (line(0, 0, 10, 0), line(10, 0, 15, 0), []),
    (line(0, 0, 10, 0), line(0, 1, 10, 1), []),
    (Circle(Point(0, 0), 5), Circle(Point(0, 0), 5, True), [(0, 1)]),
    (Circle(Point(0, 0), 5), Arc(Point(0, 5), Point(-5, 0), 5 - 5 / math.sqrt(2)), []),
    (Circle(Point(0, 0), 5), Arc(Point(-5, 0), Point(0, 5), 5 - 5 / math.sqrt(2)), [(0.25, 0.5)]),
    # past the beginning
    (Circle(Point(0, 0), 5), Arc(Point(0, 5), Point(0, -5), 5), [(0, 0.25), (0.75, 1)]),
    (Arc(Point(-5, 0), Point(5, 0), 5), Arc(Point(0, 5), Point(0, -5), 5), [(0.5, 1)]),
    (Arc(Point(-5, 0), Point(5, 0), 5), Arc(Point(-5, 0), Point(5, 0), 4), []),
    (EllipseArc(Point(-5, 0), Point(5, 0), 5, 3), EllipseArc(Point(0, 3), Point(5, 0), 5, 3), [(0.5, 1)]),
    (EllipseArc(Point(-5, 0), Point(5, 0), 5, 3), EllipseArc(Point(-5, 0), Point(5, 0), 5, 3, False), []),
])
def test_known_stretches(a, b, shares):
    """Where one stroke lies on another: exact for exact lines, past a circle's beginning in two stretches."""
    found = overlaps(a, b)
    assert [t for pair in found for t in pair] == pytest.approx([t for pair in shares for t in pair],
                                                                abs=1e-9)
    if isinstance(a, Line):
        assert all(type(t) is Fraction for pair in found for t in pair)


@quick
@given(strokes, st.fractions(0, 1, max_denominator=40), st.fractions(0, 1, max_denominator=40), rigid_maps)
def test_a_part_lies_along_its_stroke(stroke, t0, t1, move):
    """A part of a stroke, moved along with it, is found again as the stretch from t0 to t1."""
    assume(abs(t0 - t1) > Fraction(1, 50))
    t0, t1 = sorted((t0, t1))
    (f0, f1), *more = overlaps(stroke.moved(move), stroke.part(t0, t1).moved(move))
    if not isinstance(stroke, Circle):      # a moved circle begins elsewhere
        assert (float(f0), float(f1)) == pytest.approx((float(t0), float(t1)), abs=1e-7) and not more


@quick
@given(strokes, st.fractions(0, 1, max_denominator=40))
def test_the_share_of_a_place(stroke, t):
    """The place at share t is found again at t; a place beside the stroke is not on it."""
    found = parameter_at(stroke, stroke.at(t))
    assert found is not None and gap(stroke.at(found), stroke.at(t)) < 1e-8
    (x, y), (dx, dy) = stroke.at(t), stroke.tangent(t)
    assert parameter_at(stroke, Point(float(x) - dy * 1e-6, float(y) + dx * 1e-6)) is None
