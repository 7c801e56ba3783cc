"""The order of work in words: what a reader sets and cuts."""
from __future__ import annotations

from dataclasses import replace

import pytest

from generator.paper.cutting_instructions import cutting_text, direction_text, no_set_text, offcut_text
from generator.paper.sheet_layouts import STOCK_SHEETS, Blank
from generator.sheets import most_blanks, most_sets_layout
from generator.units import parse_length


def layout(sheet: str, width: str, height: str, turn: bool = True, **changed):
    """The most blanks of that size out of a stock sheet."""
    return most_blanks(replace(STOCK_SHEETS[sheet], **changed), parse_length(width), parse_length(height),
                  turn=turn)


@pytest.mark.parametrize(("sheet", "size", "system", "lines"), [
    ("12x12 in", ("10 1/2 in", "5 5/8 in"), "in", (
        "The whole sheet, any side along the fence: set 10 1/2 in, cut; this shortens the sheet",
        "The shortened sheet, a short side along the fence: set 5 5/8 in, cut, do not move the fence, cut "
        "again")),
    ("a4", ("252 mm", "139 mm"), "mm", (
        "The whole sheet, a long side along the fence: set 139 mm, cut",
        "The strip from cut 1, a short side along the fence: set 252 mm, cut; this shortens the strip")),
    ("a4", ("120 mm", "45 mm"), "mm", (
        "The whole sheet, a long side along the fence: set 45 mm, cut, do not move the fence, cut again",
        "What is left after cut 1, a short side along the fence: set 45 mm, cut, do not move the fence, cut "
        "again, "
        "six cuts in all",
        "Both strips from cut 1, each with a short side along the fence: set 120 mm, cut, do not move the "
        "fence, cut again")),
])
def test_the_order_of_work(sheet, size, system, lines):
    """One line for each setting of the fence."""
    assert cutting_text(layout(sheet, *size), system) == lines


def test_a_selvedge_is_named():
    """The first cut takes it off, and the sheet is called trimmed from then on."""
    lines = cutting_text(layout("12x12 in", "4 in", "4 in", trim=parse_length("1/2 in")), "in")
    assert lines[0] == ("The whole sheet, the side opposite the selvedge along the fence: set 11 1/2 in, "
                        "cut; "
                        "this takes the selvedge off")
    assert lines[1].startswith("The trimmed sheet, a long side along the fence: set 4 in")


def test_a_setting_that_no_rule_shows():
    """A measure that is rounded says so, here as everywhere."""
    assert "set about 5 1/2 in" in cutting_text(layout("a4", "252 mm", "139 mm"), "in")[0]


def test_what_is_left_over():
    """Large offcuts first, like ones together, a selvedge not among them."""
    assert offcut_text(layout("a4", "120 mm", "45 mm"), "mm") == "27 × 120 mm and two of 45 × 57 mm"
    assert offcut_text(layout("12x12 in", "4 in", "4 in", trim=parse_length("1/2 in")),
                       "in") == "3 1/2 × 12 in"
    assert offcut_text(layout("6x6 in", "2 in", "1 in"), "in") == ""


@pytest.mark.parametrize(("sheet", "size", "said"), [
    ("a4", ("252 mm", "139 mm"), "the grain must run along the short side of the sheet"),
    ("a4", ("100 mm", "139 mm"), "the grain must run along the long side of the sheet"),
    ("12x12 in", ("100 mm", "139 mm"), "the grain must run the same way through all blanks")])
def test_how_the_grain_must_run(sheet, size, said):
    """Told of the sheet that one buys, by its sides."""
    assert direction_text(layout(sheet, *size, turn=False)) == said
    assert direction_text(layout(sheet, *size, turn=True)) == ""


def test_why_nothing_is_cut():
    """A sheet that is too small says for what; one that holds each piece but no set says that."""
    def blank(name: str, size: str) -> Blank:
        return Blank(name, parse_length(size), parse_length(size))
    large, small = blank("base", "20 cm"), blank("tag", "5 cm")
    assert no_set_text(most_sets_layout(STOCK_SHEETS["a5"],
                                        [large, small])) == "a sheet of A5 is too small for base"
    assert no_set_text(most_sets_layout(STOCK_SHEETS["a4"],
                            [large, blank("lid",
                                          "20.5 cm")])) == "no complete set comes out of one sheet of A4"
    assert no_set_text(most_sets_layout(STOCK_SHEETS["a4"], [large, small])) == ""
