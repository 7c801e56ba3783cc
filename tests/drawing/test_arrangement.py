"""The last action is drawn: a lid on its base, a drawer half in its sleeve, in the tutorials' sizes."""
from __future__ import annotations

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
    """As high as the base and the card of the lid: 1 5/8 in and 0.29 mm."""
    points = assembled("biscuit-box").points()
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
