"""Two sides of a rectangle in words."""
from __future__ import annotations

from fractions import Fraction

from generator.units import INCH, length, size_html, size_speech, size_text

A4 = length(210), length(297)
CARD = length(INCH.mm * Fraction(3, 2)), length(12 * INCH.mm)


def test_sizes_in_text():
    """The unit stands once, and so does "about" when either side is about."""
    assert size_text(*A4, "mm") == "210 × 297 mm"
    assert size_text(*CARD, "in") == "1 1/2 × 12 in"
    assert size_text(*A4, "in") == "about 8 1/4 × 11 11/16 in"
    assert size_text(length(1.0 / 3), length(2), "mm") == "about 0.3 × 2 mm"


def test_sizes_in_html():
    """No line breaks but before the second side, so that large letters fit; fractions are real ones."""
    assert size_html(*A4, "mm") == "210\u00a0× 297\u00a0mm"
    assert "1\u2044" in size_html(*CARD, "in") and size_html(*CARD, "in").count(" ") == 1


def test_sizes_in_speech():
    """As one says them."""
    assert size_speech(*A4, "mm") == "210 by 297 millimetres"
    assert size_speech(*CARD, "in") == "1 and a half by 12 inches"
