"""How one measure is worded: plain text, speech and HTML side by side."""
from __future__ import annotations

import math
from fractions import Fraction

import pytest

from generator.units import (
    Angle,
    DisplayMeasure,
    Quantity,
    QuantityError,
    as_html,
    as_speech,
    as_text,
    default_bench,
    display_measure,
    length,
    number,
)
from tests.units.strategies import INCH

FINE = Fraction(1, 32) * INCH


def inches(text: str) -> Quantity:
    return length(Fraction(text) * INCH)


def area(mm2: str | float) -> Quantity:
    return Quantity(mm2 if isinstance(mm2, float) else Fraction(mm2), 2)


METRIC = [  # what, plain text, speech
    (length(62), "62 mm", "62 millimetres"),
    (length(1), "1 mm", "1 millimetre"),
    (length(-1), "−1 mm", "minus 1 millimetre"),
    (length(0), "0 mm", "0 millimetres"),
    (length(1200), "1200 mm", "1200 millimetres"),
    (length(Fraction("36.5")), "36.5 mm", "36.5 millimetres"),
    (length(Fraction("-36.5")), "−36.5 mm", "minus 36.5 millimetres"),
    (length(Fraction("36.24")), "about 36.2 mm", "about 36.2 millimetres"),
    (length(Fraction("36.25")), "about 36.2 mm", "about 36.2 millimetres"),     # a tie, to the even digit
    (length(Fraction("36.35")), "about 36.4 mm", "about 36.4 millimetres"),
    (length(Fraction("35.96")), "about 36 mm", "about 36 millimetres"),
    (length(36.0), "about 36 mm", "about 36 millimetres"),                      # a float is never certain
    # what is there is not shown as 0
    (length(Fraction("0.04")), "0.04 mm", "0.04 millimetres"),
    (length(Fraction("0.004")), "0.004 mm", "0.004 millimetres"),
    (length(0.0444), "about 0.04 mm", "about 0.04 millimetres"),
    (length(Fraction("0.0004")), "about 0 mm", "about 0 millimetres"),          # a hair's breadth is none
    (length(1e-12), "about 0 mm", "about 0 millimetres"),
    (length(-1e-12), "about 0 mm", "about 0 millimetres"),
    (inches("1"), "25.4 mm", "25.4 millimetres"),
    (area("36"), "36 mm²", "36 square millimetres"),
    (area("12.25"), "about 12.2 mm²", "about 12.2 square millimetres"),
    (area("360"), "3.6 cm²", "3.6 square centimetres"),
    (area("100"), "1 cm²", "1 square centimetre"),
    (area(math.pi * 100), "about 3.1 cm²", "about 3.1 square centimetres"),
    (Quantity(Fraction(1000), 3), "1 cm³", "1 cubic centimetre"),
    (Quantity(Fraction(999), 3), "999 mm³", "999 cubic millimetres"),
    (number(8), "8", "8"),
    (number(-8), "−8", "minus 8"),
    (number(Fraction(3, 2)), "1.5", "1.5"),
    (number(Fraction(1, 3)), "about 0.33", "about 0.33"),
    (Angle(Fraction(45)), "45°", "45 degrees"),
    (Angle(Fraction(1)), "1°", "1 degree"),
    (Angle(36.2345), "about 36.2°", "about 36.2 degrees"),
    (Angle(Fraction(-45, 2)), "−22.5°", "minus 22.5 degrees"),
]

INCHES = [  # what, plain text, speech
    (inches("2"), "2 in", "2 inches"),
    (inches("1"), "1 in", "1 inch"),
    (inches("0"), "0 in", "0 inches"),
    (inches("1/2"), "1/2 in", "half an inch"),
    (inches("-1/2"), "−1/2 in", "minus half an inch"),
    (inches("1/4"), "1/4 in", "a quarter of an inch"),
    (inches("3/4"), "3/4 in", "three quarters of an inch"),
    (inches("1/8"), "1/8 in", "an eighth of an inch"),
    (inches("5/16"), "5/16 in", "five sixteenths of an inch"),
    (inches("1/32"), "1/32 in", "a thirty-second of an inch"),
    (inches("27/64"), "27/64 in", "twenty-seven sixty-fourths of an inch"),
    (inches("14/8"), "1 3/4 in", "1 and three quarters inches"),
    (inches("-7/4"), "−1 3/4 in", "minus 1 and three quarters inches"),
    (inches("5/2"), "2 1/2 in", "2 and a half inches"),
    (inches("105/8"), "13 1/8 in", "13 and an eighth inches"),
    (inches("0.3"), "about 5/16 in", "about five sixteenths of an inch"),
    (inches("1.01"), "about 1 in", "about 1 inch"),
    (length(30), "about 1 3/16 in", "about 1 and three sixteenths inches"),
    (length(25.4), "about 1 in", "about 1 inch"),
    (length(Fraction(1, 2)), "about 1/64 in", "about a sixty-fourth of an inch"),
    (length(Fraction(1, 8)), "about 0.005 in", "about 0.005 inches"),
    (length(1e-12), "about 0 in", "about 0 inches"),
    (inches("3") * inches("1/4"), "3/4 sq in", "three quarters of a square inch"),
    (inches("1/2") * inches("1"), "1/2 sq in", "half a square inch"),
    (inches("2") * inches("2"), "4 sq in", "4 square inches"),
    (area(1000.0), "about 1.6 sq in", "about 1.6 square inches"),
    (area("1000"), "about 1.6 sq in", "about 1.6 square inches"),
    (inches("1") * inches("1") * inches("2"), "2 cu in", "2 cubic inches"),
    (number(Fraction(3, 2)), "1.5", "1.5"),
    (Angle(Fraction(60)), "60°", "60 degrees"),
]

