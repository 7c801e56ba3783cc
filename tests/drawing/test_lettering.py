"""The room that is kept for words is the room that they take."""
from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import ImageFont

from generator.drawing.lettering import (
    FRACTION_GAP,
    FRACTION_SIZE,
    LETTER_SIZE,
    SMALL_LETTER_SIZE,
    DualText,
    line_width,
    text_block_size,
    text_runs,
    text_width,
    with_fractions,
    wrapped_lines,
)
from generator.drawing.typeface import BOLD, REGULAR

USED = "".join(sorted(letter for letter in REGULAR.glyphs if letter.isprintable()
                      and letter.isalnum()))[:600] + " ,.:()×–-+½"
# FreeType's measure of the same files, at one pixel a unit of the font
FREETYPE = {face: ImageFont.truetype(face.path, 2048, layout_engine=ImageFont.Layout.BASIC)
            for face in (REGULAR, BOLD)}


@settings(deadline=None)
@given(st.text(alphabet=USED, max_size=30), st.booleans())
def test_a_line_is_as_wide_as_freetype_says(text, bold):
    """Without fractions a line is the sum of its letters, in both weights."""
    assert line_width(text, 2048, bold) == pytest.approx(FREETYPE[BOLD if bold else REGULAR].getlength(text),
                                                         abs=0.5 * len(text) + 0.1)


@settings(deadline=None)
@given(st.lists(st.text(alphabet="abc WÜ", max_size=12), max_size=12), st.floats(5, 80))
def test_wrapped_lines_are_no_wider_than_their_room(words, most):
    """No word is lost, and only a word that is wider by itself stands out."""
    text = " ".join(words)
    lines = wrapped_lines(text, 3.0, most)
    assert " ".join(lines) == text
    assert all(line_width(line, 3.0) <= most for line in lines if " " in line.strip())


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
    figures, slash = FREETYPE[REGULAR].getlength("34") / 2048, FREETYPE[REGULAR].getlength("\u2044") / 2048
    assert text_width("3/4") == pytest.approx((figures * FRACTION_SIZE + slash) * LETTER_SIZE, rel=1e-3)
    assert text_width("1 3/4") == pytest.approx(text_width("1") + text_width("3/4") + FRACTION_GAP
                                                * LETTER_SIZE)


def test_a_pair_is_two_lines_and_plain_words_are_one():
    """Inches stand over millimetres; room is kept for both, whichever the page shows."""
    pair, plain = DualText("1 1/4 in", "32 mm"), DualText.plain("glue")
    assert [system for system, _ in pair.lines] == ["in", "mm"] and [s for s, _ in plain.lines] == [""]
    assert text_block_size(pair)[1] > 2 * LETTER_SIZE * 0.9 and text_block_size(plain)[1] < 1.2 * LETTER_SIZE
    assert text_block_size(pair)[0] == max(text_width("1 1/4 in"), text_width("32 mm"))
    assert text_block_size(pair, SMALL_LETTER_SIZE)[0] < text_block_size(pair)[0]


def test_fractions_of_a_page_are_joined_to_their_whole_number():
    """A narrow space that no line breaks at, whatever stood there, and the fraction slash (Unicode 6.2)."""
    assert with_fractions("6 1/2 \u00d7 8\u00a013/16 in, 3/4 in") == (
        "6\u202f1\u20442 \u00d7 8\u202f13\u204416 in, 3\u20444 in")
    assert with_fractions("1/2/3 of 12 mm") == "1/2/3 of 12 mm"
