"""Cuts that stop short of the score they should reach, or run on behind it."""
from __future__ import annotations

import pytest

from tests.folding.checks.sources import found
from tests.folding.checks.test_assembly import CARTON

CUT = "cut(strip, x=posts, y=bottom..{})"


@pytest.mark.parametrize(("end", "short"), (("foot", False), ("offset(foot, -ease/5)", False),
                                            ("offset(foot, -ease)", True), ("offset(foot, -3*ease)", True)))
def test_a_cut_ends_at_its_score(end, short):
    """A hair of 0.2 mm is what authors are told to leave; a millimetre or three of paper tear at the fold."""
    codes = dict(found(CARTON, (CUT.format("foot"), CUT.format(end))))
    assert codes.get("cut-short") == (CUT.format(end) if short else None)


def test_a_slit_in_the_middle_of_a_panel():
    """What ends far from every fold is to end there."""
    slit = "cut(strip, x=front/2, y=dust + lap..dust + 2*lap)\n"
    assert found(CARTON, ("fold(posts", slit + "fold(posts")) == []


HINGED = """
card_ = sheet(width=front, height=2*side)
spine = score(card_, y=side)
cut(card_, y=spine, x=left..{})
fold(spine, mountain, by=90 deg)
"""


@pytest.mark.parametrize(("end", "overruns"), (("more", True), ("lap", False)))
def test_a_cut_that_runs_into_a_hinge(end, overruns):
    """5 mm along a hinge are a slip of the knife; 10 mm are meant (common practice, no source)."""
    text = HINGED.format(end)
    assert found(text) == [("cut-overruns", text.split("\n")[3])] * overruns


@pytest.mark.parametrize(("other", "overruns"), (("x=left..right, y=side - more", False),
                                                 ("line(at(left, side - lap), at(front, side))", True)))
def test_a_cut_to_the_second_of_two_scores(other, overruns):
    """Behind a parallel score it ends at the second one; behind a slanting one it has run on."""
    text = f"""
card_ = sheet(width=front, height=2*side)
spine = score(card_, y=side)
other = score(card_, {other})
slit_ = cut(card_, x=front/2, y=bottom..spine)
fold(spine, mountain, by=10 deg)
fold(other, mountain, by=10 deg)
"""
    assert ("cut-overruns" in dict(found(text))) is overruns
