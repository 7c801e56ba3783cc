"""Ribbons go through whole rows of holes."""
from __future__ import annotations

import pytest

from tests.folding.checks.sources import SLEEVE, found

EYES = ("fold(posts", "eyes = punch(strip, x=posts.bays.middle, y=wall - lap, diameter=hole)\nfold(posts")
LACE = "lace = ribbon(length=sides*wall)\n"


def test_a_ribbon_that_misses_a_hole():
    """Three of four holes leave one; all four leave none."""
    missing = "thread(lace, through=eyes[1..3])"
    assert found(SLEEVE + LACE + missing, EYES) == [("hole-unthreaded", missing)]
    assert found(SLEEVE + LACE + "thread(lace, through=eyes)", EYES) == []


def test_two_ribbons_share_a_row():
    """What the one leaves the other takes."""
    more = LACE + "cord = ribbon(length=sides*wall)\n"
    threads = "thread(lace, through=eyes[1..2])\nthread(cord, through=eyes[3..4])"
    assert found(SLEEVE + more + threads, EYES) == []


def test_a_row_that_no_ribbon_goes_through():
    """Holes for something else, such as fingers, are none of a ribbon's."""
    grips = ("fold(posts", "grips = punch(strip, x=posts.bays.middle, y=lap, diameter=hole)\nfold(posts")
    assert found(SLEEVE + LACE + "thread(lace, through=eyes)", EYES, grips) == []


def test_holes_in_pairs_are_all_threaded():
    """A row 8 mm beside that of the ribbon, as long and as large, is its own; one 40 mm off is not."""
    pair = "twins = punch(strip, x=offset(posts.bays.middle, {}), y=wall - lap, diameter=hole)\nfold(posts"
    lacing = "thread(lace, through=eyes)"
    assert found(SLEEVE + LACE + lacing, EYES, ("fold(posts", pair.format("2*hole"))) == [
        ("hole-unthreaded", lacing)]
    beside = "twins = punch(strip, x=posts.bays.middle, y=lap + 2*lap, diameter=hole)\nfold(posts"
    assert found(SLEEVE + LACE + lacing, EYES, ("fold(posts", beside)) == []


FOLDED_OVER = """
strip = sheet(width=2*front + 2*side + tab, height=wall + {deep}, up=printed)
posts = score(strip, x=along(front, side, front, side))
rim = score(strip, y=wall, x=left..posts.first)
remove(strip, x=posts.first..right, y=wall..top)
{punched}
walls = faces(strip, x=posts.bays, y=bottom..wall)
flap = faces(strip, x=posts.last..right, y=bottom..wall)
fold(posts, mountain, by=90 deg)
fold(rim, mountain, by=180 deg)
glue(flap, under=walls.first)
lace = ribbon(length=sides*wall)
thread(lace, through={holes})
"""
PUNCHED = "eyes = punch(strip, x=posts.bays.middle, y=wall - lap, diameter=hole)"


@pytest.mark.parametrize(("deep", "behind"), (("3*lap", True), ("lap - more", False)))
def test_a_panel_behind_a_hole(deep, behind):
    """A flap folded right over from the rim reaches 30 mm down behind holes 10 mm below it, or 5 mm."""
    strip = FOLDED_OVER.format(deep=deep, punched=PUNCHED, holes="eyes")
    assert (("holes-apart", PUNCHED) in found(strip)) is behind


def test_a_panel_behind_a_hole_with_a_hole_of_its_own():
    """Ten millimetres on either side of the rim the two come to lie on each other."""
    punched = f"{PUNCHED}\ntwin = punch(strip, x=posts.bays[1].middle, y=wall + lap, diameter=hole)"
    strip = FOLDED_OVER.format(deep="3*lap", punched=punched, holes="group(eyes, twin)")
    assert "holes-apart" not in dict(found(strip))
