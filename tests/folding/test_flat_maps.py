"""The planar map: panels, hinges and edges of a piece."""
from __future__ import annotations

import numpy as np
import pytest

from generator.folding.planar_map import flat_map
from tests.paper.statement_evaluation import made


def mapped(text, counts=None, **mm):
    """The flat map of the first piece that these statements make."""
    plan = made(text, counts, **mm).plan
    return flat_map(plan.pieces[0], plan.state(0))


def test_a_grid_of_scores_makes_panels_and_hinges():
    """Three by two panels of 20 by 30: seven hinges, whose lengths and neighbours are those of a grid."""
    flat = mapped("s = sheet(width=3*w, height=2*h)\nfold(score(s, x=along(w, w)), mountain)\n"
                  "fold(score(s, y=h), valley)", w=20, h=30)
    assert [p.polygon.area for p in flat.panels] == pytest.approx([600] * 6)
    assert len(flat.hinges) == 7 and sorted(round(h.length) for h in flat.hinges) == [20] * 3 + [30] * 4
    assert {h.bend.sign for h in flat.hinges} == {1, -1} and not flat.findings


def test_the_left_panel_of_a_hinge_lies_on_its_left():
    """Seen along the hinge; and a free edge has its panel on the left."""
    flat = mapped("s = sheet(width=3*w, height=2*h)\nfold(score(s, x=along(w, w)), mountain)\n"
                  "fold(score(s, y=h), valley)", w=20, h=30)
    for line, panel in [*((h, h.left) for h in flat.hinges), *((e, e.panel) for e in flat.edges)]:
        step, middle = line.end - line.start, np.asarray(flat.panels[panel].polygon.centroid.coords[0])
        assert step[0] * (middle - line.start)[1] - step[1] * (middle - line.start)[0] > 0


def test_the_printed_side_decides_which_way_a_mountain_bends():
    """A mountain's ridge stands on the printed side.

    Towards the viewer when the plain side is up, away when the printed is.
    """
    for up, sign in (("plain", 1), ("printed", -1)):
        flat = mapped(f"s = sheet(width=2*w, height=w, up={up})\nfold(score(s, x=w), mountain)", w=20)
        assert [h.bend.sign for h in flat.hinges] == [sign]


def test_a_score_that_is_not_folded_parts_nothing():
    """The panels on both sides of it are one."""
    flat = mapped("s = sheet(width=2*w, height=2*w)\na = score(s, x=w)\nb = score(s, y=w)\nfold(a, mountain)",
                  w=20)
    assert len(flat.panels) == 2 and len(flat.hinges) == 1
    assert [f.code for f in flat.findings] == ["score-unfolded"]


def test_a_window_is_a_hole_and_an_island_is_a_panel():
    """What is cut out is no paper; a square of folds within a panel is a panel in another one's hole."""
    flat = mapped("s = sheet(width=6*w, height=6*w)\n"
                  "remove(s, x=left + w..left + 2*w, y=bottom + w..bottom + 2*w)\n"
                  "f = score(s, polygon(at(3*w, 3*w), at(5*w, 3*w), at(5*w, 5*w), at(3*w, 5*w)))\n"
                  "fold(f, mountain)", w=10)
    assert sorted(round(p.polygon.area) for p in flat.panels) == [400, 3600 - 100 - 400]
    assert max(len(p.polygon.interiors) for p in flat.panels) == 2 and len(flat.hinges) == 4


def test_a_curved_fold_makes_its_neighbours_soft():
    """What lies beside a curve does not stay flat; what a score parts from it does."""
    flat = mapped("s = sheet(width=4*w, height=6*w)\nshelf = score(s, y=2*w)\n"
                  "c = score(s, arc(at(left, 2*w), at(right, 2*w), bulge=w))\nfold(c, mountain)", w=20)
    assert [p.soft for p in flat.panels].count(False) == 1 and flat.soft_folds and not flat.findings
