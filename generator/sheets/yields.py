"""How many blanks of one kind come out of a sheet, and the most that several kinds are worth."""
from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import lcm

from generator.dataclass import dataclass, replace
from generator.paper.sheet_layouts import Blank, SheetLayout, StockSheet
from generator.sheets.cut_tree import CutNode, SheetError
from generator.sheets.cutting_problem import (
    BlankRectangle,
    CuttingProblem,
    direction_kind,
    exact_side,
    grain_directions,
    integer_problem,
    kerf_loss,
    layout_of_tree,
    orientations_of,
    table_of,
)
from generator.sheets.dynamic_programming import CutGoal
from generator.sheets.tree_choice import TreeChooser
from generator.units import ZERO, Quantity, length

BLANK_NAME = "blank"
Side = Quantity | int
ValuedSize = tuple[Side, Side, Fraction | int]      # width, height, value


@dataclass(frozen=True, slots=True)
class BestValue:
    """The most that a rectangle is worth; ``tree`` is in the small unit of the search, ``layout`` in mm."""

    value: Fraction
    tree: CutNode
    layout: SheetLayout


def blank_count(sheet: StockSheet, width: Quantity, height: Quantity, *, turn: bool,
                kerf: Quantity = ZERO) -> int:
    """The number of blanks that :func:`most_blanks` finds, without choosing a way to cut them."""
    return max(_count_of(problem) for _, problem in _problems(sheet, _blank(width, height, turn), kerf))


def most_blanks(sheet: StockSheet, width: Quantity, height: Quantity, *, turn: bool,
                kerf: Quantity = ZERO) -> SheetLayout:
    """The most blanks that edge-to-edge cuts get out of one sheet; ``Layout.sets`` is their number.

    With ``turn`` each may lie either way. Without it (grain, a one-way
    pattern) all lie alike, and the sheet is looked at both ways round, since
    its grain may run along either side: ``Layout.direction`` says which
    side of it then goes with the *height* of the blanks. A sheet that is too
    small gives an empty layout that names the blank as ``too_large``.
    Raises SheetError for a blank of no size ("length-negative") and where
    there is more to try than can be ("too-much").
    """
    return most_of_blank(sheet, _blank(width, height, turn), kerf)


def most_of_blank(sheet: StockSheet, blank: Blank, kerf: Quantity = ZERO) -> SheetLayout:
    """As :func:`most_blanks`, for a blank that knows how it may lie; its ``count`` is not looked at."""
    direction, problem = max(_problems(sheet, blank, kerf), key=lambda found: _count_of(found[1]))
    bounding = (blank.name,) if blank.bounding else ()
    number = _count_of(problem)
    if not number:
        return SheetLayout(sheet, kerf=problem.scale.kerf, bounding=bounding, too_large=(blank.name,))
    tree = TreeChooser(table_of(problem, (1,))).tree(problem.width, problem.height, CutGoal(0, number))
    layout = layout_of_tree(problem, tree, sheet, {0: (blank.name,)})
    return replace(layout, sets=number, direction=direction, runs=direction_kind((blank,)), bounding=bounding)


def most_valuable(width: Side, height: Side, kinds: Sequence[ValuedSize], turn: bool,
                  kerf: Quantity = ZERO) -> BestValue:
    """The most value out of a rectangle.

    ``kinds`` are (width, height, value), each to be had any number of times.

    Lengths are quantities or numbers of mm, values above nothing. Without ``turn`` every
    blank lies as it is given: width along width. Raises SheetError as :func:`most_blanks`.
    """
    if not kinds:
        raise SheetError("number-wrong", "no blank is given to cut", "name at least one")
    if any(value <= 0 for _, _, value in kinds):
        raise SheetError("number-wrong", "a blank must be worth more than nothing",
                         "leave out what is worth nothing")
    values = [Fraction(value) for _, _, value in kinds]
    unit = lcm(*(value.denominator for value in values))
    turns = (False, True) if turn else (False,)
    sides = exact_side(width), exact_side(height)
    problem = integer_problem(*sides,
                            [BlankRectangle(exact_side(w), exact_side(h), turns) for w, h, _ in kinds],
                            kerf_loss(kerf))
    table = table_of(problem, tuple(int(value * unit) for value in values))
    most = int(table.best[-1, -1, 0])
    tree = TreeChooser(table).tree(problem.width, problem.height, CutGoal(0, most))
    sheet = StockSheet("", *map(length, sides))
    names = {kind: (str(kind + 1),) for kind in range(len(kinds))}
    layout = layout_of_tree(problem, tree, sheet,
                            names) if most else SheetLayout(sheet, kerf=problem.scale.kerf)
    return BestValue(Fraction(most, unit), tree, layout)


def _blank(width: Quantity, height: Quantity, turn: bool) -> Blank:
    return Blank(BLANK_NAME, width, height, direction=None if turn else "y")


def _problems(sheet: StockSheet, blank: Blank, kerf: Quantity) -> list[tuple[str | None, CuttingProblem]]:
    """The problem for each direction in which the sheet's grain may run."""
    sides = exact_side(blank.width), exact_side(blank.height)
    return [(direction, integer_problem(*sheet.usable,
                                        [BlankRectangle(*sides, orientations_of(blank, direction))],
                                        kerf_loss(kerf)))
            for direction in grain_directions(sheet, (blank,))]


def _count_of(problem: CuttingProblem) -> int:
    return int(table_of(problem, (1,)).best[-1, -1, 0])
