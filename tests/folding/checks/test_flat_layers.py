"""Paper that is folded flat: the order of its layers by folds, by glue and by time.

Thought through by hand.
"""
from __future__ import annotations

from tests.folding.checks.sources import ENVELOPE, found

ENDS, FOOT = "fold(ends, mountain, by=180 deg)", "fold(foot, mountain, by=180 deg)"
GLUE = "glue(side_flaps, under=front_flap)"


def test_an_envelope_is_sound():
    """The side flaps are folded first, so they lie within: on the plain side of the front flap, under it."""
    assert found(ENVELOPE) == []


def test_flaps_folded_after_what_is_to_cover_them():
    """The front flap folded first lies within, so that its plain side is out of reach.

    Both statements say so.
    """
    assert set(found(ENVELOPE, (f"{ENDS}\n{FOOT}", f"{FOOT}\n{ENDS}"))) == {("flat-layers", ENDS),
                                                                            ("flat-layers", GLUE)}


def test_flaps_glued_to_the_side_that_looks_away():
    """Folded last, the front flap shows its printed side; the side flaps lie on the other one."""
    assert ("flat-layers", GLUE.replace("under", "over")) in found(ENVELOPE,
                                                                   ("under=front_flap", "over=front_flap"))


def test_flaps_that_lie_beside_each_other_have_no_order():
    """The two ends are 10 mm wide on a panel of 60 mm: which is folded first does not matter."""
    assert found(ENVELOPE, (ENDS,
                            "fold(ends[2..2], mountain, by=180 deg)\nfold(ends[1..1], mountain, by=180 "
                            "deg)")) == []


def test_one_flap_of_four_on_the_other_side_lies_outside():
    """Three flaps are folded onto the plain side; the fourth, a valley, comes to lie on the printed one."""
    text = """
base = panel(rectangle(width=front, height=side))
flaps = attach(base.edges, rectangle(height=lap))
fold(flaps[1..3].hinge, mountain, by=180 deg)
fold(flaps[4..4].hinge, {}, by=180 deg)
"""
    assert found(text.format("mountain")) == []
    assert found(text.format("valley")) == [("flap-outside", "fold(flaps[4..4].hinge, valley, by=180 deg)")]


def test_glue_with_a_panel_in_between():
    """Of three panels the last is folded onto the middle one, then the first onto both.

    It reaches the last only.
    """
    text = """
strip = sheet(width=3*side, height=wall, up=printed)
posts = score(strip, x=every(side, 2))
first = faces(strip, x=left..posts.first)
middle_one = faces(strip, x=posts.first..posts.last)
last = faces(strip, x=posts.last..right)
fold(posts.last, mountain, by=180 deg)
fold(posts.first, mountain, by=180 deg)
glue(first, {})
"""
    assert found(text.format("over=last")) == []
    assert found(text.format("under=middle_one")) == [("glue-apart", "glue(first, under=middle_one)")]
