"""Every blank comes out of a sheet that the tutorial lists, in both editions."""
from __future__ import annotations

import pytest

from generator.findings import Severity
from tests.tutorial.small_source import FENCE, front, load, source

HEAD = "papers: {card:"


def listing(sheets: str, *changes: tuple[str, str], fence: str = FENCE):
    """The findings about sheets of a sleeve, 130 by 60 mm and 5 3/8 by 2 1/2 in, with these sheets listed."""
    text = source(fence=fence, front=front(HEAD, f"sheets: [{sheets}]\n{HEAD}"))
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return [f for f in load(text).findings if f.code == "sheet-small"]


@pytest.mark.parametrize("sheets", ["a5", "a4, 150 x 10 mm", "64 x 140 mm", "140 x 63.5 mm", "6x6 in"])
def test_a_sheet_that_holds_it(sheets):
    """One of the sheets will do, whole or just large enough, upright or turned."""
    assert listing(sheets) == []


def test_no_sheets_are_listed():
    """Where nothing is said of sheets nothing can be too large for them."""
    assert [f for f in load(source()).findings if f.code == "sheet-small"] == []


@pytest.mark.parametrize(("sheets", "says"), [
    ("100 x 100 mm", "the nearest, 100 × 100 mm, is 30 mm too short"),
    ("140 x 50 mm", "the nearest, 140 × 50 mm, is 10 mm too narrow"),
    ("120 x 50 mm", "the nearest, 120 × 50 mm, is 10 mm too narrow and 10 mm too short"),
    ("100 x 100 mm, 120 x 90 mm, 110 x 110 mm", "the nearest, 120 × 90 mm, is 10 mm too short"),
    ("{size: 140 x 70 mm, trim: 12 mm}", "is 2 mm too narrow"),
])
def test_by_how_much_the_nearest_sheet_misses(sheets, says):
    """Its name, and what its sides lack of 130 by 60 mm; a selvedge counts as gone."""
    found, = listing(sheets)
    assert found.severity is Severity.WARNING and found.edition is None and found.message.endswith(says)
    assert found.message.startswith(
        "'strip', 130 mm by 60 mm, comes out of none of the sheets that are listed")
    assert found.line == load(source()).source.split("\n").index(FENCE.split("\n")[0]) + 2


def test_one_edition_alone():
    """5 3/8 in are 136.5 mm: a sheet of 133 mm holds the metric blank alone."""
    found, = listing("133 x 70 mm")
    assert found.edition == "in" and "5 3/8 in by 2 1/2 in" in found.message
    assert "is about 1/8 in too short" in found.message


@pytest.mark.parametrize(("panel", "names"), [("45 mm", "a5"), ("60 mm", "letter"), ("90 mm", "tabloid")])
def test_a_larger_sheet_is_named(panel, names):
    """The smallest of the usual ones that holds the blank: 190, 250 and 370 mm long."""
    found = listing("60 x 60 mm", ("panel: 30 mm", f"panel: {panel}"))
    assert found[0].hint.endswith(f"or list a larger sheet, such as {names}")


def test_a_blank_that_no_usual_sheet_holds():
    """Then none is named."""
    found = listing("a4", ("panel: 30 mm", "panel: 200 mm"))
    assert found[0].hint == "make it smaller, or of several pieces that are joined"


def test_what_is_not_cut_from_a_sheet():
    """A ribbon comes off a roll; a net counts by the rectangle about it."""
    ribbon = FENCE + "\nlace = ribbon(length=20*panel)"
    assert listing("a5", fence=ribbon) == []
    net = FENCE + ("\nbase = panel(rectangle(width=wall, height=wall))\nsides = attach(base.edges, "
                   "rectangle(height=wall))")
    found, = listing("a5", fence=net)
    assert "'base', 180 mm by 180 mm," in found.message
