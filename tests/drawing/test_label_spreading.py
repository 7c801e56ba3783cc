"""Words are moved apart as little as can be, and never out of bounds."""
from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.drawing.picture_geometry import (
    Box,
    any_crosses,
    boxes_crossed,
    overlap_free,
    segments_cross,
    spread_apart,
)
from generator.drawing.steps.notes import OccupiedSpace

CLEARANCE = 0.8
SIZES = st.lists(st.floats(1, 12), min_size=1, max_size=9)


@settings(deadline=None)
@given(SIZES, st.data())
def test_spread_keeps_order_room_and_bounds(sizes, data):
    """What comes back is in order, clear of each other and within bounds, or there was no room."""
    middles = sorted(data.draw(st.lists(st.floats(0, 60), min_size=len(sizes), max_size=len(sizes))))
    placed = spread_apart(middles, sizes, CLEARANCE, 0.0, 60.0)
    if placed is None:
        assert sum(sizes) + CLEARANCE * (len(sizes) - 1) > 60.0
        return
    edges = [(p - s / 2, p + s / 2) for p, s in zip(placed, sizes, strict=True)]
    assert edges[0][0] >= -1e-9 and edges[-1][1] <= 60 + 1e-9
    assert all(b[0] - a[1] >= CLEARANCE - 1e-9 for a, b in zip(edges, edges[1:], strict=False))


@settings(deadline=None)
@given(SIZES, st.data())
def test_what_fits_stays_where_it_is(sizes, data):
    """Boxes that are clear already are not moved."""
    middles = sorted(data.draw(st.lists(st.floats(10, 190), min_size=len(sizes), max_size=len(sizes))))
    if overlap_free(middles, sizes, CLEARANCE, 0.0, 200.0):
        assert spread_apart(middles, sizes, CLEARANCE, 0.0, 200.0) == pytest.approx(middles)


def test_two_in_one_place_part_evenly():
    """Neither of two boxes with the same wish is served better."""
    even = pytest.approx([10 - 2 - CLEARANCE / 2, 10 + 2 + CLEARANCE / 2])
    assert spread_apart([10.0, 10.0], [4.0, 4.0], CLEARANCE, 0.0, 20.0) == even


@settings(deadline=None)
@given(*[st.integers(-6, 6)] * 4, st.integers(-3, 0), st.integers(1, 3))
def test_a_segment_meets_a_box_where_one_of_many_points_is_inside(ax, ay, bx, by, low, high):
    """The clipping agrees with walking along the line in small steps."""
    # off the grid, so that nothing only touches
    box = Box(low - 0.05, low - 0.05, high + 0.05, high + 0.05)
    walked = any(box.x0 < ax + (bx - ax) * t / 500 < box.x1 and box.y0 < ay + (by - ay) * t / 500 < box.y1
                 for t in range(501))
    crossed, of_larger = boxes_crossed(np.array([box, box.grown(0.04)]),
                                       np.array([[(ax, ay), (bx, by)]]))[:, 0]
    if (ax, ay) != (bx, by) and walked:
        assert crossed
    if not of_larger:
        assert not walked


BOX_CORNERS = st.tuples(*[st.integers(-6, 6)] * 2, *[st.integers(1, 4)] * 2)
ENDS = st.tuples(*[st.integers(-8, 8)] * 2)
SEGMENTS = st.tuples(ENDS, ENDS).filter(lambda ends: ends[0] != ends[1])


@settings(deadline=None)
@given(st.lists(BOX_CORNERS, max_size=6), st.lists(SEGMENTS, max_size=6))
def test_of_many_boxes_those_are_told_that_a_segment_crosses(corners, segments):
    """Of many boxes and segments at once, what Shapely says of each pair, level and upright ones too."""
    boxes = np.array([(x - 0.05, y - 0.05, x + width + 0.05, y + height + 0.05)
                      for x, y, width, height in corners], float).reshape(-1, 4)
    ends = np.array(segments, float).reshape(-1, 2, 2)
    expected = [[shapely.relate_pattern(shapely.LineString(line), shapely.box(*box), "T********")
                 for line in segments] for box in boxes]
    assert boxes_crossed(boxes, ends).tolist() == expected
    assert any_crosses(boxes, ends).tolist() == [any(row) for row in expected]


@settings(deadline=None)
@given(st.lists(SEGMENTS, max_size=5), st.lists(SEGMENTS, max_size=5))
def test_of_many_segments_those_are_told_that_cross_others(some, others):
    """What Shapely says of each pair: inner points alone in common, and no stretch."""
    one, other = (np.array(lines, float).reshape(-1, 2, 2) for lines in (some, others))
    assert segments_cross(one, other).tolist() == [
        [shapely.relate_pattern(shapely.LineString(a), shapely.LineString(b), "0********") for b in others]
        for a in some]


def test_segments_that_only_touch_do_not_cross():
    """Two leaders may begin at one point, and end on each other."""
    one = np.array([[(0, 0), (2, 2)], [(0, 0), (2, 2)], [(0, 0), (1, 1)]], float)
    other = np.array([[(0, 2), (2, 0)], [(0, 0), (2, 0)], [(0, 2), (2, 1.5)]], float)
    assert segments_cross(one, other).diagonal().tolist() == [True, False, False]


@settings(deadline=None)
@given(st.lists(SEGMENTS, min_size=1, max_size=6), BOX_CORNERS)
def test_a_leader_runs_over_the_piece_as_far_as_they_have_in_common(leaders, corners):
    """The length over the paper is that of the line cut with its box, as Shapely measures it."""
    x, y, width, height = corners
    paper = Box(x, y, x + width, y + height)
    over = OccupiedSpace(paper, paper).obstacles().over_paper(np.array(leaders, float))
    assert over == pytest.approx([shapely.LineString(each).intersection(shapely.box(*paper)).length
                                  for each in leaders])
