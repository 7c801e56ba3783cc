"""Properties of wording: what is printed can be read back, adds up, and is the nearest there is."""
from __future__ import annotations

import html
import re
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

import mpmath
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.units import (
    Angle,
    as_html,
    as_speech,
    as_text,
    decimal_text,
    default_bench,
    display_measure,
    length,
    number,
    parse_angle,
    parse_length,
)
from tests.units.strategies import INCH, inch_lengths, metric_lengths

quick = settings(deadline=None)
grids = st.sampled_from([None, INCH / 8, INCH / 16, INCH / 32, INCH / 64])
IN_MM = {"mm": Fraction(1), "in": INCH}
SAID = {"half": 2, "halves": 2, "quarter": 4, "quarters": 4, "eighth": 8, "eighths": 8, "sixteenth": 16,
        "sixteenths": 16, "thirty-second": 32, "thirty-seconds": 32, "sixty-fourth": 64, "sixty-fourths": 64}
TO_TWELVE = "one two three four five six seven eight nine ten eleven twelve".split()
TEENS = "thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
TENS = "twenty thirty forty fifty sixty".split()


def heard(text: str) -> int:
    """The number that a word says: an ear of the test's own."""
    if text in ("a", "an"):
        return 1
    tens, _, units = text.partition("-")
    if tens in TENS:
        return 20 + 10 * TENS.index(tens) + (heard(units) if units else 0)
    return 1 + (TO_TWELVE + TEENS).index(text)


def heard_inches(speech: str) -> Fraction:
    """The inches that are said aloud."""
    said = re.sub(r" (of an inch|an inch|inch|inches)$", "", speech)
    whole, _, part = said.partition(" and ") if " and " in said else (
        (said, "", "") if said[0].isdigit() else ("0", "", said))
    if not part:
        return Fraction(whole)
    *top, parts = part.split(" ")
    return int(whole) + Fraction(heard(top[0]) if top else 1, SAID[parts])


def without_tags(markup: str) -> str:
    """What a reader copies from the page."""
    return html.unescape(re.sub(r"<[^>]*>", "", markup))


@quick
@given(inch_lengths, grids)
def test_inches_are_read_back_from_every_form(mm, finest):
    """Down to sixty-fourths, whatever the tool, text and page read back exactly, and speech says the same."""
    words = display_measure(length(mm), "in", finest=finest)
    assert not words.about
    assert parse_length(as_text(words)).value == mm
    assert parse_length(without_tags(as_html(words))).value == mm
    assert heard_inches(as_speech(words)) * INCH == mm


@quick
@given(metric_lengths)
def test_millimetres_are_read_back_from_every_form(mm):
    """Down to tenths, text and page read back exactly, and speech has the same figures."""
    words = display_measure(length(mm), "mm")
    assert not words.about
    assert parse_length(as_text(words)).value == mm
    assert parse_length(without_tags(as_html(words))).value == mm
    figures, unit = as_speech(words).split()
    assert Fraction(figures) == mm and unit == ("millimetre" if mm == 1 else "millimetres")


@quick
@given(st.integers(0, 3600))
def test_degrees_are_read_back(tenths):
    """Angles to a tenth of a degree, too."""
    angle = Angle(Fraction(tenths, 10))
    assert parse_angle(as_text(display_measure(angle, "mm"))) == angle


@quick
@given(st.sampled_from(["in", "mm"]), st.lists(st.integers(1, 400), min_size=1, max_size=12))
def test_printed_parts_add_up_to_the_printed_total(system, counts):
    """On the grid of the rule, the parts as printed sum to the total as printed."""
    step = default_bench(system).grid("rule")
    parts = [length(n * step, f"part{i}") for i, n in enumerate(counts)]
    total = sum(parts[1:], parts[0])
    printed = [parse_length(as_text(display_measure(part, system))).value for part in parts]
    assert sum(printed) == parse_length(as_text(display_measure(total, system))).value


@quick
@given(st.sampled_from(["in", "mm"]), st.integers(1, 400), st.integers(2, 24))
def test_a_printed_panel_times_its_count_is_the_printed_strip(system, n, sides):
    """Equal panels as printed fill the strip as printed."""
    panel = length(n * default_bench(system).grid("rule"), "panel")
    strip = number(sides) * panel
    assert sides * parse_length(as_text(display_measure(panel,
                                                        system))).value == parse_length(
                                                            as_text(display_measure(strip, system))).value


@quick
@given(st.sampled_from(["in", "mm"]), st.fractions(min_value=-2000, max_value=2000, max_denominator=10 ** 6),
       grids)
def test_about_is_said_exactly_when_the_figures_are_not_the_value(system, mm, finest):
    """An exact length is about if and only if what is shown differs from it."""
    words = display_measure(length(mm), system, finest=finest)
    assert words.about == (words.shown * IN_MM[words.unit] != mm)


@quick
@given(st.sampled_from(["in", "mm"]), st.floats(min_value=-2000, max_value=2000), grids)
def test_a_float_is_always_about(system, mm, finest):
    """Nothing that came out of a root or a sine is shown as certain."""
    assert display_measure(length(mm), system, finest=finest).about


@quick
@given(st.fractions(min_value=1, max_value=2000), grids)
def test_what_is_shown_in_inches_is_the_nearest_mark(mm, finest):
    """No length is further from its words than half a step of the tool."""
    shown = display_measure(length(mm), "in", finest=finest).shown * INCH
    assert abs(shown - mm) <= (finest or INCH / 16) / 2


@quick
@given(st.integers(1, 10 ** 6), st.sampled_from([INCH / 8, INCH / 16, INCH / 32]))
def test_roots_are_shown_as_the_nearest_mark(n, finest):
    """Against mpmath with fifty digits: √n in is worded as the nearest mark to it, which is never a tie."""
    with mpmath.workdps(50):
        root = mpmath.sqrt(n)
        parts = int(INCH / finest)
        nearest = Fraction(int(mpmath.nint(root * parts)), parts)
        about = length(float(root) * 25.4)
    assert display_measure(about, "in", finest=finest).shown == nearest


@quick
@given(st.fractions(min_value=0, max_value=10 ** 6, max_denominator=4000), st.integers(0, 4))
def test_decimals_are_rounded_as_the_decimal_library_rounds(value, places):
    """Against Python's decimal module: half to even, as NIST SP 811, B.7.1 (from memory) has it."""
    tie_safe = Decimal(value.numerator * 10 ** 40 // value.denominator).scaleb(-40)
    if value.denominator and (value * 10 ** 40).denominator != 1:
        # cut digits only matter when they would make a tie of what is none
        tie_safe += Decimal(1).scaleb(-41)
    want = tie_safe.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN)
    assert Decimal(decimal_text(value, places)) == want
    assert decimal_text(value, places, keep_zeros=True) == f"{want:f}"
