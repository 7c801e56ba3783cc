"""What published sources say of rounding."""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.regauge.problem import AT_LEAST, AT_MOST, rounded_inward
from generator.units import converted_figures
from tests.regauge.sample_boxes import INCH, answer, six


@pytest.mark.parametrize(("factor", "original", "converted"), [
    (Fraction("0.3048"), "36", "11.0"),         # NIST SP 811, B.7.2: 36 ft are 11.0 m
    (1 / INCH, "30", "1.18"),                   # begins with a smaller digit: one figure more
    (1 / INCH, "12", "0.47"),                   # begins with a greater one: as many
    (INCH, "1.75", "44.4"),                     # 44.45, and a tie goes to the even digit (B.7.1)
    (INCH, "0.5", "13"), (Fraction(1000), "1", "1000"), (Fraction(1, 3), "999", "333.0")])
def test_conversions_keep_their_figures(factor, original, converted):
    """As many significant figures as the original, one more where the first digit is smaller (NIST SP 811,
    B.7.2).
    """
    assert converted_figures(Fraction(original) * factor, original) == converted


def test_limits_are_rounded_inward():
    """11 ± 0.3 mm become 0.422 to 0.444 in (ANSI/IEEE 268), the least limit up and the greatest down."""
    thousandth = INCH / 1000
    assert rounded_inward(Fraction("10.7"), thousandth, AT_LEAST) / INCH == Fraction("0.422")
    assert rounded_inward(Fraction("11.3"), thousandth, AT_MOST) / INCH == Fraction("0.444")


def test_controlled_rounding_keeps_sums_and_the_other_kind_does_not():
    """Rounding that keeps sums is controlled rounding (Bacharach 1966): the strip is six panels and the tab
    to the letter.
    """
    found = answer(six())
    values, strip = found.best.values, found.best.plan.state(0)
    assert strip.width.value == 6 * values["panel"] + values["tab"]
    assert [m.position.value for m in strip.marks if m.name == "panels"] == [k * values["panel"]
                                                                             for k in range(1, 7)]
    row = next(row for row in found.separate_rounding.rows if row.name == "panels")
    assert row.spread and sum(row.widths) != 6 * row.widths[0]
