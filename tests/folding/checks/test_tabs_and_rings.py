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
