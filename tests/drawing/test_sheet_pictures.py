"""The picture of a sheet: blanks, cuts in their order, offcuts, in both systems."""
from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from generator.drawing.backends.legend import legend
from generator.drawing.backends.svg import svg
from generator.drawing.pen import Role, Surface
from generator.drawing.steps.sheet_picture import sheet_pictures
from generator.paper.sheet_layouts import STOCK_SHEETS, Blank, SheetLayout, StockSheet
from generator.sheets import most_blanks, most_sets_layout
from generator.units import ZERO, length, parse_length
from tests.drawing.overlaps import clashes
from tests.drawing.recording_queries import strokes, surfaces, texts
from tests.time_limits import examples

STRIPS = {"mm": ("252 mm", "139 mm"), "in": ("10 1/2 in", "5 5/8 in")}     # of the caddy


def caddy(sheet: StockSheet, system: str) -> SheetLayout:
    """The strip of the caddy out of a sheet, its grain up the walls."""
    width, height = map(parse_length, STRIPS[system])
    return most_sets_layout(sheet, [Blank("strip", width, height, direction="y")])


def test_one_picture_serves_both_editions():
    """Where both are cut alike, each label says both measures, each row both settings."""
    picture, = sheet_pictures(caddy(STOCK_SHEETS["12x12 in"], "mm"), caddy(STOCK_SHEETS["12x12 in"], "in"),
                              "mm")
    assert (picture.kind, picture.key, picture.system) == ("cutting", "sheet-12-12-in", "")
    assert picture.title == "Sheet 12 × 12 in: 2 × strip"
    assert "strip 252 × 139 mm" in texts(picture.recording, "mm")
    assert "strip 10 1/2 × 5 5/8 in" in texts(picture.recording, "in")
    assert [(row.number, row.mm, row.inch) for row in picture.rows] == [
        (1, "252 mm", "10 1/2 in"), (2, "139 mm", "5 5/8 in"),
        (None, "52.8 × 304.8 mm and 26.8 × 252 mm", "1 1/2 × 12 in and 3/4 × 10 1/2 in")]
    assert picture.rows[1].text("in") == (
        "The shortened sheet, a short side along the fence: set 5 5/8 in and cut, "
                                          "do not move the fence, cut again")


def test_editions_that_are_cut_otherwise_have_pictures_of_their_own():
    """Two strips come out of the square in one edition, one in the other: no labels in pairs then."""
    one = most_sets_layout(STOCK_SHEETS["12x12 in"],
                           [Blank("strip", parse_length("10 1/2 in"), parse_length("6 1/4 in"),
                                  direction="y")])
    pictures = sheet_pictures(caddy(STOCK_SHEETS["12x12 in"], "mm"), one, "mm")
    assert [(p.key, p.system) for p in pictures] == [("sheet-12-12-in-mm", "mm"), ("sheet-12-12-in-in", "in")]
    # said once, for whoever looks at it
    assert "strip 252 × 139 mm" in texts(pictures[0].recording, "in")
    assert "strip 10 1/2 × 6 1/4 in" in texts(pictures[1].recording, "mm")


def test_nothing_is_drawn_of_an_empty_sheet():
    """A sheet that holds no blank has no picture; the other edition's may."""
    small = caddy(STOCK_SHEETS["6x6 in"], "mm")
    assert sheet_pictures(small, None, "mm") == ()
    assert [p.key for p in sheet_pictures(small, caddy(STOCK_SHEETS["letter"], "in"),
                                          "mm")] == ["sheet-letter-in"]


def test_every_cut_and_offcut_is_drawn():
    """Each line of a cut strong, the sheet's edge quiet, offcuts hatched, a selvedge as what goes."""
    sheet = StockSheet("9 × 12 in", parse_length("9 in"), parse_length("12 in"), parse_length("1/2 in"))
    layout = most_blanks(sheet, parse_length("4 in"), parse_length("3 1/2 in"), turn=True)
    recording = sheet_pictures(layout, None, "in")[0].recording
    assert len(strokes(recording, Role.CUT, True)) == sum(len(cut.lines) for cut in layout.cuts)
    assert len(strokes(recording, Role.EDGE, False)) == 4
    assert surfaces(recording).count(Surface.REMOVED) == 1
    assert surfaces(recording).count(Surface.SPARE) == len(layout.offcuts) - 1
    assert {name for name, _ in legend(recording)} >= {"cut", "removed", "spare"}
    assert [item.arguments[0].number for item in recording.of("badge")] == [cut.step for cut in layout.cuts]


@pytest.mark.parametrize(("name", "said"), [("a4", "A4, 210 × 297 mm"), ("letter", "Letter, 8 1/2 × 11 in"),
                                            ("12x12 in", "12 × 12 in"), ("30.5 cm square", "30.5 cm square")])
def test_the_caption_names_the_sheet(name, said):
    """With its size as it is sold, once."""
    layout = caddy(STOCK_SHEETS[name], "mm")
    heads = texts(sheet_pictures(layout, None, "mm")[0].recording)
    assert said in heads
    assert any(head.startswith("grain ") for head in heads)


def test_the_description_tells_the_whole_order():
    """Whoever does not see the picture hears every setting and what is left, once for each system."""
    picture, = sheet_pictures(caddy(STOCK_SHEETS["a4"], "mm"), caddy(STOCK_SHEETS["a4"], "in"), "mm")
    assert picture.description == "A sheet of 210 × 297 mm, parted by cuts from edge to edge."
    assert picture.told["mm"] == (
        "In millimetres: Cut 1: The whole sheet, a long side along the fence: set 139 mm, cut. "
        "Cut 2: The strip from cut 1, a short side along the fence: set 252 mm, cut; this shortens the "
        "strip. "
        "Left over: 71 × 297 mm and 45 × 139 mm.")
    assert picture.told["in"] == (
        "In inches: Cut 1: The whole sheet, a long side along the fence: set 5 5/8 in, cut. "
        "Cut 2: The strip from cut 1, a short side along the fence: set 10 1/2 in, cut; this shortens the "
        "strip. "
        "Left over: about 2 5/8 × 11 11/16 in and about 1 3/16 × 5 5/8 in.")


def test_it_is_drawn_as_svg():
    """By the same back end as the steps, hatched offcuts with room for their words."""
    picture, = sheet_pictures(caddy(STOCK_SHEETS["a4"], "mm"), None, "mm")
    root = etree.fromstring(svg(picture.recording, picture.title, picture.description, picture.key,
                                kind=picture.kind))
    assert root.get("class") == "drawing cutting"
    assert [e.get("id") for e in root.iter("{*}pattern")] == ["sheet-a4-mm-spare"]


SIDES = st.integers(20, 200).map(lambda n: Fraction(n, 2))


@settings(deadline=None, max_examples=examples(40))
@given(st.integers(60, 300), st.integers(60, 300), st.sampled_from((0, 8)),
       st.lists(st.tuples(SIDES, SIDES), min_size=1, max_size=2), st.booleans())
def test_no_sheet_has_a_clash(width, height, trim, wanted, turn):
    """Words never lie on words or on cuts, whatever is cut from whatever sheet."""
    sheet = StockSheet("offcut", length(width), length(height), length(trim) if trim else ZERO)
    blanks = [Blank(f"part {k}", length(w + 10), length(h + 10), direction=None if turn else "y")
              for k, (w, h) in enumerate(wanted)]
    layout = most_sets_layout(sheet, blanks)
    for picture in sheet_pictures(layout, None, "mm"):
        assert clashes(picture.recording) == []
