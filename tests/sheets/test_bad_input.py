"""What cannot be cut, or not worked out in time, is said at once and in plain words."""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.findings.codes import CODES
from generator.paper.sheet_layouts import STOCK_SHEETS, Blank, StockSheet
from generator.sheets import (
    SheetError,
    batch,
    blank_count,
    most_blanks,
    most_sets_layout,
    most_valuable,
    sheets_needed,
)
from generator.units import ZERO, length
from tests.time_limits import within

A4 = STOCK_SHEETS["a4"]
GOOD = Blank("strip", length(100), length(50))


def test_a_sheet_smaller_than_the_blank():
    """None comes out of it, nothing is cut, and the blank is named."""
    found = most_blanks(STOCK_SHEETS["6x6 in"], length(252), length(139), turn=True)
    assert (found.sets, found.placements, found.cuts, found.offcuts, found.direction) == (0, (), (), (), None)
    assert found.too_large == ("blank",)
    found = most_sets_layout(STOCK_SHEETS["6x6 in"], [GOOD, Blank("wall", length(252), length(139))])
    assert (found.sets, found.cuts, found.too_large) == (0, (), ("wall",))


def test_a_batch_from_sheets_that_are_too_small():
    """No number of them is enough: the finding says so."""
    with pytest.raises(SheetError, match="too small") as raised:
        sheets_needed(STOCK_SHEETS["6x6 in"], [GOOD, Blank("wall", length(252), length(139))], 3)
    assert raised.value.code == "sheet-small" and raised.value.hint


@pytest.mark.parametrize(("width", "height"), [(0, 10), (10, 0), (-5, 10), (0.0, 10.0)])
def test_a_blank_of_no_size(width, height):
    """Sizes of nothing are refused by all that cut."""
    wide, high = length(width), length(height)
    for work in (lambda: most_blanks(A4, wide, high, turn=True),
                 lambda: blank_count(A4, wide, high, turn=False),
                 lambda: most_sets_layout(A4, [GOOD, Blank("x", wide, high)]),
                 lambda: sheets_needed(A4, [Blank("x", wide, high)], 1),
                 lambda: most_valuable(100, 100, [(wide, high, 1)], True),
                 lambda: most_valuable(width, height, [(1, 1, 1)], True)):
        with pytest.raises(SheetError) as raised:
            work()
        assert raised.value.code == "length-negative"


@pytest.mark.parametrize("work", [
    lambda: most_sets_layout(A4, []), lambda: sheets_needed(A4, [], 3),
    lambda: most_valuable(10, 10, [], True),
    lambda: most_valuable(10, 10, [(1, 1, 0)], True),
    lambda: most_sets_layout(A4, [Blank("x", length(9), length(9), 0)]),
    lambda: batch(A4, [GOOD], -1)])
def test_numbers_that_mean_nothing(work):
    """No blank, a blank wanted no times, boxes below none."""
    with pytest.raises(SheetError) as raised:
        work()
    assert raised.value.code == "number-wrong" and raised.value.hint


def test_a_blade_that_gives_paper():
    """Its loss cannot be below nothing."""
    with pytest.raises(SheetError, match="blade"):
        most_blanks(A4, length(10), length(10), turn=True, kerf=length(-1))


@pytest.mark.parametrize(("width", "height"),
                         [(Fraction(1, 7), Fraction(1, 11)), (1, 2), (Fraction(1, 10 ** 9), 10)])
def test_specks_are_refused_in_time(width, height):
    """Blanks of which a sheet gives thousands are more than can be tried; that is found out before it is
    tried.
    """
    sheet = StockSheet("a1", length(594), length(841))
    for work in (lambda: most_blanks(sheet, length(width), length(height), turn=True),
                 lambda: most_sets_layout(sheet, [GOOD, Blank("speck", length(width), length(height))]),
                 lambda: sheets_needed(sheet, [Blank("speck", length(width), length(height))], 5)):
        with within(5), pytest.raises(SheetError) as raised:
            work()
        assert raised.value.code == "too-much" and raised.value.hint


def test_counts_beyond_all_paper():
    """A box of a billion blanks is refused; a billion boxes are counted."""
    with pytest.raises(SheetError, match="1000000000 times") as raised:
        most_sets_layout(A4, [Blank("strip", length(100), length(50), 10 ** 9)])
    assert raised.value.code == "too-much" and raised.value.hint
    assert sheets_needed(A4, [GOOD],
                         10 ** 9) == -(-10 ** 9 // blank_count(A4, length(100), length(50), turn=True))


def test_lengths_that_are_about():
    """A side from a root is rounded up by a hair, never down; one that only lost its exactness is not."""
    root = length(float(2 ** 0.5 * 100))
    found = most_blanks(A4, root, length(105.0), turn=True)
    assert found.sets == 4
    placed = found.placements[0]
    assert sorted((placed.width, placed.height)) == [105, Fraction(141422, 1000)]
    assert most_blanks(A4, length(105.0 + 1e-12), length(148.5), turn=False).sets == 4
    assert most_blanks(A4, length(105.0 + 1e-4), length(148.5), turn=False).sets < 4


def test_codes_are_on_the_list():
    """Whatever can go out as a finding is on the list; of a sheet too small the page speaks in its
    own words.
    """
    assert {"length-negative", "number-wrong", "too-much"} <= set(CODES)
    assert STOCK_SHEETS["a4"].trim == ZERO
