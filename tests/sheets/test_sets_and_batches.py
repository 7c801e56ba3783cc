"""Complete sets out of a sheet, and sheets for a batch of boxes."""
from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.paper.sheet_layouts import STOCK_SHEETS, Blank, StockSheet
from generator.sheets import (
    SheetError,
    batch,
    dynamic_programming,
    most_blanks,
    most_sets_layout,
    sheets_needed,
)
from generator.sheets.cutting_problem import table_of
from generator.units import length
from tests.sheets.layout_checker import faults
from tests.time_limits import examples, within


def blank(name: str, width, height, count: int = 1, direction: str | None = None) -> Blank:
    """A blank in mm."""
    return Blank(name, length(width), length(height), count, direction)


def sizes(blanks) -> dict:
    """For the checker."""
    return {b.name: (b.width.value, b.height.value) for b in blanks}


def test_pieces_of_one_size_share_the_places():
    """Two names for one size: of the eight that an A4 sheet gives (a plain grid), each name gets as many as
    the sets need.
    """
    blanks = [blank("base", 100, 70), blank("lid", 100, 70), blank("tray", 100, 70)]
    found = most_sets_layout(STOCK_SHEETS["a4"], blanks)
    assert most_blanks(STOCK_SHEETS["a4"], length(100), length(70), turn=True).sets == 8
    assert found.sets == 2 and found.counts == {"base": 2, "lid": 2, "tray": 2}
    assert faults(found, sizes(blanks)) == []


def test_grain_holds_all_pieces_to_one_way():
    """Two squares of strips that run across each other come out of a sheet only when one of them may be
    turned.
    """
    sheet = StockSheet("card", length(120), length(100))
    long, wide = blank("long", 120, 40, direction="x"), blank("wide", 40, 60, direction="x")
    assert most_sets_layout(sheet, [long, wide]).sets == 1
    crossed = [blank("long", 120, 60, direction="x"), blank("wide", 40, 100, direction="x")]
    assert most_sets_layout(sheet, crossed).sets == 0
    assert most_sets_layout(sheet, [crossed[0], blank("wide", 40, 100)]).sets == 1
    assert most_sets_layout(sheet, [long, wide]).direction == "x"


def test_whole_sets_are_proven():
    """Nine halves of a sheet cannot come out of four sheets: the bound by area meets the plan."""
    half = blank("half", 210, Fraction(297, 2))
    assert [sheets_needed(STOCK_SHEETS["a4"], [half], boxes) for boxes in (0, 1, 2, 9)] == [0, 1, 1, 5]


def test_sheets_for_a_batch():
    """Plain arithmetic: two of each lie side by side on A4 (100 + 104 ≤ 210, 2 × 148 ≤ 297), so two sets a
    sheet.
    """
    blanks = [blank("base", 148, 100), blank("lid", 148, 104)]
    found = [batch(STOCK_SHEETS["a4"], blanks, boxes) for boxes in (1, 6, 12, 24, 50)]
    assert [each.boxes for each in found] == [1, 6, 12, 24, 50]
    assert [(each.sheets, each.fewest) for each in found] == [(n, True) for n in (1, 3, 6, 12, 25)]


def test_mixing_saves_sheets():
    """Plain arithmetic: a sheet of 10 × 10 holds one 6 × 10 and one 4 × 10, or two 4 × 10.

    Three boxes of one large and three small blanks take three sheets of the first sort and three of the
    second. Each kind alone would take 3 + 5, and a whole set does not fit one sheet.
    """
    sheet = StockSheet("square", length(10), length(10))
    blanks = [blank("large", 6, 10), blank("small", 4, 10, 3)]
    found = batch(sheet, blanks, 3)
    assert (found.sheets, found.fewest) == (6, True)


def test_a_set_that_no_sheet_holds():
    """Each piece from a sheet of its own: as many sheets as pieces."""
    blanks = [blank("base", 200, 200), blank("lid", 205, 205)]
    assert most_sets_layout(STOCK_SHEETS["a4"], blanks).sets == 0
    assert most_sets_layout(STOCK_SHEETS["a4"], blanks).too_large == ()
    assert [batch(STOCK_SHEETS["a4"], blanks, n).sheets for n in (1, 6, 50)] == [2, 12, 100]


def test_many_small_pieces_are_not_given_up():
    """Five kinds of small pieces are more than can be tried to the end: a sound layout of many sets, said to
    be no proof.
    """
    blanks = [blank("a", 61, 40), blank("b", 55, 37), blank("c", 31, 23), blank("d", 70, 25),
              blank("e", 90, 40)]
    with within(20):
        found = most_sets_layout(STOCK_SHEETS["12x12 in"], blanks)
    assert not found.most and found.sets >= 6
    assert faults(found, sizes(blanks)) == []
    area = sum(b.width.value * b.height.value for b in blanks)
    assert found.sets <= STOCK_SHEETS["12x12 in"].width.value ** 2 / area
    assert batch(STOCK_SHEETS["12x12 in"], blanks, found.sets).sheets == 1


def test_a_plan_is_enough_for_any_number_of_boxes():
    """A million boxes are planned at once, and take no more sheets than whole sets alone would."""
    blanks = [blank("base", 120, 90), blank("lid", 124, 94)]
    each = most_sets_layout(STOCK_SHEETS["12x12 in"], blanks).sets
    found = batch(STOCK_SHEETS["12x12 in"], blanks, 10 ** 6)
    area = sum(b.width.value * b.height.value for b in blanks) * 10 ** 6
    assert area / STOCK_SHEETS["12x12 in"].width.value ** 2 <= found.sheets <= -(-10 ** 6 // each)


@pytest.mark.parametrize("boxes", [1, 6, 12, 24, 50])
def test_more_boxes_never_take_fewer_sheets(boxes):
    """Whatever way they are counted."""
    blanks = [blank("a", 60, 40), blank("b", 55, 35), blank("c", 30, 20), blank("d", 70, 25)]
    counts = [sheets_needed(STOCK_SHEETS["a4"], blanks, n) for n in range(max(boxes - 1, 0), boxes + 2)]
    assert counts == sorted(counts)


@settings(deadline=None, max_examples=examples(40))
@given(st.lists(st.tuples(st.integers(20, 60), st.integers(20, 60), st.integers(1, 2)), min_size=2,
                max_size=3),
       st.integers(60, 200), st.integers(60, 200))
def test_blocks_are_sound(wanted, width, height):
    """With hardly any work allowed the number is smaller or as large as the proven one, and said to be no
    proof.
    """
    blanks = [blank(f"b{k}", w, h, count) for k, (w, h, count) in enumerate(wanted)]
    sheet = StockSheet("offcut", length(width), length(height))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(dynamic_programming, "MAX_SUMS", 3000)
        table_of.cache_clear()
        try:
            found = most_sets_layout(sheet, blanks)
        except SheetError as error:
            assert error.code == "too-much"
            return
        finally:
            table_of.cache_clear()
    assert faults(found, sizes(blanks)) == []
    assert all(found.counts.get(b.name, 0) == found.sets * b.count for b in blanks)
    area = sum(b.width.value * b.height.value * b.count for b in blanks)
    assert found.sets * area <= width * height
    if width * height < 12_000:
        proven = most_sets_layout(sheet, blanks)
        assert found.sets == proven.sets if found.most else found.sets <= proven.sets
