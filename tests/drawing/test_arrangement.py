"""The last action is drawn: a lid on its base, a drawer half in its sleeve, in the tutorials' sizes."""
from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from generator.drawing.folded.arrangement import assembled_solid
from generator.drawing.folded.fold_pictures import fold_pictures, solid_builders
from tests.tutorial.site_tutorials import folded_of, on_shelf


def assembled(slug: str):
    """The solid of the pieces of a tutorial put together, or None."""
    builders = solid_builders(*folded_of(on_shelf(slug)))
    return assembled_solid(builders, [builder.shape(builder.stages[-1]) for builder in builders])


def test_a_lid_lies_on_its_base():
    """As high as the base and the card of the lid: 1 5/8 in and 0.29 mm; the bow on it is not paper."""
    points = np.concatenate([part.points for part in assembled("biscuit-box").parts])
    assert np.ptp(points[:, 2]) == pytest.approx(1.625*25.4 + 0.29, abs=0.05)


def test_a_drawer_is_half_in_its_sleeve():
    """The sleeve lies round the drawer (61 × 26 round 60 × 25 mm), and two fifths of 90 mm are out of it.

    Of the paper; the ribbon to pull it by hangs farther out.
    """
    solid = assembled("tea-drawer")
    points = np.concatenate([part.points for part in solid.parts])
    assert sorted(np.ptp(points, axis=0)) == pytest.approx([26, 61, 90 + 0.4*90], abs=0.05)
    assert [body.place for body in solid.bodies] == ["", "round"]


def test_it_stands_with_the_last_step_and_in_words():
    """The picture says what was done; one piece alone is put together with nothing."""
    told = fold_pictures(*folded_of(on_shelf("biscuit-box"))).assembled
    assert told is not None and "lid put on it" in told.description
    assert fold_pictures(*folded_of(on_shelf("tea-caddy"))).assembled is None


def test_eight_wedges_stand_in_a_ring_and_a_ribbon_ties_them():
    """The corners of the ring lie on the ring that the source gives, 200 mm across, round a well of 60 mm.

    Eight boxes of 45 mm (a regular octagon's corners, to the play of a box); the ribbon goes once round,
    half-way up: 8 sides of 200 mm · sin 22.5° = 76.5 mm.
    """
    solid = assembled("ring-of-wedges")
    assert [(body.place, body.count) for body in solid.bodies] == [("ring", 8)]
    points = np.concatenate([part.points for part in solid.parts])
    far = np.linalg.norm(points[:, :2], axis=1)
    assert far.max() == pytest.approx(100, abs=0.3) and far.min() == pytest.approx(30, abs=0.3)
    corners = points[far > 99]
    turns = np.round(np.degrees(np.arctan2(corners[:, 1], corners[:, 0]))).astype(int) % 360
    assert len({int(turn) // 2 for turn in turns}) == 8 and set(np.diff(np.unique(turns // 2))) <= {22, 23}
    (ribbon,) = solid.ribbons
    level = ribbon[(np.abs(ribbon[:, 2] - 22.5) < 0.2) & (np.linalg.norm(ribbon[:, :2], axis=1) < 101.5)]
    assert np.linalg.norm(np.diff(level, axis=0), axis=1).sum() == pytest.approx(8*76.5, abs=8)
    assert "tied" in solid.notes and "ring" in fold_pictures(*folded_of(on_shelf("ring-of-wedges"))
                                                             ).assembled.description


def test_a_ribbon_is_tied_crosswise_over_the_lid():
    """Over the middle of the top both ways, down all four sides and under the floor, with a bow on top."""
    solid = assembled("biscuit-box")
    (ribbon,) = solid.ribbons
    points = np.concatenate([part.points for part in solid.parts])
    top = points[:, 2].max()
    assert ribbon[:, 2].min() < points[:, 2].min() and ribbon[:, 2].max() > top
    for axis in (0, 1):
        assert ribbon[:, axis].min() < points[:, axis].min() and ribbon[:, axis].max() > points[:, axis].max()
    middle = (points.min(axis=0) + points.max(axis=0))[:2] / 2
    knot = np.linalg.norm(ribbon[:, :2] - middle, axis=1) < 0.1
    assert (knot & (ribbon[:, 2] > top)).sum() >= 4


def test_boxes_that_make_no_ring_are_not_set_in_one():
    """Seven wedges of an eighth each leave a gap, and so nothing is drawn."""
    plan, folded = folded_of(on_shelf("ring-of-wedges"))
    seven = replace(plan, pieces=tuple(replace(info, boxes=7) if info.is_ribbon else info
                                       for info in plan.pieces))
    assert fold_pictures(seven, folded).assembled is None and fold_pictures(plan, folded).assembled
