"""Panels in each other's way, and how much play paper has: where they meet is worked out by hand."""
from __future__ import annotations

import math

import pytest

from generator.findings import Severity
from generator.folding import FoldedPlan
from tests.folding.sample_boxes import codes, folded
from tests.folding.test_mutations import BOX, OPEN, SLEEVE_NET

THICK = 0.26        # mm, of the card of these statements
BRIM = OPEN + """
brim = attach(walls[1].edges[3], rectangle(width=long, height=reach))
fold(brim.hinge, mountain, by=lean*(1 deg))
"""


def brim(past: float, lean: int, wide: float = BOX["long"]) -> FoldedPlan:
    """An open box, and a brim on one wall that leans in and ends ``past`` mm beyond the wall opposite."""
    reach = (BOX["short"] + past) / math.cos(math.radians(lean - 90))
    return folded(BRIM, {"lean": lean}, **BOX | {"long": wide}, reach=reach)


@pytest.mark.parametrize("lean", [92, 100, 115])
@pytest.mark.parametrize(("past", "wrong"), [
    (-5, []), (0, []), (THICK, []), (THICK + 0.2, ["panels-collide"]), (3, ["panels-collide"])])
def test_a_brim_through_the_wall_opposite_is_found_beyond_the_thickness_of_the_paper(past, lean, wrong):
    """What overlaps by no more than the paper is thick is paper on paper (common practice, no source)."""
    assert codes(brim(past, lean)) == wrong


@pytest.mark.parametrize("lean", [90, 85])
def test_a_brim_over_the_rim_is_in_nobodys_way(lean):
    """Level with the rim or above it, it meets no other wall, however far it reaches."""
    assert codes(brim(20, lean)) == []


@pytest.mark.parametrize("wide", [30, 80, 120])
def test_it_is_told_over_which_length_they_pass_through_each_other(wide):
    """As wide as the brim, within a millimetre for the thickness of the paper at either end."""
    found, = brim(5, 100, wide).findings
    told = float(found.message.rpartition(" over ")[2].removesuffix(" mm"))
    assert wide - 1 < told <= wide


@pytest.mark.parametrize("down", [40, 50, 65])
@pytest.mark.parametrize(("past", "wrong"), [(-2, []), (-0.2, []), (0.7, ["panels-collide"]),
                                             (10, ["panels-collide"])])
def test_what_swings_freely_collides_only_where_it_does_however_it_is_swung(down, past, wrong):
    """A sleeve of four equal panels leans as it likes; upright its walls are furthest apart, by one panel.

    A flap inside it that is folded ``down`` from the level reaches its length times the cosine: whether that
    is more than a panel decides. It is a warning, since only some of the ways are tried.
    """
    panel = 40
    reach = (panel + past) / math.cos(math.radians(down))
    text = SLEEVE_NET.replace("height=2*panel", "height=reach").replace("by=90 deg", "by=lean*(1 deg)")
    done = folded(text, {"lean": 90 + down}, panel=panel, wall=120, tab=10, reach=reach)
    assert codes(done) == wrong and all(f.severity is Severity.WARNING for f in done.findings)
