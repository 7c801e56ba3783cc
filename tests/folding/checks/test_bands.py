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


@pytest.mark.parametrize(("inset", "short"), (("ease/4", False), ("ease", True)))
def test_a_band_round_faces_that_do_not_meet(inset, short):
    """Where each of four faces lacks 1 mm at both ends, 8 mm of 10 are missing, and 1.9 mm for the paper.

    Round a convex outline with an offset of 0.3 mm 2·π·0.3 mm more are needed (Steiner's formula, textbook).
    """
    faces = "bare = faces(strip, x=group(" + ", ".join(
        f"offset(posts.bays[{k}].left, {inset})..offset(posts.bays[{k}].right, -{inset})" for k in range(1, 5)
    ) + "))\n"
    sash = "sash = band(bare, width=dust, lap=lap)"
    assert found(SLEEVE + faces + sash) == ([("band-short", sash)] if short else [])


@pytest.mark.parametrize(("wide", "too_wide"), (("wall", False), ("wall + more", True)))
def test_a_band_is_no_wider_than_its_faces(wide, too_wide):
    """A sleeve 80 mm long takes a band of 80 mm, and not one of 85 mm."""
    band = f"sash = band(walls, width={wide}, lap=lap)"
    assert (("tab-sticks-out", band) in found(SLEEVE + band)) is too_wide
