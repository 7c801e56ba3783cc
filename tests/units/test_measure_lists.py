"""Lists of measures that say their unit once."""
from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.units import (
    Angle,
    Quantity,
    join,
    length,
    list_html,
    list_speech,
    list_text,
    number,
    parse_length,
)
from tests.units.strategies import INCH

ABOUT = length(36.2345)


def mm(*values: str | int) -> list[Quantity]:
    return [length(Fraction(v)) for v in values]


def inches(*values: str | int) -> list[Quantity]:
    return [length(Fraction(v) * INCH) for v in values]


CASES = [  # what, system, plain text, speech
    (mm(30, 60, 90), "mm", "30, 60 and 90 mm", "30, 60 and 90 millimetres"),
    (mm(30, 60), "mm", "30 and 60 mm", "30 and 60 millimetres"),
    (mm(30), "mm", "30 mm", "30 millimetres"),
    (mm(1), "mm", "1 mm", "1 millimetre"),
    ([], "mm", "none", "none"),
    (mm("30.5", 60, -3), "mm", "30.5, 60 and −3 mm", "30.5, 60 and minus 3 millimetres"),
    ([*mm(30), ABOUT, *mm(90)], "mm", "about 30, 36.2 and 90 mm", "about 30, 36.2 and 90 millimetres"),
    ([ABOUT], "mm", "about 36.2 mm", "about 36.2 millimetres"),
    (mm(3, 1), "mm", "3 and 1 mm", "3 millimetres and 1 millimetre"),
    (inches(1, 2, 3), "in", "1, 2 and 3 in", "1, 2 and 3 inches"),
    (inches("7/4", "7/2", "21/4"), "in", "1 3/4, 3 1/2 and 5 1/4 in",
     "1 and three quarters, 3 and a half, and 5 and a quarter inches"),
    (inches("1/2", "3/4"), "in", "1/2 and 3/4 in", "a half and three quarters of an inch"),
    (inches("3/4", "1/2"), "in", "3/4 and 1/2 in", "three quarters and a half of an inch"),
    (inches("1/2"), "in", "1/2 in", "half an inch"),
    (inches("1/2", 1), "in", "1/2 and 1 in", "half an inch and 1 inch"),
    (inches(3, "1/2"), "in", "3 in and 1/2 in", "3 inches and half an inch"),           # not 3 1/2 in
    (inches(1, "1/2"), "in", "1 in and 1/2 in", "1 inch and half an inch"),
    (inches(0, "1/2"), "in", "0 and 1/2 in", "0 inches and half an inch"),
    (inches(1, 3, "1/2"), "in", "1 in, 3 in and 1/2 in", "1 inch, 3 inches and half an inch"),
    (inches("7/8", "21/8", 4), "in", "7/8, 2 5/8 and 4 in",
     "seven eighths, 2 and five eighths, and 4 inches"),
    (inches("5/2", "1/2"), "in", "2 1/2 and 1/2 in", "2 and a half inches, and half an inch"),
    ([Angle(Fraction(30)), Angle(Fraction(45))], "mm", "30° and 45°", "30 and 45 degrees"),
    ([number(2), number(4), number(6)], "in", "2, 4 and 6", "2, 4 and 6"),
    ([Quantity(Fraction(50), 2), Quantity(Fraction(500), 2)], "mm", "50 mm² and 5 cm²",
     "50 square millimetres and 5 square centimetres"),
]


@pytest.mark.parametrize(("quantities", "system", "text", "speech"), CASES,
                         ids=[text for *_, text, _ in CASES])
def test_a_list_in_print_and_in_speech(quantities, system, text, speech):
    """One unit, one about, commas and a last "and"; each its own unit where one for all would mislead."""
    assert list_text(quantities, system) == text
    assert list_speech(quantities, system) == speech


@pytest.mark.parametrize(("quantities", "system", "text", "speech"), CASES,
                         ids=[text for *_, text, _ in CASES])
def test_a_list_on_the_page_reads_as_in_print(quantities, system, text, speech):
    """The HTML has the same words, and ordinary spaces only between measures."""
    bare = re.sub("<(?!span )[^>]*>|<span [^>]*>", "", list_html(quantities, system))
    assert bare.translate({0x202f: " ", 0xa0: " ", 0x2044: "/"}) == text
    for measure in re.split(r", | and ", bare):
        assert " " not in measure


def test_a_list_on_the_page():
    """Fractions are real ones, and only the last measure has the unit."""
    half = '1⁄2'
    assert list_html(inches(1, "3/2", "5/2"), "in") == f"1, 1\u202f{half} and 2\u202f{half}\u00a0in"
    assert list_html([ABOUT, length(40)], "mm") == "about\u00a036.2 and 40\u00a0mm"


def test_a_list_takes_the_tool_and_the_thickness():
    """What a single measure may be told, a list may be told."""
    root = length(2 ** 0.5 * 25.4)
    assert list_text([root, *inches(2)], "in", finest=INCH / 8) == "about 1 3/8 and 2 in"
    assert list_text(mm("0.26", "0.3"), "mm", thickness=True) == "0.26 and 0.3 mm"
    assert list_text(iter(mm(1, 2)), "mm") == "1 and 2 mm", "any iterable will do"


@settings(deadline=None)
@given(st.lists(st.integers(1, 16 * 40), min_size=1, max_size=20), st.booleans())
def test_a_printed_list_is_read_back(steps, in_inches):
    """Every measure of a list can be read back from it, in order."""
    system, step = ("in", INCH / 16) if in_inches else ("mm", Fraction(1, 10))
    said = list_text([length(n * step) for n in steps], system)
    items = [item.removesuffix(f" {system}") for item in re.split(r", | and ", said)]
    assert [parse_length(f"{item} {system}").value for item in items] == [n * step for n in steps]
    assert said.endswith(f" {system}")


@pytest.mark.parametrize(("items", "said"), [([], "none"), (["a"], "a"), (["a", "b"], "a and b"),
                                             (["a", "b", "c"], "a, b and c")])
def test_names_are_joined_as_measures_are(items, said):
    """Commas, and a last "and" without one."""
    assert join(items) == said
