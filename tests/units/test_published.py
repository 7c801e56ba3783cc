"""Values from published standards, and facts of the trade."""
from __future__ import annotations

from fractions import Fraction

import mpmath
import pytest

from generator.units import (
    INCH,
    Quantity,
    as_text,
    decimal_text,
    display_measure,
    length,
    list_text,
    number,
    parse_length,
)


def mm(text: str) -> Fraction:
    return parse_length(text).value


def test_an_inch_is_25_4_millimetres():
    """NIST Handbook 44, Appendix C, and NIST SP 811, Appendix B: exact."""
    assert Fraction("25.4") == INCH.mm
    assert mm("1 in") == mm("25.4 mm") == mm("2.54 cm") == mm("0.0254 m") == mm('1"')
    assert as_text(display_measure(parse_length("25.4 mm"), "in")) == "1 in"


def test_a_foot_and_a_yard_are_whole_inches():
    """NIST Handbook 44, Appendix C: 1 ft = 12 in = 0.3048 m, 1 yd = 36 in = 0.9144 m, exact."""
    assert mm("12 in") == mm("0.3048 m")
    assert mm("36 in") == mm("0.9144 m")


def test_square_and_cubic_inches():
    """NIST Handbook 44, Appendix C: 1 sq in = 6.4516 cm², 1 cu in = 16.387064 cm³, exact."""
    inch = parse_length("1 in")
    assert (inch * inch).value == Fraction("645.16")
    assert (inch * inch * inch).value == Fraction("16387.064")
    assert as_text(display_measure(Quantity(Fraction("645.16"), 2), "in")) == "1 sq in"
    assert as_text(display_measure(inch * inch, "mm")) == "about 6.5 cm²"
    assert as_text(display_measure(Quantity(Fraction("16387.064"), 3), "in")) == "1 cu in"


POINT = parse_length("1 in") / number(72)   # 1 pt = 1/72 in
PIXEL = parse_length("1 in") / number(96)   # 1 px = 1/96 in


@pytest.mark.parametrize(("width", "height", "points"), [
    ("210 mm", "297 mm", (595.27559, 841.88976)),       # A4
    ("297 mm", "420 mm", (841.88976, 1190.55118)),      # A3, points by arithmetic
    ("148 mm", "210 mm", (419.52756, 595.27559)),       # A5, points by arithmetic
])
def test_a_sizes_in_points(width, height, points):
    """ISO 216: A4 210 × 297, A3 297 × 420, A5 148 × 210 mm; with 72 pt to the inch."""
    for side, want in zip((width, height), points, strict=True):
        assert float((parse_length(side) / POINT).value) == pytest.approx(want, abs=1e-4)


def test_a_sizes_halve():
    """ISO 216: each size is the one before cut across, rounded to whole millimetres, with sides about 1 to
    √2.
    """
    assert (mm("420 mm") // 2, mm("297 mm") // 2) == (mm("210 mm"), mm("148 mm"))
    with mpmath.workdps(30):
        for n, (short, long) in {3: (297, 420), 4: (210, 297), 5: (148, 210)}.items():
            ideal = mpmath.mpf(1000) * mpmath.power(2, mpmath.mpf(1) / 4 - mpmath.mpf(n) / 2)
            assert abs(long - ideal) < 1
            assert abs(short - ideal / mpmath.sqrt(2)) < 1


def test_a4_in_css_pixels():
    """CSS Values and Units: 1 in = 96 px, so A4 is 793.7008 px wide."""
    assert float((parse_length("210 mm") / PIXEL).value) == pytest.approx(793.7008, abs=1e-4)
    assert parse_length("1 in").same_as(number(96) * PIXEL)
    assert (number(3) * POINT).same_as(number(4) * PIXEL), "1 pt = 4/3 px, the same source"


@pytest.mark.parametrize(("inches", "mm_text", "points"), [
    (("8 1/2 in", "11 in"), ("215.9 mm", "279.4 mm"), (612, 792)),      # Letter
    (("11 in", "17 in"), ("279.4 mm", "431.8 mm"), (792, 1224)),        # Tabloid: from memory
])
def test_letter_and_tabloid(inches, mm_text, points):
    """ANSI/ASME Y14.1, sizes A and B: exact in inches, millimetres and points."""
    for inch, metric, point in zip(inches, mm_text, points, strict=True):
        assert mm(inch) == mm(metric)
        assert (parse_length(inch) / POINT).value == point
        assert as_text(display_measure(parse_length(metric), "in")) == inch
        assert as_text(display_measure(parse_length(inch), "mm")) == metric


def test_a_converted_length_keeps_the_digits_of_its_rounding():
    """NIST SP 811, B.7.2: 36 ft, known to a foot, is 11.0 m; the zero stays since it was worked out."""
    metres = parse_length("432 in") / parse_length("1 m")
    assert metres.value == Fraction("10.9728")
    assert decimal_text(metres.value, 1, keep_zeros=True) == "11.0"


def test_a_rounded_measure_has_no_more_digits_than_its_tool():
    """NIST SP 811, B.7.2, by the same rule: what is rounded to 1/16 in (1.6 mm) or 0.1 mm shows no finer
    part.
    """
    third = parse_length("100 mm") / number(3)
    assert as_text(display_measure(third, "mm")) == "about 33.3 mm"
    assert as_text(display_measure(third, "in")) == "about 1 5/16 in"


def test_a_tie_goes_to_the_even_digit():
    """NIST SP 811, B.7.1 (from memory): a 5 with nothing after it leaves the last digit even."""
    assert [decimal_text(Fraction(text), 1) for text in ("6.25", "6.35", "6.251", "6.349")] == [
        "6.2", "6.4", "6.3", "6.3"]
    assert decimal_text(Fraction(6), 1) == "6" and decimal_text(Fraction(6), 1, keep_zeros=True) == "6.0"


def test_marks_of_a_six_sided_box():
    """Common practice, no source: scores every 1 3/4 in on a strip, with ticks half-way."""
    panel = parse_length("1 3/4 in")
    panels = [number(n) * panel for n in range(1, 7)]
    ticks = [number(2 * n - 1) * panel / number(2) for n in range(1, 7)]
    assert list_text(panels, "in") == "1 3/4, 3 1/2, 5 1/4, 7, 8 3/4 and 10 1/2 in"
    assert list_text(ticks, "in") == "7/8, 2 5/8, 4 3/8, 6 1/8, 7 7/8 and 9 5/8 in"
    crown = parse_length("5 3/4 in") - parse_length("4 in")
    assert as_text(display_measure(crown, "in")) == "1 3/4 in"


def test_inch_fractions_in_decimals():
    """Common practice, no source: the decimal equivalents that are printed on machinists' charts."""
    for fraction, decimal in {"1/64": "0.015625", "3/32": "0.09375", "5/16": "0.3125", "27/64": "0.421875",
                              "13/16": "0.8125", "63/64": "0.984375"}.items():
        assert as_text(display_measure(parse_length(f"{decimal} in"), "in")) == f"{fraction} in"
        assert length(Fraction(decimal) * INCH.mm) == parse_length(f"{fraction} in")
