"""The parts of a stroke inside and outside an area."""
from __future__ import annotations

from fractions import Fraction

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.geometry import (
    Arc,
    Circle,
    Line,
    Point,
    Region,
    clipped_inside,
    clipped_outside,
    polygon,
    rectangle,
)
from tests.geometry.strategies import EIGHTH, curved_loops, in_eighths, rigid_maps, straight_loops
from tests.time_limits import examples

quick = settings(deadline=None, max_examples=examples(60))
nodes = st.builds(lambda x, y: Point(x * EIGHTH, y * EIGHTH), st.integers(-1, 7), st.integers(-1, 7))
chords = st.tuples(nodes, nodes).filter(lambda ends: ends[0] != ends[1]).map(lambda ends: Line(*ends))
bent = st.tuples(chords, st.sampled_from((1, -1, Fraction(1, 2), 3))).map(
    lambda made: Arc(made[0].start, made[0].end, made[1] * EIGHTH))
walks = st.one_of(chords, bent, st.builds(Circle, nodes, st.integers(1, 4).map(lambda r: r * EIGHTH / 2)))
STRIP = Region(rectangle(60, 40))


def total(parts):
    return float(sum(part.length() for part in parts))


@quick
@given(chords, straight_loops())
def test_lines_in_polygons_against_shapely(walk, loop):
    """Check from outside: shapely finds the same length inside and on the edge; every end is exact."""
    known = shapely.Polygon(in_eighths([s.start for s in loop]))
    asked, mm = shapely.LineString(in_eighths([walk.start, walk.end])), float(EIGHTH)
    parts = clipped_inside(walk, Region(loop))
    within, along = asked.intersection(known).length, asked.intersection(known.boundary).length
    assert total(parts) == pytest.approx((within - along) * mm, abs=1e-9)
    assert total(clipped_inside(walk, Region(loop), keep_edge=True)) == pytest.approx(within * mm, abs=1e-9)
    assert all(p.exact for p in (*parts, *clipped_outside(walk, Region(loop))))


@quick
@given(walks, st.one_of(straight_loops(), curved_loops()), rigid_maps)
def test_inside_and_outside_make_the_whole(walk, loop, move):
    """What is inside and what is outside, the edge counted once, make up the whole length; no part is lost or
    double.
    """
    walk, region = walk.moved(move), Region(tuple(s.moved(move) for s in loop))
    whole = float(walk.length())
    assert total(clipped_inside(walk, region)) + total(clipped_outside(walk, region,
                                                                       keep_edge=True)) == pytest.approx(
                                                                           whole, abs=1e-6)
    assert total(clipped_inside(walk, region,
                                keep_edge=True)) + total(clipped_outside(walk,
                                                                         region)) == pytest.approx(
                                                                             whole, abs=1e-6)


@quick
@given(walks, st.one_of(straight_loops(), curved_loops()))
def test_parts_lie_where_they_should(walk, loop):
    """The middle of each inner part lies inside, that of each outer part does not."""
    region = Region(loop)
    for part in clipped_inside(walk, region):
        assert region.contains(part.at(0.4321)) or float(part.length()) < 1e-4
    for part in clipped_outside(walk, region):
        assert not region.contains(part.at(0.4321)) or float(part.length()) < 1e-4


def test_a_score_across_a_strip_ends_on_its_edges():
    """A line drawn beyond the paper is cut exactly at the edges; what lies within stays the very
    same stroke.
    """
    across = Line(Point(10, -5), Point(10, 50))
    assert clipped_inside(across, STRIP) == (Line(Point(10, 0), Point(10, 40)),)
    assert clipped_outside(across, STRIP) == (Line(Point(10, -5), Point(10, 0)),
                                              Line(Point(10, 40), Point(10, 50)))
    within = Line(Point(10, 5), Point(10, 40))
    assert clipped_inside(within, STRIP)[0] is within and clipped_outside(within, STRIP) == ()


def test_a_line_along_the_edge():
    """It belongs to neither side unless the edge is asked for."""
    along = Line(Point(-10, 0), Point(30, 0))
    assert clipped_inside(along, STRIP) == () and clipped_inside(along, STRIP,
                                                                 keep_edge=True) == (
                                                                     Line(Point(0, 0), Point(30, 0)),)
    assert clipped_outside(along, STRIP) == (Line(Point(-10, 0), Point(0, 0)),)
    assert clipped_outside(along, STRIP, keep_edge=True) == (along,)


def test_a_corner_that_is_only_touched_parts_nothing():
    """A line past a corner outside the area stays one stroke."""
    past = Line(Point(-10, 10), Point(10, -10))
    assert clipped_outside(past, STRIP) == (past,) and clipped_inside(past, STRIP) == ()


def test_a_hole_interrupts_a_line():
    """Over a window the line is outside."""
    window = Region(rectangle(60, 40),
                    (polygon([Point(20, 10), Point(20, 30), Point(40, 30), Point(40, 10)]),))
    across = Line(Point(0, 20), Point(60, 20))
    assert clipped_inside(across, window) == (Line(Point(0, 20), Point(20, 20)),
                                              Line(Point(40, 20), Point(60, 20)))


def test_an_arc_keeps_its_known_ends():
    """An arc cut at its own end on an edge keeps that end exactly, and stays an arc of its circle."""
    arc = Arc(Point(0, 30), Point(30, 30), 15)
    left, right = clipped_inside(arc, STRIP)
    assert left.start == Point(0, 30) and right.end == Point(30, 30) and left.end.y == 40
    assert float(left.radius) == pytest.approx(15) and isinstance(left, Arc)


def test_a_circle_over_an_edge_is_one_arc_on_each_side():
    """The part past the beginning of the circle is not broken there."""
    circle = Circle(Point(0, 20), 5)
    (within,), (beyond,) = clipped_inside(circle, STRIP), clipped_outside(circle, STRIP)
    assert (within.start, within.end) == (Point(0, 15), Point(0, 25))
    assert (beyond.start, beyond.end) == (Point(0, 25), Point(0, 15))
    assert clipped_inside(Circle(Point(30, 20), 5), STRIP) == (Circle(Point(30, 20), 5),)
