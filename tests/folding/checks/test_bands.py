"""Bands go all round, and their laps hold."""
from __future__ import annotations

import pytest

from tests.folding.checks.sources import SLEEVE, found


@pytest.mark.parametrize(("faces", "short"), (("walls", False), ("walls[1..3]", True), ("walls.odd", True)))
def test_a_band_goes_all_round(faces, short):
    """Between opposite walls lie 40 or 60 mm; neighbours meet."""
    sash = f"sash = band({faces}, width=dust, lap=tab)"
    assert found(SLEEVE + sash) == ([("band-short", sash)] if short else [])


@pytest.mark.parametrize(("lap", "narrow"), (("hole", True), ("more", False)))
def test_the_lap_of_a_band(lap, narrow):
    """Under 5 mm glue has nothing to hold, as with tabs."""
    sash = f"sash = band(walls, width=dust, lap={lap})"
    assert found(SLEEVE + sash) == ([("tab-narrow", sash)] if narrow else [])
