"""Sleeves and lids have room for every layer of paper: tabs, mats and bands too."""
from __future__ import annotations

import pytest

from generator.folding import fold
from tests.paper.statement_evaluation import made

DRAWER = """drawer = sheet(width=wide + 2*wall, height=long + 2*wall, paper=card, up=printed)
rim = rim_scores(drawer, wall)
corner_cuts(drawer, rim)
corners = corner_tabs(drawer, rim, taper)
fold(rim.lines, mountain)
glue_corners(corners)
"""
SLEEVE = """sleeve = sheet(width=2*(wide + ease) + 2*(wall + ease) + tab, height=long, paper=card, up=printed)
ring = uneven_ring(sleeve, group(wide + ease, wall + ease, wide + ease, wall + ease))
tops = faces(sleeve, x=ring.bays)
end = tapered_tab(sleeve, ring.panels, taper)
fold(ring.panels, mountain, by=90 deg)
glue(end, under=tops.first)
"""
MAT = "mat = inset({0}, by=taper, paper=card)\nglue(mat.faces, {1}={0})\n"
LID = """base = tray_blank(long - ease, wide - ease, wall, paper=card, up=printed)
lid = tray_blank(long, wide, lip, paper=card, up=printed)
low = rim_scores(base, wall)
corner_cuts(base, low)
base_tabs = corner_tabs(base, low, taper)
high = rim_scores(lid, lip)
corner_cuts(lid, high)
lid_tabs = corner_tabs(lid, high, taper)
fold(low.lines, mountain)
fold(high.lines, mountain)
glue_corners(base_tabs)
glue_corners(lid_tabs)
"""
SIZES = {"long": 90, "wide": 60, "wall": 25, "lip": 15, "taper": 3, "tab": 12}
PAPER = 0.26    # mm: the card of tests.paper.statement_evaluation


def found(text: str, ease: object) -> list[str]:
    """The codes of what folding finds wrong with fits."""
    plan = made(text, **SIZES, ease=ease).plan
    return [f.code for f in fold(plan).findings if f.code in ("sleeve-tight", "lid-tight")]


@pytest.mark.parametrize(("more", "layers"), (("", 3), (MAT.format("tops[3]", "under"), 4),
                                              (MAT.format("corners.walls[1]", "over"), 4)))
def test_a_sleeve_has_room_for_every_layer(more, layers):
    """A wall of each and the sleeve's tab, and a mat inside the sleeve or outside on the drawer.

    Counted by hand, to 0.01 mm.
    """
    text = DRAWER + SLEEVE + more
    assert set(found(text, f"{layers * PAPER - 0.01:.2f}")) == {"sleeve-tight"}
    assert found(text, f"{layers * PAPER + 0.01:.2f}") == []


@pytest.mark.parametrize(("more", "layers"), (("", 4), (MAT.format("base_tabs.walls[1]", "over"), 5),
                                              (MAT.format("base_tabs.walls[1]", "under"), 4)))
def test_a_lid_has_room_for_mats_outside_the_base(more, layers):
    """Two walls and the tabs behind those of the lid, and a mat outside on the base.

    One inside it takes no room.
    """
    assert "lid-tight" in found(LID + more, f"{layers * PAPER - 0.01:.2f}")
    assert found(LID + more, f"{layers * PAPER + 0.01:.2f}") == []
