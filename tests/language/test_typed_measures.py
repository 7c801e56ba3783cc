"""Measurements typed by hand in prose are warned of, and other numbers are not."""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.findings import Severity
from generator.language.source.document import read_document
from generator.language.source.typed_measures import measures_in, typed_measures
from generator.units import INCH
from tests.language.parsing_helpers import CADDY, front, source, told


def warned(prose: str) -> list[str]:
    """What is underlined as typed by hand in a paragraph."""
    rows = prose.split("\n")
    found = typed_measures(source(body=f"## Cut\n\n{prose}\n"))
    return [rows[f.line - 7][f.column - 1:f.column - 1 + f.span.length] for f in found]


@pytest.mark.parametrize("measure", ["30 mm", "5 cm", "5cm", "3.2 cm", "3,2 cm", "1 m", "1 1/4 in",
                                     "1-1/4 in", "1/2 in", "¾ in",
                                     '1 1/4"', '1¼"', "2 inches", "1 inch", "2-inch", "30 millimetres",
                                     "1 metre", "0.25 in",
                                     "6 feet", "30 mm", "3″"])
def test_measures_are_found(measure):
    """Every form in which lengths are written, within a sentence."""
    assert warned(f"Score the strip {measure} and burnish it") == [measure]


@pytest.mark.parametrize("prose", [
    "Fold 3 in half", "Fold flaps 2 in towards you", "Put 8 in the box", "the 4 in front", "Cut 8 panels",
    "See step 3.",
    "card of 200 gsm", "30 mm² of glue", "200 g/m2", "A4 mm", "no. 12 mmx", "`30 mm`", "{{ panel }} mm",
    "12 min",
    "[the rule](30%20mm.html)", '<span style="margin: 3 mm">x</span>', "https://box.example/30 ",
    'called "flap 3"',
    "called “flap 3”", "sheets 12x12", "3 o'clock", "100 in all",
])
def test_other_numbers_are_not(prose):
    """Counts, weights, code, links and the preposition "in" are no lengths."""
    assert warned(prose) == []


@pytest.mark.parametrize("prose", ["Cut it 2 in.", "Cut it 2 in, then", "2 in wide", "at 2 in and 4 in",
                                   "2 in × 3 in", "2 in from it",
                                   "**2 in**", "cut 2 in"])
def test_in_is_inches_where_it_can_be_nothing_else(prose):
    """At the end, before punctuation, or before words which only a measure has."""
    assert warned(prose)[0] == "2 in"


def test_an_expression_does_not_end_the_sentence():
    """What follows "in" may be worked out: "fold 3 in {{ n }} parts" is no length."""
    assert warned("fold 3 in {{ n }} parts") == []


def test_quotes_and_inch_marks():
    """A quotation mark that ends words is no inch mark; one that ends nothing is."""
    assert warned('Mark "fold 3" at 4" from the "left 5" edge') == ['4"']
    assert warned('An open " here\n\nthen 3" there') == ['3"']


def test_where_and_what_instead():
    """The warning underlines the measure and names the expression that says the same."""
    asked = []

    def suggest(quantity):
        asked.append(quantity.value)
        return "{{ panel }}" if quantity.value == 30 else ""
    document = source(body="Words,\nthen 3 cm, 2 inches\nand 6 feet.\n\n## Score at 1/2 in\n")
    found = typed_measures(document, suggest)
    assert told(found) == [("measure-typed", 6, 6), ("measure-typed", 6, 12), ("measure-typed", 7, 5),
                           ("measure-typed", 9, 13)]
    assert [f.span.length for f in found] == [4, 8, 6, 6]
    assert asked == [30, 2 * INCH.mm, INCH.mm * Fraction(1, 2)]
    assert (found[0].hint, found[1].hint) == ("write {{ panel }}",
                                              "name it in the front matter and write {{ its name }} here")
    assert {f.severity for f in found} == {Severity.WARNING}


@pytest.mark.parametrize("photo", ["![A tab of 12 mm](a.jpg)", "see ![A tab of 12 mm](a.jpg) here"])
def test_words_of_photos(photo):
    """The words for those who cannot see a photo are prose like any others, and told once."""
    found = typed_measures(source(body=f"## Cut\n\n{photo}\n"))
    assert told(found) == [("measure-typed", 7, photo.index("12") + 1)]


def test_supplies():
    """The same can be asked of the supplies."""
    read, _ = front('title: x\ndrawn_in: mm\nsupplies: [a ribbon of 30 cm]')
    assert told(measures_in(read.supplies[0], "box.md")) == [("measure-typed", 4, 24)]


def test_the_caddy_has_none():
    """The first tutorial types no measure."""
    assert typed_measures(read_document("caddy.md", CADDY)) == ()


@pytest.mark.slow
@pytest.mark.parametrize("part",
                         ["1 ", "1 in ", '"1"', "1 in and ", "1", "](", "<", "1/", "¼", "30 mm ", "https://"])
def test_walls_of_numbers(part):
    """However often something is repeated, few warnings come of it."""
    assert len(typed_measures(source(body=part * (100_000 // len(part)) + "\n\n## Cut\n"))) <= 40
