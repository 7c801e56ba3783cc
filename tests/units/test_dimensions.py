"""Sizes of what stands: about and units once a phrase, in text, in HTML and aloud."""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.locale import locale_for
from generator.units import (
    dimensions_html,
    dimensions_speech,
    dimensions_text,
    display_measure,
    length,
)

INCH = Fraction("25.4")      # NIST Handbook 44, Appendix C


def sides(*mm):
    """Lengths, None left as it is."""
    return tuple(length(each) if each is not None else None for each in mm)


@pytest.mark.parametrize(("given", "system", "text"), [
    ((120, 80, 40), "mm", "120 by 80 mm, 40 mm high"),
    ((120, None, 40), "mm", "120 mm across and 40 mm high"),
    ((120, None, None), "mm", "120 mm across"),
    ((72.42640687, 72.42640687, 60), "mm", "about 72.4 by 72.4 mm, 60 mm high"),
    ((60, 20, 0), "mm", "60 by 20 mm"), ((130.1, 101.8, 1e-12), "mm", "about 130.1 by 101.8 mm"),
    ((3 * INCH, 3 * INCH, Fraction(19, 8) * INCH), "in", "3 by 3 in, 2 3/8 in high"),
    ((76.64, 76.64, 60.3), "in", "about 3 by 3 in, 2 3/8 in high"),
    ((20, None, 10.01), "in", "about 13/16 in across and 3/8 in high")])
def test_a_size_is_said_in_one_breath(given, system, text):
    """The unit of the ground plan once, about in front of all where any side is."""
    assert dimensions_text(sides(*given), system) == text


def test_html_and_speech_say_the_same():
    """Figures never leave their units at the end of a line; aloud fractions are words."""
    given = sides(3 * INCH, 4 * INCH, Fraction(5, 2) * INCH)
    assert dimensions_speech(given, "in") == "3 by 4 inches, 2 and a half inches high"
    assert dimensions_html(given,
                           "in") == (
                               '3 by 4\u00a0in, 2\u202f1\u20442\u00a0in high')
    assert dimensions_html(sides(30.01, None, 1), "mm").startswith("about\u00a030")


def test_another_language_says_it_its_own_way():
    """German has its own words and decimal comma (DIN 1333, from memory)."""
    assert dimensions_text(sides(72.45, 72.45, 60), "mm",
                           locale_for("de")) == "etwa 72,5 mal 72,5 mm, 60 mm hoch"


@pytest.mark.parametrize(("mm3", "text"),
                         [(261234.5, "about 261 cm³"), (99900.4, "about 99.9 cm³"), (384000, "384 cm³")])
def test_roomy_volumes_have_no_decimals(mm3, text):
    """What is about hundreds of cubic centimetres is not known to a tenth."""
    said = display_measure(length(1) * length(1) * length(mm3), "mm")
    assert f"{'about ' if said.about else ''}{said.decimal or said.whole} {said.unit}" == text
