"""Lids and sleeves with too much room fall off."""
from __future__ import annotations

import pytest

from generator.folding import fold
from tests.folding.checks.sources import LID_AND_BASE, found
from tests.folding.checks.sources import SIZES as BOX_SIZES
from tests.folding.checks.test_assembly import CARTON
from tests.folding.test_sleeves import DRAWER, PAPER, SIZES, SLEEVE
from tests.paper.statement_evaluation import made


@pytest.mark.parametrize(("ease", "loose"), (("1.5", False), ("4.08", False), ("4.12", True)))
def test_a_lid_of_its_own_piece(ease, loose):
    """The paper of both walls takes 0.6 mm; 3.5 mm beyond it are play (common practice, no source)."""
    assert {code for code, _ in found(LID_AND_BASE, ease=ease)} == ({"lid-loose"} if loose else set())


def test_a_lid_that_is_hardly_too_tight():
    """0.56 and 0.6 mm would both be 0.6 mm: they are worded finer."""
    across, deep = fold(made(LID_AND_BASE, **{**BOX_SIZES, "ease": "0.56"}).plan).findings
    assert across.code == deep.code == "lid-tight"
    assert "about 0.56 mm wider than 'base', and the paper of both walls takes about 0.6 mm" in across.message


@pytest.mark.parametrize(("more", "loose"), (("-0.01", False), ("0.01", True)))
def test_a_sleeve(more, loose):
    """Across two layers lie between drawer and sleeve and upwards three; 3.5 mm beyond the two are play."""
    ease = f"{2 * PAPER + 3.5 + float(more):.2f}"
    codes = [f.code for f in fold(made(DRAWER + SLEEVE, **SIZES, ease=ease).plan).findings]
    assert codes == (["lid-loose"] if loose else [])


def test_a_flap_that_reaches_beyond_the_floor():
    """Across a floor 40 mm deep a flap of 25 mm lies within; of 45 mm it reaches 5 mm beyond."""
    floor = [line for line in CARTON.split("\n") if line.startswith("glue(") and "order" in line][0]
    assert ("tab-sticks-out", floor) in found(CARTON, dust=45)
    assert "tab-sticks-out" not in dict(found(CARTON))
