"""Tabs that show outside, and tabs that share a place."""
from __future__ import annotations

import pytest

from tests.folding.checks.sources import SLEEVE, found

GLUE, POSTS = "glue(flap, under=walls.first)", "fold(posts, mountain, by=90 deg)"
TRAY_WITH_TABS = """
tray = sheet(width=side + 2*dust, height=front + 2*dust)
rim = rim_scores(tray, {0})
corner_cuts(tray, rim)
corners = corner_tabs(tray, rim, hole)
fold(rim.lines, mountain)
glue_corners(corners)
"""


def test_a_tab_glued_over_its_wall_shows():
    """With the print outside, over a wall is outside and under it inside."""
    assert found(SLEEVE) == []
    assert found(SLEEVE, ("under=", "over=")) == [("tab-outside", GLUE.replace("under", "over"))]


def test_a_tab_of_a_sleeve_with_the_print_inside():
    """Folded as valleys the printed side looks in: under a wall is outside and over it inside."""
    inside_out = POSTS, POSTS.replace("mountain", "valley")
    assert found(SLEEVE, inside_out) == [("tab-outside", GLUE)]
    assert found(SLEEVE, inside_out, ("under=", "over=")) == []


@pytest.mark.parametrize(("depth", "overlap"), (("19", False), ("21", True)))
def test_tabs_of_two_corners_behind_one_wall(depth, overlap):
    """Behind a wall of 40 mm lie two tabs of 19 mm beside each other; of 21 mm they overlap by 2 mm."""
    text = TRAY_WITH_TABS.format("deep").replace("2*dust", "2*deep")
    assert {code for code, _ in found(text, deep=depth)} == ({"tabs-overlap"} if overlap else set())


def test_a_sleeve_marked_in_another_order():
    """Of four panels at right angles the opposite ones are alike: 60, 60, 40 and 40 mm make no sleeve."""
    posts = "posts = score(strip, x=along(front, side, front, side))"
    mixed = posts.replace("front, side, front, side", "front, front, side, side")
    assert ("panels-uneven", mixed) in found(SLEEVE, (posts, mixed))


PILLOW = """
strip = sheet(width=2*front + tab, height=wall + 2*lap)
posts = score(strip, x=every(front, 2))
ends = score(strip, arc(at(posts.bays.left, lap), at(posts.bays.right, lap), bulge=lap),
                    arc(at(posts.bays.left, top - lap), at(posts.bays.right, top - lap), bulge=lap,
                        side=right))
remove(strip, x=posts.last..right, y=bottom..lap)
remove(strip, x=posts.last..right, y=lap + wall..top)
flap = faces(strip, x=posts.last..right, y=lap..lap + wall)
walls = faces(strip, x=posts.bays, y=lap..lap + wall)
fold(posts, mountain)
fold(ends, mountain)
glue(flap, under={})
"""


def test_the_tab_of_a_pouch():
    """It is glued to the first face; the last is the one that it hangs on."""
    assert "glue-own" not in dict(found(PILLOW.format("walls.first")))
    assert ("glue-own", "glue(flap, under=walls.last)") in found(PILLOW.format("walls.last"))