CASES = [("mm", *row) for row in METRIC] + [("in", *row) for row in INCHES]


@pytest.mark.parametrize(("system", "quantity", "text", "speech"), CASES,
                         ids=[f"{s} {t}" for s, _, t, _ in CASES])
def test_a_measure_in_print_and_in_speech(system, quantity, text, speech):
    """Both say the same measure, each as people write and say it."""
    words = display_measure(quantity, system)
    assert as_text(words) == text
    assert as_speech(words) == speech


@pytest.mark.parametrize(("quantity", "system", "html"), [
    (inches("7/4"), "in", '1\u202f3⁄4\u00a0in'),
    (inches("-1/2"), "in", '−1⁄2\u00a0in'),
    (inches("0.3"), "in", 'about\u00a05⁄16\u00a0in'),
    (inches("2"), "in", "2\u00a0in"),
    (inches("2") * inches("2"), "in", "4\u00a0sq\u00a0in"),
    (length(36.23), "mm", "about\u00a036.2\u00a0mm"),
    (Angle(36.23), "mm", "about\u00a036.2°"),
    (number(8), "mm", "8"),
])
def test_a_measure_on_the_page(quantity, system, html):
    """A real fraction, and joins at which no line breaks."""
    assert as_html(display_measure(quantity, system)) == html


@pytest.mark.parametrize(("system", "quantity", "text", "speech"), CASES,
                         ids=[f"{s} {t}" for s, _, t, _ in CASES])
def test_a_measure_on_the_page_reads_as_in_print(system, quantity, text, speech):
    """Without its tags the HTML has the figures of the plain text, and no ordinary space to break at."""
    html = as_html(display_measure(quantity, system))
    bare = html
    for tag in ('<span class="frac">', "</span>", "<sup>", "</sup>", "<sub>", "</sub>"):
        bare = bare.replace(tag, "")
    assert " " not in bare and "<" not in bare
    assert bare.replace("\u202f", " ").replace("\u00a0", " ").replace("⁄", "/") == text


@pytest.mark.parametrize(("finest", "text"), [
    (None, "about 1 7/16 in"), (FINE, "about 1 13/32 in"), (INCH / 64, "about 1 27/64 in"),
    (INCH / 8, "about 1 3/8 in"),
    (INCH, "about 1 in"), (default_bench("in").grid("board"), "about 1 3/8 in"),
    (Fraction(5), "about 1 7/16 in"),
])
def test_what_is_not_exact_is_rounded_to_the_marks_of_the_tool(finest, text):
    """√2 in to the marks of the tool; to sixteenths when the tool carries none in inches."""
    assert as_text(display_measure(length(math.sqrt(2) * 25.4), "in", finest=finest)) == text


@pytest.mark.parametrize(("finest", "text"),
                         [(None, "about 5/16 in"), (INCH / 10, "3/10 in"), (INCH / 8, "about 1/4 in"),
                                              (INCH / 5, "about 2/5 in")])
def test_a_rule_of_tenths_shows_tenths(finest, text):
    """An exact measure on the tool's own marks is shown exactly, also where they are no halves of halves."""
    assert as_text(display_measure(inches("0.3"), "in", finest=finest)) == text


def test_an_exact_fraction_is_never_rounded_to_a_coarser_grid():
    """A thirty-second stays one at a board of eighths: what is known is said."""
    assert as_text(display_measure(inches("33/32"), "in", finest=INCH / 8)) == "1 1/32 in"


@pytest.mark.parametrize(("mm", "system", "text", "speech"), [
    ("0.26", "mm", "0.26 mm", "0.26 millimetres"), ("0.255", "mm", "about 0.26 mm", "about 0.26 millimetres"),
    ("0.3", "mm", "0.3 mm", "0.3 millimetres"), ("0.26", "in", "about 0.010 in", "about 0.010 inches"),
    ("0.254", "in", "0.010 in", "0.010 inches"), ("25.4", "in", "1 in", "1 inch"),
    ("0.79375", "in", "1/32 in", "a thirty-second of an inch"),
])
def test_paper_has_more_decimals(mm, system, text, speech):
    """Thickness of paper: two decimals of a millimetre, three of an inch."""
    words = display_measure(length(Fraction(mm)), system, thickness=True)
    assert (as_text(words), as_speech(words)) == (text, speech)


def test_parts_without_a_name_are_still_said():
    """A rule of fiftieths is rare, and yet said."""
    assert as_speech(DisplayMeasure(False, 1, 3, 50, "", "in")) == "1 and 3 over 50 inches"
    assert as_speech(DisplayMeasure(False, 0, 3, 50, "", "in")) == "3 over 50 of an inch"


def test_words_do_not_change():
    """What was said stays said."""
    with pytest.raises(AttributeError):
        display_measure(length(3), "mm").whole = 4


@pytest.mark.parametrize("power", [-1, 4])
def test_what_has_no_name_is_not_printed(power):
    """Nobody can set a rule to a length to the fourth power."""
    with pytest.raises(QuantityError, match="has no name to be printed with") as caught:
        display_measure(Quantity(Fraction(3), power), "mm")
    assert caught.value.code == "units-mixed"


def test_a_mistake_of_the_program_is_not_taken_for_one_of_the_demonstrator():
    """A system or a grid that cannot be is no finding."""
    with pytest.raises(ValueError, match="no such system"):
        display_measure(length(1), "ft")
    with pytest.raises(ValueError, match="a grid is above nothing"):
        display_measure(length(1), "in", finest=Fraction(0))
