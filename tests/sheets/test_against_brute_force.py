"""The exact recursion against trying every cut at every mm, on small sheets (the brute force shares
no code).
"""
from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from generator.paper.sheet_layouts import Blank, StockSheet
from generator.sheets import blank_count, most_blanks, most_sets_layout, most_valuable, sheets_needed
from generator.units import length
from tests.sheets.brute_force import most_sets, most_value
from tests.sheets.layout_checker import faults
from tests.time_limits import examples

SIDE = st.integers(1, 14)
KINDS = st.lists(st.tuples(SIDE, SIDE, st.integers(1, 60)), min_size=1, max_size=3)


def _sheet(width: int, height: int) -> StockSheet:
    return StockSheet("offcut", length(width), length(height))


@settings(deadline=None, max_examples=examples(120))
@given(st.integers(1, 20), st.integers(1, 20), KINDS, st.booleans(), st.integers(0, 2))
def test_the_value_is_the_best_there_is(width, height, kinds, turn, kerf):
    """Several kinds with values, turned or not, with and without a loss at each cut."""
    found = most_valuable(width, height, kinds, turn, length(kerf))
    assert found.value == most_value(width, height, tuple(kinds), turn, kerf)
    worth = sum(kinds[int(p.piece) - 1][2] for p in found.layout.placements)
    assert worth == found.value
    sizes = {str(k + 1): (w, h) for k, (w, h, _) in enumerate(kinds)}
    assert faults(found.layout, sizes) == []


@settings(deadline=None, max_examples=examples(80))
@given(st.integers(3, 26), st.integers(3, 26), st.integers(1, 9), st.integers(1, 9), st.booleans(),
       st.integers(0, 1))
def test_the_number_of_blanks_is_the_highest(width, height, a, b, turn, kerf):
    """Blanks of one kind; where they may not be turned the sheet may, all of it."""
    found = most_blanks(_sheet(width, height), length(a), length(b), turn=turn, kerf=length(kerf))
    lying = most_value(width, height, ((a, b, 1),), turn, kerf)
    expected = lying if turn else max(lying, most_value(width, height, ((b, a, 1),), False, kerf))
    assert found.sets == len(found.placements) == expected
    assert blank_count(_sheet(width, height), length(a), length(b), turn=turn, kerf=length(kerf)) == expected
    assert len({p.turned for p in found.placements}) <= 1 or turn
    assert faults(found, {"blank": (a, b)}) == []


BLANKS = st.lists(st.tuples(st.integers(2, 9), st.integers(2, 9), st.integers(1, 2), st.booleans()),
                  min_size=1, max_size=3)


@settings(deadline=None, max_examples=examples(250))
@given(st.integers(4, 12), st.integers(4, 12), BLANKS)
def test_the_number_of_sets_is_the_highest(width, height, wanted):
    """Sets of up to three kinds, some of which may not be turned."""
    blanks = [Blank(f"b{k}", length(a), length(b), count, None if turn else "y")
              for k, (a, b, count, turn) in enumerate(wanted)]
    found = most_sets_layout(_sheet(width, height), blanks)
    turned = [(a, b, c, t) if t else (b, a, c, t) for a, b, c, t in wanted]
    ways = [wanted] if turned == wanted else [wanted, turned]
    assert found.sets == max(most_sets(width, height, tuple(way), limit=6) for way in ways) or found.sets > 6
    assert all(found.counts.get(b.name, 0) == found.sets * b.count for b in blanks)
    assert faults(found, {b.name: (b.width.value, b.height.value) for b in blanks}) == []


@settings(deadline=None, max_examples=examples(150))
@given(st.integers(4, 9), st.integers(4, 9), BLANKS.filter(lambda b: len(b) < 3), st.integers(1, 3))
def test_no_fewer_sheets_are_enough(width, height, wanted, boxes):
    """The blanks of all boxes fit so many sheets and, where all is counted, not one sheet less."""
    blanks = [Blank(f"b{k}", length(a), length(b), count) for k, (a, b, count, _) in enumerate(wanted)]
    if any(not blank_count(_sheet(width, height), b.width, b.height, turn=True) for b in blanks):
        return
    needed = sheets_needed(_sheet(width, height), blanks, boxes)
    one_set = tuple((a, b, count * boxes, True) for a, b, count, _ in wanted)
    assert _fit(width, height, needed, one_set)
    assert needed == 0 or not _fit(width, height, needed - 1, one_set)


def _fit(width: int, height: int, sheets: int, blanks: tuple) -> bool:
    """Brute force: side by side in one row with walls between them, any sheets are one sheet that is cut
    first.
    """
    if sheets <= 1:
        return sheets == 1 and most_sets(width, height, blanks, limit=1) == 1
    shares = [()]
    for *_, count, _ in blanks:
        shares = [(*share, n) for share in shares for n in range(count + 1)]
    for share in shares:
        first = tuple((a, b, n, t) for n, (a, b, _, t) in zip(share, blanks, strict=True) if n)
        rest = tuple((a, b, c - n, t) for n, (a, b, c, t) in zip(share, blanks, strict=True) if c - n)
        if (first and most_sets(width, height, first, limit=1) == 1
                and (not rest or _fit(width, height, sheets - 1, rest))):
            return True
    return False
