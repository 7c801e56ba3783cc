"""Settings of the fence shared by all sheets: as few as an independent search of everything finds."""
from __future__ import annotations

import random
from collections.abc import Sequence
from fractions import Fraction

import pytest

from generator.paper.sheet_layouts import STOCK_SHEETS, Blank, StockSheet
from generator.sheets import SheetError
from generator.sheets.shared_settings import SharedPlan, shared_plans
from generator.units import length
from tests.sheets.setting_brute_force import Sizes, fewest

MOST_SETTINGS, MOST_SHEETS = 3, 8


def random_cases(number: int) -> list[tuple[int, int, Sizes, tuple[int, ...]]]:
    """Small sheets with blanks that they hold, the same on every machine."""
    rnd, found = random.Random(18), []
    while len(found) < number:
        width, height = rnd.randint(3, 9), rnd.randint(3, 9)
        blanks = tuple({tuple(sorted((rnd.randint(1, 6), rnd.randint(1, 6)))): 0
                        for _ in range(rnd.randint(1, 3))})
        if all(a <= min(width, height) and b <= max(width, height) for a, b in blanks):
            found.append((width, height, tuple((a, b) for a, b in blanks),
                          tuple(rnd.randint(1, 3) for _ in blanks)))
    return found


def blanks_for(sizes: Sizes, wanted: Sequence[int]) -> list[Blank]:
    """Blanks that may lie either way."""
    return [Blank(f"b{k}", length(a), length(b), count=n)
            for k, ((a, b), n) in enumerate(zip(sizes, wanted, strict=True))]


@pytest.mark.parametrize("case", random_cases(60), ids=str)
def test_as_few_as_brute_force_finds(case):
    """For each number of settings the sheets and the cuts are those of the best sequence of whole lengths."""
    width, height, sizes, wanted = case
    found = shared_plans(StockSheet("sheet", length(width), length(height)), blanks_for(sizes, wanted))
    ours = {len(plan.settings): (plan.sheets, plan.cuts) for plan in found.plans}
    best: tuple[int, int] | None = None
    for number, figures in fewest(width, height, sizes, wanted, min(max(ours), MOST_SETTINGS),
                                  MOST_SHEETS).items():
        if best is None or figures[0] < best[0]:
            assert ours[number] == figures
            best = figures
        else:
            assert number not in ours
    assert found.fewest_settings and found.fewest_sheets


@pytest.mark.parametrize("case", random_cases(20), ids=str)
def test_the_work_adds_up(case):
    """All sheets are blanks and offcuts, by area and by number; blanks are as many as asked."""
    width, height, sizes, wanted = case
    for plan in shared_plans(StockSheet("sheet", length(width), length(height)),
                             blanks_for(sizes, wanted)).plans:
        blanks = sum(plan.gives[f"b{k}"] * a * b for k, (a, b) in enumerate(sizes))
        waste = sum(a * b * n for (a, b), n in plan.offcuts.items())
        assert plan.sheets * width * height == blanks + waste
        assert all(plan.gives[f"b{k}"] >= n for k, n in enumerate(wanted))
        pieces = sum(plan.gives.values()) + sum(plan.offcuts.values())
        assert pieces == plan.sheets + plan.cuts, "each cut makes two of one"


def strips(sheet: str, boxes: int, direction: str | None = None) -> SharedPlan:
    """The plan for the strip of the inch caddy, 10 1/2 by 5 5/8 in."""
    blank = Blank("strip", length(Fraction("266.7")), length(Fraction("142.875")), count=boxes,
                  direction=direction)
    return shared_plans(STOCK_SHEETS[sheet], [blank]).plans[-1]


def test_a_strip_by_hand():
    """Two strips side by side need 11 1/4 in: Letter gives one, by two cuts; 12 in two, shortened first."""
    letter, square = strips("letter", 12), strips("12x12 in", 12)
    assert (letter.sheets, letter.cuts, len(letter.settings)) == (12, 24, 2)
    assert (square.sheets, square.cuts, len(square.settings)) == (6, 18, 2)
    assert [(setting.fence / Fraction("25.4"), setting.cuts) for setting in square.settings] == [
        (Fraction(21, 2), 6), (Fraction(45, 8), 12)]
    assert letter.direction is None and strips("letter", 1, "x").direction == "y"


def test_two_sizes_by_hand():
    """A base of 7 3/16 by 5 15/16 and a lid of 5 1/2 by 4 1/4 in, twice out of 12 in: a strip of two bases
    (11 7/8 in) and one of two lids (11 in), 7 3/16 and 4 1/4 of 12 wide, by six cuts.
    """
    inch = Fraction("25.4")
    found = shared_plans(STOCK_SHEETS["12x12 in"], [
        Blank("base", length(inch * Fraction(115, 16)), length(inch * Fraction(95, 16)), count=12),
        Blank("lid", length(inch * Fraction(11, 2)), length(inch * Fraction(17, 4)), count=12)])
    plan = found.plans[-1]
    assert (plan.sheets, len(plan.settings), plan.cuts) == (6, 4, 36)
    assert {setting.fence / inch for setting in plan.settings} == {
        Fraction(115, 16), Fraction(95, 16), Fraction(11, 2), Fraction(17, 4)}


def test_fewer_settings_for_more_sheets():
    """Drawers of 4 3/8 by 5 1/2 and sleeves of 7 1/2 by 3 1/2 in, twelve of each, out of Letter: the sleeves
    turned two ways save four sheets and cost a setting.
    """
    inch = Fraction("25.4")
    found = shared_plans(STOCK_SHEETS["letter"], [
        Blank("drawer", length(inch * Fraction(35, 8)), length(inch * Fraction(11, 2)), count=12),
        Blank("sleeve", length(inch * Fraction(15, 2)), length(inch * Fraction(7, 2)), count=12)])
    few, thrifty = found.plans
    assert len(few.settings) < len(thrifty.settings) and few.sheets > thrifty.sheets
    # 12 · (4 3/8 · 5 1/2 + 7 1/2 · 3 1/2) in² are 603.75 in², seven sheets of 93.5 are 654.5
    assert 7 <= thrifty.sheets <= 8


def test_a_selvedge_goes_first():
    """It is one setting more and a cut of every sheet."""
    sheet = StockSheet("square", length(100), length(100), length(10))
    plan = shared_plans(sheet, [Blank("half", length(45), length(100), count=4)]).plans[-1]
    assert [(setting.fence, setting.cuts) for setting in plan.settings] == [(90, 2), (45, 2)]


def test_a_sheet_too_small_is_said():
    """As where batches are counted."""
    with pytest.raises(SheetError) as trouble:
        shared_plans(STOCK_SHEETS["a5"], [Blank("strip", length(252), length(139))])
    assert trouble.value.code == "sheet-small"
