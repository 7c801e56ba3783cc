"""The room that is kept for words is never too small."""
from __future__ import annotations

import string

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import ImageFont

from generator.drawing.lettering import (
    FRACTION_GAP,
    FRACTION_SIZE,
    LETTER_SIZE,
    LETTER_WIDTHS,
    SMALL_LETTER_SIZE,
    DualText,
    text_block_size,
    text_runs,
    text_width,
)

# the sans-serif that Pillow brings along, as a type that this project did not choose
TYPE = ImageFont.load_default(1000)
USED = string.ascii_letters + string.digits + " ,.:()/×–-+"


@pytest.mark.parametrize("letter", USED)
def test_no_letter_is_wider_than_the_table_says(letter):
    """Each letter of an independent sans-serif is at most as wide as its entry."""
    assert TYPE.getlength(letter) / 1000 <= LETTER_WIDTHS[letter] + 1e-9


@settings(deadline=None)
@given(st.text(alphabet=USED, max_size=30))
def test_no_line_is_wider_than_reckoned(text):
    """Without fractions a line is the sum of its letters."""
    if "/" not in text:
        # kerning may add a hair
        assert TYPE.getlength(text) / 1000 * LETTER_SIZE <= text_width(text) + 0.02 * LETTER_SIZE


@pytest.mark.parametrize(("text", "kinds"), [
    ("62 mm", ["62 mm"]),
    ("3/4 in", ["3", "⁄", "4", " in"]),
    ("1 3/4 in", ["1", "3", "⁄", "4", " in"]),
    ("about 1 15/16 in", ["about 1", "15", "⁄", "16", " in"]),
    ("10 1/2 × 5 5/8 in", ["10", "1", "⁄", "2", " × 5", "5", "⁄", "8", " in"]),
    ("24 × 5 mm", ["24 × 5 mm"]),
    ("and/or", ["and/or"]),
])
def test_fractions_are_found(text, kinds):
    """Every fraction is set as one, close to the whole number before it; nothing else is taken apart."""
    assert [run.text for run in text_runs(text)] == kinds


def test_a_fraction_takes_less_room_than_figures():
    """Small figures count as small."""
    assert text_width("3/4") == pytest.approx((2 * LETTER_WIDTHS["3"] * FRACTION_SIZE + LETTER_WIDTHS["⁄"])
                                              * LETTER_SIZE)
    assert text_width("1 3/4") == pytest.approx(text_width("1") + text_width("3/4") + FRACTION_GAP
                                                * LETTER_SIZE)


def test_a_pair_is_two_lines_and_plain_words_are_one():
    """Inches stand over millimetres; room is kept for both, whichever the page shows."""
    pair, plain = DualText("1 1/4 in", "32 mm"), DualText.plain("glue")
    assert [system for system, _ in pair.lines] == ["in", "mm"] and [s for s, _ in plain.lines] == [""]
    assert text_block_size(pair)[1] > 2 * LETTER_SIZE * 0.9 and text_block_size(plain)[1] < 1.2 * LETTER_SIZE
    assert text_block_size(pair)[0] == max(text_width("1 1/4 in"), text_width("32 mm"))
    assert text_block_size(pair, SMALL_LETTER_SIZE)[0] < text_block_size(pair)[0]
