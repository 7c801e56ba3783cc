"""Rigid maps."""
from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.geometry import Point, ShapeError, Transform, distance, gap
from tests.geometry.strategies import points, quarter_maps, rigid_maps
from tests.time_limits import examples

quick = settings(deadline=None, max_examples=examples(60))


def is_exact(point):
    return type(point.x) is Fraction and type(point.y) is Fraction


@quick
@given(points, quarter_maps)
def test_shifts_quarter_turns_and_mirrors_are_exact(point, move):
    """Such a map keeps Fractions, and its inverse brings the very same point back."""
    there = move.apply(point)
    assert is_exact(there) and move.inverse().apply(there) == point


@quick
@given(points, points, rigid_maps)
def test_distances_are_kept(a, b, move):
    """Two points are as far apart after any map as before."""
    assert float(distance(move.apply(a), move.apply(b))) == pytest.approx(float(distance(a, b)), abs=1e-9)


@quick
@given(points, rigid_maps, rigid_maps)
def test_one_map_then_another(point, first, second):
    """``first.then(second)`` does first the one, then the other; it mirrors if one of the two does."""
    assert gap(first.then(second).apply(point), second.apply(first.apply(point))) < 1e-9
    assert first.then(second).mirrors == (first.mirrors != second.mirrors)
    assert gap(first.then(first.inverse()).apply(point), point) < 1e-9


def test_turns_go_counter_clockwise():
    """A quarter turn takes the right to the top; four of them take nothing anywhere."""
    assert Transform.quarter(1).apply(Point(1, 0)) == Point(0, 1)
    assert Transform.quarter(-1) == Transform.quarter(3) and Transform.quarter(4) == Transform.identity()
    assert gap(Transform.rotation(math.pi / 2).apply(Point(1, 0)), Point(0, 1)) < 1e-12
    assert Transform.mirror_x().apply(Point(1, 2)) == Point(-1, 2) and Transform.mirror_x().mirrors
    assert Transform.mirror_y().apply(Point(1, 2)) == Point(1, -2) and not Transform.quarter(2).mirrors


@quick
@given(points, points, points, st.floats(-4, 4))
def test_onto_lays_one_segment_on_another(a0, a1, b0, angle):
    """The ends of the first segment come to lie on those of the second; nothing is mirrored."""
    assume(a0 != a1)
    size = float(distance(a0, a1))
    b1 = Point(float(b0.x) + size * math.cos(angle), float(b0.y) + size * math.sin(angle))
    move = Transform.onto(a0, a1, b0, b1)
    assert gap(move.apply(a0), b0) < 1e-9 and gap(move.apply(a1), b1) < 1e-9 and not move.mirrors


def test_onto_is_exact_where_it_can_be():
    """Level onto level, level onto a diagonal of 3 to 4, and a diagonal onto its quarter turn."""
    flat = Point(0, 0), Point(5, 0)
    for target in ((Point(7, 1), Point(2, 1)), (Point(1, 1), Point(4, 5)), (Point(0, 0), Point(0, 5))):
        move = Transform.onto(*flat, *target)
        assert move.apply(flat[1]) == target[1] and is_exact(move.apply(Point(Fraction(1), Fraction(2))))
    turned = Transform.onto(Point(0, 0), Point(1, 1), Point(0, 0), Point(-1, 1))
    assert turned == Transform.quarter(1)


def test_onto_refuses_edges_of_unequal_length():
    """Edges that do not fit on each other are no rigid map's work."""
    with pytest.raises(ShapeError, match="not equally long"):
        Transform.onto(Point(0, 0), Point(5, 0), Point(0, 0), Point(6, 0))
    with pytest.raises(ShapeError, match="no direction"):
        Transform.onto(Point(0, 0), Point(0, 0), Point(0, 0), Point(6, 0))
