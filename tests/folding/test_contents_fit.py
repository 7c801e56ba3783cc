"""What goes in under walls that lean in.

A ball, a box and a tin in a square pyramid, against the textbook.
"""
from __future__ import annotations

import numpy as np
import pytest
from shapely import Polygon, affinity, box

from generator.folding.contents_fit import (
    box_goes_in,
    largest_contents,
    largest_rectangle,
    round_goes_in,
    section,
    soft_goes_in,
)
from generator.folding.records import PieceDimensions

SIDE, SLANT = 60.0, 70.0
HIGH = float(np.sqrt(SLANT ** 2 - SIDE ** 2 / 4))
FLOOR = box(-SIDE / 2, -SIDE / 2, SIDE / 2, SIDE / 2)
# a wall meets the floor at half a side and the axis at the full height: its unit normal is (h, s/2) / l,
# level and upwards
WALLS = tuple((x * HIGH / SLANT, y * HIGH / SLANT, SIDE / 2 / SLANT, SIDE / 2 * HIGH / SLANT) for x,
              y in ((1, 0), (0, 1), (-1, 0), (0, -1)))


def pyramid() -> PieceDimensions:
    """The figures of a pyramid of paper without thickness."""
    return PieceDimensions((SIDE, SIDE, HIGH), fit=largest_contents(FLOOR, HIGH, WALLS), floor=FLOOR,
                           inside=(SIDE, SIDE, HIGH), slopes=WALLS)


@pytest.mark.parametrize("share", [0, 0.25, 0.9])
def test_the_room_narrows_upwards(share):
    """At a share of its height a pyramid is narrower by that share (similar triangles)."""
    assert section(FLOOR, WALLS, share * HIGH).area == pytest.approx((SIDE * (1 - share)) ** 2)


def test_no_room_above_the_tip():
    """Nothing is left there."""
    assert section(FLOOR, WALLS, HIGH + 1) is None


def test_the_ball_in_a_pyramid():
    """R = 3·V/A = s·h/(s + 2·l), for any solid that has a ball touching all its faces (textbook)."""
    assert pyramid().fit.ball == pytest.approx(2 * SIDE * HIGH / (SIDE + 2 * SLANT), abs=1e-3)


def test_the_largest_box_and_tin_in_a_pyramid():
    """Both are largest at a third of the height.

    There they are two thirds as wide (textbook, a maximum of (1 − x)²·x).
    """
    fit = pyramid().fit
    assert fit.box == pytest.approx((SIDE * 2 / 3, SIDE * 2 / 3, HIGH / 3), rel=0.03)
    assert np.prod(fit.box) == pytest.approx(4 / 27 * SIDE ** 2 * HIGH, rel=0.002)
    assert fit.cylinder[0] ** 2 * fit.cylinder[1] == pytest.approx(4 / 27 * SIDE ** 2 * HIGH, rel=0.002)


@pytest.mark.parametrize(("ceiling", "cylinder", "high"), ((-1.0, (0.0, 0.0), 0.0),
                                                           (HIGH / 16, (SIDE, HIGH / 24), HIGH / 24)))
def test_under_a_low_ceiling(ceiling, cylinder, high):
    """Below the floor nothing goes in; at a sixteenth of the height only what is tried at one 24th."""
    fit = largest_contents(FLOOR, HIGH, ((0.0, 0.0, 1.0, ceiling),))
    assert fit.cylinder == pytest.approx(cylinder, abs=0.05) and fit.box[2] == pytest.approx(high)


def test_a_thing_is_tried_at_its_own_height():
    """A flat wide thing goes in where one of the same width that is higher does not."""
    assert box_goes_in(pyramid(), 50, 50,
                       HIGH / 6 - 0.01) and not box_goes_in(pyramid(), 50, 50, HIGH / 6 + 0.01)
    assert round_goes_in(pyramid(), 50, HIGH / 6 - 0.01) and not round_goes_in(pyramid(), 50, HIGH / 6 + 0.1)
    assert round_goes_in(pyramid(), 37.9) and not round_goes_in(pyramid(), 38)


def test_the_largest_rectangle_in_a_triangle():
    """It is half the triangle (textbook), and lies on a side, not about the middle."""
    wide, deep = largest_rectangle(Polygon([(0, 0), (60, 0), (30, 50)]))
    assert wide * deep == pytest.approx(60 * 50 / 4, rel=0.003)


@pytest.mark.parametrize("turn", (0, 30, 57, 90, 123))
def test_the_largest_rectangle_in_a_turned_one_is_itself(turn):
    """However it lies, and of whatever shape: its own sides are tried, not only those of even angles."""
    turned = affinity.rotate(box(0, 0, 97, 13.7), turn)
    assert largest_rectangle(turned) == pytest.approx((97, 13.7), rel=1e-9)


def test_a_thing_goes_into_the_wide_end_of_a_slice():
    """A slice 80 wide at one end, 20 at the other and 60 deep is 80 − d wide at the depth d.

    Similar triangles.

    No rectangle in it has more than 40 · 40, the maximum of (80 − d) · d.
    """
    slice_ = Polygon([(-40, 0), (40, 0), (10, 60), (-10, 60)])
    figures = PieceDimensions((80, 60, 40), fit=largest_contents(slice_, 40), floor=slice_,
                              inside=(80, 60, 40))
    assert box_goes_in(figures, 49.9, 30, 40) and box_goes_in(figures, 30, 49.9,
                                                              40) and not box_goes_in(figures, 58, 30, 40)
    assert not box_goes_in(figures, 49.9, 30, 40.1)


@pytest.mark.parametrize(("size", "goes"), [
    ((50, 40, 59), True), ((50, 40, 61), False),        # 60 high in the middle
    ((79, 59, 40), True), ((79, 61, 40), False),        # no wider than the floor
    ((80, 60, 40), True), ((80, 60, 41.7), False),      # of 200 cm³
    ((59, None, 59), True), ((61, None, 40), False), ((59, None, 61), False)])
def test_what_is_soft_is_as_wide_as_the_floor_and_as_high_as_the_top(size, goes):
    """A box of 80 by 60 by 40 mm whose top leaves 60 mm in the middle, and 200 cm³ altogether."""
    floor = box(0, 0, 80, 60)
    figures = PieceDimensions((80, 60, 60), fit=largest_contents(floor, 40), floor=floor, inside=(80, 60, 40),
                              soft_room=(60, 200_000))
    assert soft_goes_in(figures, *size) is goes
    plain = PieceDimensions((80, 60, 40), fit=largest_contents(floor, 40), floor=floor, inside=(80, 60, 40))
    assert soft_goes_in(plain, 50, 40, 40) and not soft_goes_in(plain, 50, 40, 41)
