"""Layouts are sound: judged by a checker that cuts a sheet of its own."""
from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from generator.paper.sheet_layouts import STOCK_SHEETS, Blank, StockSheet
from generator.sheets import most_blanks, most_sets_layout
from generator.units import ZERO, length
from tests.sheets.layout_checker import faults
from tests.time_limits import examples

HALVES = st.integers(13, 60).map(lambda n: Fraction(n, 2))
BLANK = st.tuples(HALVES, HALVES, st.integers(1, 3), st.sampled_from((None, None, "x", "y")))


@settings(deadline=None, max_examples=examples(50))
@given(st.integers(10, 60), st.integers(10, 60), st.sampled_from((0, 1, Fraction(5, 2))),
       st.sampled_from((0, 1, Fraction(1, 3))), st.lists(BLANK, min_size=1, max_size=3))
def test_every_layout_is_sound(width, height, trim, kerf, wanted):
    """With selvedge, loss of the blade, grain and several pieces: nothing overlaps, every cut runs from edge
    to edge.
    """
    sheet = StockSheet("offcut", length(width), length(height), length(trim) if trim else ZERO)
    blanks = [Blank(f"b{k}", length(w), length(h), count, direction) for k,
              (w, h, count, direction) in enumerate(wanted)]
    found = most_sets_layout(sheet, blanks, length(kerf))
    assert faults(found, {b.name: (b.width.value, b.height.value) for b in blanks}) == []
    assert all(found.counts.get(b.name, 0) == found.sets * b.count for b in blanks)
    for b in blanks:
        turned = {p.turned for p in found.placements if p.piece == b.name}
        assert b.direction is None or b.width == b.height or turned <= {b.direction != found.direction}


def test_the_cheapest_way_is_chosen():
    """The strip of the caddy out of A4: first the long cut, so that the largest offcut stays whole."""
    found = most_blanks(STOCK_SHEETS["a4"], length(252), length(139), turn=False)
    assert [(cut.axis, cut.fence, cut.times, cut.side)
            for cut in found.cuts] == [("x", 139, 1, "long"), ("y", 252, 1, "short")]
    assert [cut.shortens for cut in found.cuts] == [False, True]
    assert [(o.width, o.height) for o in found.offcuts] == [(71, 297), (139, 45)]
    assert found.direction == "x"     # the grain has to run across the sheet for it to run up the walls


def test_the_fence_stays_for_like_strips():
    """Two strips out of a square: two settings, of which the second cuts twice."""
    found = most_blanks(STOCK_SHEETS["12x12 in"], length(252), length(139), turn=True)
    assert [(cut.fence, cut.times) for cut in found.cuts] == [(252, 1), (139, 2)]
    assert found.cuts[1].sources[0].step == 1


def test_like_strips_are_cut_alike():
    """A grid takes two settings, however many blanks there are; the strips are told apart by number alone."""
    found = most_blanks(STOCK_SHEETS["a4"], length(50), length(60), turn=False)
    assert found.sets == 16
    assert [(cut.parts, cut.times) for cut in found.cuts] == [(1, 4), (4, 4)]


def test_a_selvedge_goes_first():
    """It is cut off before anything is measured, and is no offcut that one could use."""
    sheet = replace(STOCK_SHEETS["12x12 in"], trim=length(Fraction(127, 10)))
    found = most_blanks(sheet, length(100), length(100), turn=True)
    assert found.cuts[0].trims and not any(cut.trims for cut in found.cuts[1:])
    assert found.cuts[0].fence == sheet.usable[0] == Fraction(2921, 10)
    assert [o.selvedge for o in found.offcuts].count(True) == 1
    assert (found.sets, most_blanks(STOCK_SHEETS["12x12 in"], length(100), length(100),
                                    turn=True).sets) == (6, 9)


def test_the_checker_finds_faults():
    """A blank that was moved, a cut that is too short and a setting that was forgotten are all found."""
    found = most_blanks(STOCK_SHEETS["a4"], length(120), length(45), turn=True)
    size = {"blank": (Fraction(120), Fraction(45))}
    assert faults(found, size) == []
    first = found.placements[0]
    assert faults(replace(found, placements=(replace(first, x=first.x + 1), *found.placements[1:])), size)
    assert faults(replace(found, placements=found.placements[:-1]), size)
    assert faults(found, {"blank": (Fraction(120), Fraction(44))})
    (x0, y0), (x1, y1) = found.cuts[0].lines[0]
    short = replace(found.cuts[0], lines=(((x0, y0), (x1, y1 - 1)), *found.cuts[0].lines[1:]))
    assert faults(replace(found, cuts=(short, *found.cuts[1:])), size)
    assert faults(replace(found, cuts=found.cuts[:-1]), size)
    assert faults(replace(found, cuts=(replace(found.cuts[0], times=1), *found.cuts[1:])), size)
