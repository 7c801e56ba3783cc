"""The six-sided box of the trade: common practice, no source; its metric values are from memory.

Test data only.
"""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.regauge import report_text
from generator.regauge.comparison import binding_reasons
from generator.units import bench_from
from tests.regauge.sample_boxes import BENCHES, INCH, answer, six, texts, wish

YIELDS = (("12x12 in", 2), ("letter", 1))


def test_the_box_of_the_trade_comes_out():
    """Panels 45, foot 50, wall 50, crown 45, tab 12 mm become 1 3/4, 2, 2, 1 3/4 and 1/2 in, the strip 5 3/4
    in high.
    """
    found = answer(six(), wish(*YIELDS))
    assert texts(found) == {"panel": "1 3/4 in", "foot": "2 in", "wall": "2 in", "crown": "1 3/4 in",
                            "tab": "1/2 in"}
    strip = found.best.plan.state(0)
    assert (strip.width.value / INCH, strip.height.value / INCH) == (11, Fraction(23, 4))
    assert found.leading.certain


def test_wide_panels_cannot_be_had_and_both_reasons_are_told():
    """Drawn 47 mm, 1 7/8 in would be nearest; ticks would fall on sixteenths, and Letter would be
    too short.
    """
    found = answer(six(47), wish(*YIELDS))
    assert texts(found)["panel"] == "1 3/4 in"
    bind, = (b for b in binding_reasons(found.problem, found.best.values) if b.name == "panel")
    assert bind.nearer == INCH * 15 / 8
    ticks, letter = bind.reasons
    assert "ticks of 'peaks'" in ticks and "between two marks" in ticks
    assert "Letter" in letter and "fewer than one blank" in letter
    assert ticks in report_text(found) and letter in report_text(found)


def test_kept_wide_panels_contradict_both():
    """Asked for on the spot, 1 7/8 in contradict the ticks on the board, and Letter; without them everything
    fits.
    """
    found = answer(six(47), wish(*YIELDS, panel="1 7/8 in"))
    assert found.best is None
    sets = [{demand.text for demand in conflict.demands} for conflict in found.conflicts]
    assert {"panel kept at 1 7/8 in", "one blank from one Letter sheet"} in sets
    assert {"panel kept at 1 7/8 in", "the ticks of 'peaks' on the scoring board (line 15)"} in sets
    assert len(sets) == 2
    relaxed, = found.relaxations
    assert "without keeping panel" in relaxed.text and relaxed.values["panel"] == INCH * 7 / 4


@pytest.mark.parametrize(("number", "panel"), [(2, "1 3/4 in"), (8, None)])
def test_how_often_it_comes_out_of_a_sheet_is_asked(number, panel):
    """Two strips of 11 by 5 3/4 in come out of 12 by 12 in; eight of about that size never do."""
    found = answer(six(), wish(("12x12 in", number)))
    assert (texts(found)["panel"] if found.best else None) == panel


def test_two_strips_bound_their_height():
    """Drawn 1 mm higher in every part the strip would be 6 1/8 in high; two strips from 12 in hold
    it at 6.
    """
    text = six().replace("foot: 50 mm, wall: 50 mm, crown: 45 mm", "foot: 53 mm, wall: 53 mm, crown: 48 mm")
    free, bound = answer(text), answer(text, wish(("12x12 in", 2)))
    assert free.best.plan.state(0).height.value > 6 * INCH >= bound.best.plan.state(0).height.value


def test_back_to_millimetres():
    """Drawn in inches, the same box has panels of 45 mm where the rule for the ticks is marked every half
    millimetre.
    """
    text = six().replace("drawn_in: mm", "drawn_in: in").replace(
        "panel: 45 mm, foot: 50 mm, wall: 50 mm, crown: 45 mm, tab: 12 mm",
        "panel: 1 3/4 in, foot: 2 in, wall: 2 in, crown: 1 3/4 in, tab: 1/2 in").replace(
            "edge=top)", "edge=top, tool=rule)")
    fine = {**BENCHES, "mm": bench_from({"rule": "0.5 mm"}, "mm")}
    assert texts(answer(text, benches=fine)) == {"panel": "45 mm", "foot": "50 mm", "wall": "50 mm",
                                                 "crown": "44 mm",
                                                 "tab": "13 mm"}
    # half of 45 mm falls between the marks of a rule of whole millimetres
    assert answer(text).best is None
