"""Numbers that were published, or that anybody can recompute: how much comes out of a sheet."""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.paper.sheet_layouts import STOCK_SHEETS
from generator.sheets import blank_count, most_blanks, most_valuable
from generator.units import INCH, ZERO, length, parse_length
from tests.sheets.brute_force import most_value
from tests.sheets.gcut import OPTIMA, SHEET, blanks
from tests.sheets.layout_checker import faults


@pytest.mark.parametrize("turn", [False, True])
@pytest.mark.parametrize("problem", OPTIMA)
def test_gcut(problem, turn):
    """Unbounded guillotine cutting, fixed and turned: optima as published by Cintra and others (2008)."""
    sizes = blanks(problem)
    found = most_valuable(*SHEET, [(w, h, w * h) for w, h in sizes], turn)
    assert found.value == OPTIMA[problem][turn]
    assert sum(p.width * p.height for p in found.layout.placements) == OPTIMA[problem][turn]
    assert turn or not any(p.turned for p in found.layout.placements)
    assert faults(found.layout, {str(k + 1): size for k, size in enumerate(sizes)}) == []


@pytest.mark.parametrize(("sheet", "blank", "number"), [((22, 16), (5, 3), 22), ((43, 26), (7, 3), 52)])
def test_small_sheets_recomputed(sheet, blank, number):
    """Recomputed by exhaustive recursion.

    Of 5 × 3, 23 would fit 22 × 16 if cuts need not run from edge to edge.
    """
    found = most_valuable(*sheet, [(*blank, 1)], turn=True)
    assert found.value == len(found.layout.placements) == number == most_value(*sheet, ((*blank, 1),), True)


@pytest.mark.parametrize(("name", "width", "height", "number", "grid"), [
    ("a4", 120, 45, 10, 8), ("a4", 150, 100, 3, 2), ("letter", 100, 70, 8, 6)])
def test_stock_sheets_recomputed(name, width, height, number, grid):
    """Recomputed by exhaustive recursion; a plain grid of blanks that all lie alike gives fewer."""
    sheet = STOCK_SHEETS[name]
    wide, high = sheet.width.value, sheet.height.value
    assert max((wide // width) * (high // height), (wide // height) * (high // width)) == grid
    found = most_blanks(sheet, length(width), length(height), turn=True)
    assert found.sets == number
    assert faults(found, {"blank": (Fraction(width), Fraction(height))}) == []


@pytest.mark.parametrize(("sheet", "width", "height", "number"), [
    ("a4", "252 mm", "139 mm", 1), ("letter", "10 1/2 in", "5 5/8 in", 1),
    ("12x12 in", "10 1/2 in", "5 5/8 in", 2)])
@pytest.mark.parametrize("turn", [False, True])
def test_the_strip_of_the_caddy(sheet, width, height, number, turn):
    """Plain arithmetic: two sides of 5 5/8 in are 11 1/4 in, which 12 in hold and 11 in do not."""
    found = most_blanks(STOCK_SHEETS[sheet], parse_length(width), parse_length(height), turn=turn)
    assert found.sets == number
    assert found.shortens
    assert faults(found, {"blank": (parse_length(width).value, parse_length(height).value)}) == []


@pytest.mark.parametrize(("name", "width", "height"), [
    ("a3", 297, 420), ("a4", 210, 297), ("a5", 148, 210), ("letter", Fraction(2159, 10), Fraction(2794, 10)),
    ("legal", Fraction(2159, 10), Fraction(3556, 10)), ("tabloid", Fraction(2794, 10), Fraction(4318, 10))])
def test_stock_sizes(name, width, height):
    """ISO 216; Letter and tabloid by ANSI/ASME Y14.1 (legal from memory), with 1 in = 25.4 mm (NIST Handbook
    44).
    """
    assert (STOCK_SHEETS[name].width.value, STOCK_SHEETS[name].height.value,
            STOCK_SHEETS[name].trim) == (width, height, ZERO)


def test_half_a_sheet():
    """A4 halves to A5 twice, A3 to A4 twice (ISO 216), until the blade takes its share."""
    for large, small in (("a4", "a5"), ("a3", "a4")):
        width, height = STOCK_SHEETS[small].width, STOCK_SHEETS[small].height
        assert blank_count(STOCK_SHEETS[large], width, height, turn=True) == 2
        assert blank_count(STOCK_SHEETS[large], width, height, turn=True, kerf=length(Fraction(3, 2))) == 1


def test_the_loss_of_a_blade():
    """Plain arithmetic: four strips of 2 in need 8 in and three cuts; a blade that takes 1/100 in leaves room
    for three.
    """
    inch = INCH.mm
    strip = length(2 * inch), length(8 * inch)
    assert blank_count(STOCK_SHEETS["8x8 in"], *strip, turn=True) == 4
    assert blank_count(STOCK_SHEETS["8x8 in"], *strip, turn=True, kerf=length(inch / 100)) == 3
