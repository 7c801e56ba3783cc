"""Cuts that stop short of the score they should reach."""
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
