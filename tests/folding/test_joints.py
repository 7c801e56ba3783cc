"""Pieces glued and seamed to each other: a base in its walls, a liner on its panel, a lid over its base."""
from __future__ import annotations

import numpy as np
import pytest

from generator.folding import fold
from generator.folding.features.placements import rigid_motion
from tests.folding.sample_boxes import codes, folded, plan_of, source

WALLS = """
strip  = sheet(width=2*long + 2*short + tab, height=wall, paper=card)
posts  = score(strip, x=along(long, short, long, short))
walls  = faces(strip, x=posts.bays, y=bottom..top)
flap   = faces(strip, x=posts.last..right, y=bottom..top)
fold(posts, mountain)
glue(flap, under=walls.first)
"""
BASE = WALLS + """
base   = panel(rectangle(width=long + more - less, height=short + more - less), paper=card)
tabs   = attach(base.edges, rectangle(width=base.edges.length, height=tab))
fold(tabs.hinge, mountain)
glue(tabs, under=walls)
"""
LINER = (WALLS + "liner = panel(rectangle(width=long + more - less, height=wall - tab))\n"
         "glue(liner.faces, over=walls[3])\n")
FLAPS = """
box    = sheet(width=4*panel + tab, height=foot + wall)
line_  = score(box, y=foot)
posts  = score(box, x=every(panel, 4))
cut(box, x=posts, y=bottom..line_)
remove(box, x=posts.last..right, y=bottom..line_)
walls  = faces(box, x=posts.bays, y=line_..top)
flaps  = faces(box, x=posts.bays, y=bottom..line_)
tab_   = faces(box, x=posts.last..right, y=line_..top)
fold(posts, mountain)
fold(line_, mountain)
glue(tab_, under=walls.first)
plate  = panel(rectangle(width=panel + more - less, height=panel + more - less))
glue(flaps, over=plate.faces)
"""
SEAMED = """
one   = panel(rectangle(width=long, height=short))
side  = attach(one.edges, rectangle(width=one.edges.length, height=wall))
seam(side.edges.each[4], rotated(side.edges.each[2]))
fold(side.hinge, mountain)
other = panel(rectangle(width=long, height=short))
hem   = attach(other.edges[1], rectangle(width=long, height=tab))
fold(hem.hinge, mountain, by=90 deg)
seam(side[1].edges[3], hem.edges[3])
seam(side[3].edges[3], other.edges[3])
"""
BOX = {"long": 80, "short": 50, "wall": 60, "tab": 10}
SQUARE = {"panel": 50, "wall": 60, "tab": 10, "foot": 15}


def spots(piece) -> np.ndarray:
    """All corners of a piece where it is placed."""
    flat = np.concatenate([piece.corners(k) for k in range(len(piece.flat.panels))])
    return flat @ piece.placement[:3, :3].T + piece.placement[:3, 3]


@pytest.mark.parametrize(("more", "less", "gap", "wrong"),
                         [(0, 0, 0, []), (1, 0, 0.5, ["glue-apart"]), (0, 1, 0.5, []),
                                                           (0, 3, 1.5, ["glue-apart"])])
def test_a_base_fits_its_walls_or_is_found(more, less, gap, wrong):
    """One millimetre too large stands half a millimetre out at each side.

    An ease of half a millimetre a side is silent.
    """
    done = folded(BASE, **BOX, more=more, less=less)
    assert [r.gap for r in done.joints] == pytest.approx([gap] * 4, abs=1e-6)
    assert codes(done)[:1] == wrong and {f.line for f in done.findings} <= {12}


def test_a_base_lies_in_its_walls():
    """Its tabs stand within the walls, its floor at their lower edges.

    No corner of it lies outside the sleeve.
    """
    done = folded(BASE, **BOX, more=0, less=0)
    walls, base = map(spots, done.pieces)
    assert (base.min(axis=0) >= walls.min(axis=0) - 1e-6).all() and (base.max(axis=0) <= walls.max(axis=0)
                                                                     + 1e-6).all()
    assert np.ptp(base[:, 1]) == pytest.approx(10)


@pytest.mark.parametrize(("more", "less", "wrong"), [(0, 2, []), (0, 0, []), (1, 0, ["tab-sticks-out"])])
def test_a_liner_stays_on_its_panel_or_is_found(more, less, wrong):
    """It lies with its middle on the panel's; half a millimetre over each fold is too much."""
    done = folded(LINER, **BOX, more=more, less=less)
    assert codes(done) == wrong and [sheet.name for sheet in done.sheets] == ["liner"]
    (liner,), (walls,) = done.sheets, done.pieces
    assert spots(liner).mean(axis=0) == pytest.approx(walls.corners(2).mean(axis=0), abs=1e-6)


@pytest.mark.parametrize(("more", "less", "wrong"), [(0, 2, []), (0, 0, []), (1, 0, ["tab-sticks-out"])])
def test_a_plate_under_flaps_covers_their_floor_and_no_more(more, less, wrong):
    """A base plate of its own is held against the floor that the flaps go round."""
    assert codes(folded(FLAPS, **SQUARE, more=more, less=less)) == wrong


@pytest.mark.parametrize("tab", [0.5, 3, 6, 8, 10])
def test_edges_of_two_pieces_that_a_seam_joins_are_brought_together(tab):
    """A roof with a hem bent down by 90°, on the rims of two walls: it is wider than they are apart.

    From the free edge of the hem to the edge opposite it measures √(short² + hem²) across (Pythagoras), the
    rims are ``short`` apart; laid evenly each edge misses its rim by half the difference. Above a quarter of
    a millimetre that is said: the tolerance of seams.
    """
    done = folded(SEAMED, **BOX | {"tab": tab})
    miss = (np.hypot(BOX["short"], tab) - BOX["short"]) / 2
    assert [r.gap for r in done.joints] == pytest.approx([miss] * 2, abs=1e-6)
    assert codes(done) == ["seam-open"] * (2 if miss > 0.25 else 0)


def test_a_lid_is_placed_over_its_base():
    """Upside down, its roof on the rim, its walls round those of the base with the same air on both sides."""
    base, lid = map(spots, fold(plan_of(source("lidded-box"))).pieces)
    assert lid[:, 2].max() == pytest.approx(base[:, 2].max() + 0.36) and lid[:, 2].min() > base[:, 2].min()
    for axis in (0, 1):
        assert base[:, axis].min() - lid[:, axis].min() == pytest.approx(1)
        assert lid[:, axis].max() - base[:, axis].max() == pytest.approx(1)


def test_a_rigid_motion_is_found_again():
    """A turn and a shift made up by hand, from points that were moved by them."""
    points = np.random.default_rng(5).normal(size=(7, 3))
    cosine, sine = np.cos(0.7), np.sin(0.7)
    turn = np.array(((cosine, -sine, 0), (sine, cosine, 0),
                     (0, 0, 1))) @ np.array(((1, 0, 0), (0, 0, -1), (0, 1, 0)))
    move = rigid_motion(points, points @ turn.T + (3, -2, 5))
    assert np.allclose(move[:3, :3], turn) and move[:3, 3] == pytest.approx((3, -2, 5))
