"""A choice is put into the source, and everything else stays byte for byte."""
from __future__ import annotations

import re
from fractions import Fraction

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.regauge.rewriting import UnwritableSource, rewrite_edition, typed_length
from generator.units import parse_length, unit_of
from tests.regauge.sample_boxes import INCH

VALUES = {name: Fraction(parse_length(text).value)
          for name, text in {"panel": "1 3/4 in", "wall": "2 in", "tab": "1/2 in"}.items()}
DRAWN = {"panel": Fraction(45), "wall": Fraction(50), "tab": Fraction(12)}
WANTED = {"panel": "1 3/4 in for 45 mm", "wall": "2 in for 50 mm", "tab": "1/2 in for 12 mm"}
HEAD = "---\ntitle: A box   # what it is\nlengths: {panel: 45 mm, wall: 50 mm, tab: 12 mm}  # as drawn\n"
TAIL = "\n---\n\nIt is {{ panel }} wide.   \n\n## Cut\n\n```geometry\nx = panel\n```\n"

EDITIONS = {
    "flow": "editions: {in: {panel: 1 1/4 in, wall: 2 in, tab: 3/8 in}}   # keep me",
    "block with comments": "editions:\n  # both\n  in:   # here\n    panel: 1 1/4 in   # wide\n\n    wall: 2 "
                           "in\n    tab: 3/8 in # narrow",
    "quotes": "editions:\n  in: {panel: '1 1/4 in', wall: \"2 in\", tab: '1/2 in'}",
    "flow over lines": "editions:\n  in: {panel: 1 in,  # first\n       wall: 2 in,\n       tab: 1 in   # "
                       "last\n      }",
    "another length is missing": "editions: {in: {panel: 1 1/4 in, tab: 1/2 in}}",
    "all but one are missing": "editions:\n  in:\n    wall: 2 in  # the only one",
    "one too many in flow": "editions: {in: {old: 1 in, panel: 1 in, wall: 2 in, older: 3 in, tab: 1/2 in, "
                            "oldest: 5 in}}",
    "one too many in block": "editions:\n  in:\n    panel: 1 in\n    old: 3 in  # gone\n    wall: 2 in\n    "
                             "tab: 1 in",
    "nothing but what is too many": "editions:\n  in:\n    old: 3 in",
    "none": "",
    "the drawn one too": "editions: {mm: {panel: 45 mm}, in: {panel: 1 3/4 in, wall: 2 in, tab: 1/2 in}}",
    "only the drawn one": "editions:\n  mm:\n    panel: 45 mm\n    wall: 50 mm",
    "no value": "editions:",
    "an empty mapping": "editions: {}",
    "no value for the system": "editions:\n  in:",
    "a number for the system": "editions:\n  in: 5",
    "a list": "editions: [1, 2]",
    "values that are none": "editions: {in: {panel: , wall: [1, 2], tab: {a: b}}}",
    "a value over two lines": "editions:\n  in:\n    panel: 1\n      1/4 in\n    wall: 2 in\n    tab: 1/2 in",
}


def source(editions: str, after: str = "level: easy   # for all") -> str:
    """A source around these editions."""
    return f"{HEAD}{editions}{chr(10) if editions else ''}{after}{TAIL}"


def front_of(text: str) -> dict:
    """The front matter as YAML itself reads it."""
    return yaml.safe_load(text.removeprefix("\ufeff").replace("\r\n", "\n").split("---\n")[1])


@pytest.mark.parametrize("newline", ["\n", "\r\n"], ids=["plain", "windows"])
@pytest.mark.parametrize("mark", ["", "\ufeff"], ids=["", "marked"])
@pytest.mark.parametrize("case", EDITIONS)
def test_the_edition_says_the_choice_and_nothing_else_changes(case, mark, newline):
    """However the edition stands there, or does not: it says these lengths, and the rest is what it was."""
    text = mark + source(EDITIONS[case]).replace("\n", newline)
    new = rewrite_edition(text, "in", VALUES, DRAWN)
    assert {n: v for n, v in front_of(new)["editions"]["in"].items()} == WANTED
    before, after = front_of(text), front_of(new)
    assert {k: v for k, v in before.items() if k != "editions"} == {k: v for k, v in after.items()
                                                                    if k != "editions"}
    head, tail = (part.replace("\n", newline) for part in (HEAD, TAIL))
    assert new.startswith(mark + head) and new.endswith(f"level: easy   # for all{tail}")
    assert new.count("\n") == new.count(newline)


@pytest.mark.parametrize("case",
                         ["flow", "block with comments", "quotes", "flow over lines",
                          "one too many in block"])
def test_comments_and_layout_are_kept(case):
    """What is left when the lengths themselves are taken out is the same, but for a line that had to go."""
    def bare(text: str) -> str:
        return re.sub(r"['\"]?(?:\d+ )?\d+(?:/\d+)? in(?: for \d+ mm)?['\"]?", "…", text)
    text = source(EDITIONS[case])
    assert bare(rewrite_edition(text, "in", VALUES,
                                DRAWN)) == bare(text.replace("    old: 3 in  # gone\n", ""))


def test_what_says_the_same_already_is_left_as_it_is_typed():
    """1-3/4 in, 2in and 0.5 in are the same lengths, for the same drawn ones, so not one byte changes."""
    text = source("editions: {in: {panel: 1-3/4 in for 45mm, wall: 2in for 50 mm, tab: 0.5 in for 12.0 mm}}")
    assert rewrite_edition(text, "in", VALUES, DRAWN) == text


def test_a_choice_for_another_length_is_chosen_anew():
    """What was chosen for another drawn length says the one that stands now, even where its value stays."""
    text = source("editions: {in: {panel: 1 3/4 in for 44 mm, wall: 2 in for 50 mm, tab: 1/2 in}}")
    assert front_of(rewrite_edition(text, "in", VALUES, DRAWN))["editions"]["in"] == WANTED


def test_the_quotes_around_a_value_stay():
    """A value in quotes keeps them."""
    assert 'panel: "1 3/4 in for 45 mm", wall: 2 in for 50 mm, tab: \'1/2 in for 12 mm\'' in rewrite_edition(
        source("editions: {in: {panel: \"1 in\", wall: 2 in, tab: '1 in'}}"), "in", VALUES, DRAWN)


def test_a_wider_window_is_written_too():
    """A choice from outside the usual window takes its window along, once."""
    once = rewrite_edition(source(EDITIONS["flow"]), "in", VALUES, DRAWN, Fraction(12, 100))
    assert front_of(once)["editions"] == {"in": WANTED, "within": "12 %"}
    again = rewrite_edition(once, "in", VALUES, DRAWN, Fraction(29, 200))
    assert front_of(again)["editions"] == {"in": WANTED, "within": "14.5 %"} and again.count("within") == 1


@pytest.mark.parametrize("text", ["", "title: no lines\n", "---\ntitle: no end\n", "---\n- a\n- list\n---\n"])
def test_a_text_without_front_matter_is_refused(text):
    """There is no place for the values, and that is said."""
    with pytest.raises(UnwritableSource):
        rewrite_edition(text, "in", VALUES, DRAWN)


@settings(deadline=None)
@given(st.sampled_from(["mm", "in"]), st.integers(1, 4000), st.sampled_from([1, 2, 5, 3, 8, 16, 64]))
def test_lengths_are_typed_exactly(system, top, bottom):
    """What is typed is read back as the same length, in the same system."""
    value = Fraction(top, bottom) * (INCH if system == "in" else 1)
    text = typed_length(value, system)
    assert Fraction(parse_length(text).value) == value and unit_of(text) == system
