"""The picture shows a piece as the reader has turned it."""
from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.drawing.picture_geometry import Box, View
from generator.geometry import Arc, Circle, EllipseArc, Line, Point
from generator.paper.orientation import own_side, turned, turned_over
from generator.paper.records import Orientation, Side

LIES = st.builds(Orientation, st.integers(0, 3), st.booleans())
WIDE, HIGH = 30, 20
MIDDLES = {Side.LEFT: Point(0, 10), Side.RIGHT: Point(WIDE, 10), Side.TOP: Point(15, HIGH),
           Side.BOTTOM: Point(15, 0)}
STROKES = (Line(Point(1, 2), Point(7, 5)), Arc(Point(1, 2), Point(7, 5), Fraction(2)),
           Arc(Point(1, 2), Point(7, 5), Fraction(-1)), Circle(Point(4, 3), Fraction(5, 2)),
           EllipseArc(Point(0, 0), Point(6, 4), 6, 4, left=False), EllipseArc(Point(0, 0), Point(6, 4), 6, 4))


@settings(deadline=None)
@given(LIES, st.sampled_from(list(Side)))
def test_sides_lie_where_the_reader_calls_them(orientation, side):
    """The own side that is called "left" as the piece lies is drawn at the left, and so all round."""
    view = View(orientation)
    box = view.box(Box(0, 0, WIDE, HIGH))
    x, y = view.point(MIDDLES[own_side(orientation, side)])
    edge = {Side.LEFT: x - box.x0, Side.RIGHT: box.x1 - x, Side.TOP: box.y1 - y, Side.BOTTOM: y - box.y0}
    assert edge[side] == pytest.approx(0)


def test_a_quarter_turn_brings_the_left_edge_to_the_top():
    """Turned clockwise, what was at the left is at the top; turned over, left and right change places."""
    box = View(Orientation(1)).box(Box(0, 0, WIDE, HIGH))
    assert (box.width, box.height) == (HIGH, WIDE)
    assert View(Orientation(1)).point(MIDDLES[Side.LEFT]).y == pytest.approx(box.y1)
    over = View(turned_over(Orientation()))
    assert over.point(MIDDLES[Side.LEFT]).x > over.point(MIDDLES[Side.RIGHT]).x
    assert View(turned(Orientation(), 4)).point(Point(3, 4)) == Point(3, 4)


@settings(deadline=None)
@given(LIES, st.floats(0.1, 3), st.sampled_from(STROKES), st.sampled_from([0.0, 0.2, 0.5, 0.9, 1.0]))
def test_a_stroke_is_drawn_through_the_places_of_its_points(orientation, scale, stroke, t):
    """Laying a curve and then walking along it is walking along it and then laying the point."""
    view = View(orientation, scale, 5.0, -3.0)
    laid = view.stroke(stroke)
    points = [laid.at(t)] if not isinstance(stroke, Circle) else list(laid.flattened(1e-6))
    wanted = view.point(stroke.at(t))
    assert min(abs(p.x - wanted.x) + abs(p.y - wanted.y) for p in points) < 1e-2
    assert laid.length() == pytest.approx(float(stroke.length()) * scale)


def test_floats_come_out():
    """Exact coordinates end here."""
    assert all(isinstance(v, float) for v in View().point(Point(Fraction(1, 3), Fraction(2))))
