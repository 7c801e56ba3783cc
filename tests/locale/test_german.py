"""Measures, numbers and lists in German.

Decimal comma, space before the unit: DIN 5008 and ISO 80000-1, 7.3.2 (from memory);
number words: Duden (from memory).
"""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.locale import locale_for
from generator.units import (
    INCH,
    Quantity,
    as_html,
    as_speech,
    as_text,
    display_measure,
    list_html,
    list_speech,
    list_text,
    number_words,
    parse_length,
    size_speech,
    size_text,
)

DE = locale_for("de")


@pytest.mark.parametrize(("length", "system", "text", "speech"), [
    ("62 mm", "mm", "62 mm", "62 Millimeter"),
    ("36.2 mm", "mm", "36,2 mm", "36,2 Millimeter"),
    ("1 mm", "mm", "1 mm", "1 Millimeter"),
    ("1 3/4 in", "in", "1 3/4 Zoll", "1 und drei Viertel Zoll"),
    ("1/2 in", "in", "1/2 Zoll", "ein halber Zoll"),
    ("1 1/2 in", "in", "1 1/2 Zoll", "1 und ein halber Zoll"),
    ("5/16 in", "in", "5/16 Zoll", "fünf Sechzehntel Zoll"),
    ("2 in", "in", "2 Zoll", "2 Zoll")])
def test_a_measure(length, system, text, speech):
    """In print and aloud."""
    words = display_measure(parse_length(length), system)
    assert (as_text(words, DE), as_speech(words, DE)) == (text, speech)


def test_what_is_not_exact_is_about():
    """“etwa” stands where English says about, on the page joined by a space that does not break."""
    words = display_measure(Quantity(36.2137, 1), "mm")
    assert as_text(words, DE) == "etwa 36,2 mm" and as_html(words, DE) == "etwa\u00a036,2\u00a0mm"


def test_a_fraction_is_a_real_one():
    """The same markup as in English, with the German unit."""
    shown = as_html(display_measure(parse_length("1 3/4 in"), "in"), DE)
    assert shown == '1\u202f3⁄4\u00a0Zoll'


def test_a_list_says_its_unit_once():
    """Semicolons where a comma within the figures would be mistaken for one of the list."""
    whole, broken = ([parse_length(t) for t in texts]
                     for texts in (("30 mm", "60 mm", "90 mm"), ("30.5 mm", "60 mm", "91.5 mm")))
    assert list_text(whole, "mm", locale=DE) == "30, 60 und 90 mm"
    assert list_text(broken, "mm", locale=DE) == "30,5; 60 und 91,5 mm"
    assert list_html(whole, "mm", locale=DE) == "30, 60 und 90\u00a0mm"
    assert list_speech(whole, "mm", locale=DE) == "30, 60 und 90 Millimeter"
    assert list_text([], "mm", locale=DE) == "keine"
    inches = [parse_length("1 1/4 in"), parse_length("2 1/2 in")]
    assert list_text(inches, "in", locale=DE) == "1 1/4 und 2 1/2 Zoll"
    assert list_speech(inches, "in", locale=DE) == "1 und ein Viertel, und 2 und ein halb Zoll"


def test_a_size():
    """Width and height with their unit once."""
    a, b = parse_length("71.5 mm"), parse_length("297 mm")
    assert size_text(a, b, "mm", DE) == "71,5 × 297 mm"
    assert size_speech(a, b, "mm", DE) == "71,5 mal 297 Millimeter"


SAID = {0: "null", 1: "eins", 8: "acht", 12: "zwölf", 16: "sechzehn", 17: "siebzehn", 20: "zwanzig",
        21: "einundzwanzig", 30: "dreißig", 37: "siebenunddreißig", 64: "vierundsechzig",
        99: "neunundneunzig", 100: "100",
        -3: "minus drei"}


@pytest.mark.parametrize(("n", "said"), SAID.items())
def test_a_number_in_words(n, said):
    """Units before tens, and “ein” within a word."""
    assert number_words(n, DE) == said


def test_every_number_below_a_hundred_has_words_of_its_own():
    """A hundred names without a figure."""
    assert len({number_words(n, DE) for n in range(100)}) == 100


def test_the_third_is_the_third():
    """Ordinal numbers in words, further ones in figures."""
    assert (DE.ordinal(3), DE.ordinal(40)) == ("dritte", "Nr. 40")


def test_names_of_the_source_are_translated_where_the_tutorial_does():
    """Others keep their letters."""
    own = DE.naming({"foot_line": "Fußlinie"})
    assert own.name("foot_line") == "Fußlinie" and own.name("tab_face") == "tab face" and DE.name(
        "foot_line") == "foot line"


def test_thirds_of_an_inch_are_about_in_sixteenths():
    """The figures are the same in every language: only the words differ."""
    words = display_measure(Quantity(Fraction(1, 3) * INCH.mm, 1), "in")
    assert as_text(words, DE).replace("etwa", "about").replace("Zoll", "in") == as_text(words)
