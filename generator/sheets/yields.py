"""How many blanks of one kind come out of a sheet, and the most that several kinds are worth."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import lcm

from generator.paper.sheet_layouts import Blank, SheetLayout, StockSheet
from generator.sheets.choosing import Chooser
from generator.sheets.cut_tree import Node, SheetError
from generator.sheets.problem import (
    CuttingProblem,
    Rectangle,
    directions,
    exact,
    laid_out,
    loss,
    problem,
    runs_of,
    table_of,
    turns_of,
)
from generator.sheets.table import Goal
from generator.units import ZERO, Quantity, length

BLANK = "blank"


@dataclass(frozen=True, slots=True)
class Best:
    """The most that a rectangle is worth; ``tree`` is in the small unit of the search, ``layout`` in mm."""

    value: Fraction
    tree: Node
    layout: SheetLayout


def how_many(sheet: StockSheet, width: Quantity, height: Quantity, *, turn: bool, kerf: Quantity = ZERO) -> int:
    """The number of blanks alone, as :func:`yields` finds it, without looking for a handy way to cut them."""
    return max(_count(posed) for _, posed in _posed(sheet, _blank(width, height, turn), kerf))


def yields(sheet: StockSheet, width: Quantity, height: Quantity, *, turn: bool, kerf: Quantity = ZERO) -> SheetLayout:
    """The most blanks that edge-to-edge cuts get out of one sheet; ``Layout.sets`` is their number.

    With ``turn`` each may lie either way. Without it (grain, a one-way
    pattern) all lie alike, and the sheet is looked at both ways round, since
    its grain may run along either side: ``Layout.direction`` says which
    side of it then goes with the *height* of the blanks. A sheet that is too
    small gives an empty layout that names the blank as ``too_large``.
    Raises SheetError for a blank of no size ("length-negative") and where
    there is more to try than can be ("too-much").
    """
    return of_blank(sheet, _blank(width, height, turn), kerf)


def of_blank(sheet: StockSheet, blank: Blank, kerf: Quantity = ZERO) -> SheetLayout:
    """As :func:`yields`, for a blank that knows how it may lie; its ``count`` is not looked at."""
    direction, posed = max(_posed(sheet, blank, kerf), key=lambda found: _count(found[1]))
    bounding = (blank.name,) if blank.bounding else ()
    number = _count(posed)
    if not number:
        return SheetLayout(sheet, kerf=posed.scale.kerf, bounding=bounding, too_large=(blank.name,))
    tree = Chooser(table_of(posed, (1,))).tree(posed.width, posed.height, Goal(0, number))
    layout = laid_out(posed, tree, sheet, {0: (blank.name,)})
    return replace(layout, sets=number, direction=direction, runs=runs_of((blank,)), bounding=bounding)


def best_value(width: Quantity | int, height: Quantity | int, kinds: Sequence[tuple], turn: bool,
               kerf: Quantity = ZERO) -> Best:
    """The most value out of a rectangle: ``kinds`` are (width, height, value), each to be had any number of times.

    Lengths are quantities or numbers of mm, values above nothing. Without ``turn`` every
    blank lies as it is given: width along width. Raises SheetError as :func:`yields`.
    """
    if not kinds:
        raise SheetError("number-wrong", "no blank is given to cut", "name at least one")
    if any(value <= 0 for _, _, value in kinds):
        raise SheetError("number-wrong", "a blank must be worth more than nothing", "leave out what is worth nothing")
    values = [Fraction(value) for _, _, value in kinds]
    unit = lcm(*(value.denominator for value in values))
    turns = (False, True) if turn else (False,)
    sides = exact(width), exact(height)
    posed = problem(*sides, [Rectangle(exact(w), exact(h), turns) for w, h, _ in kinds], loss(kerf))
    table = table_of(posed, tuple(int(value * unit) for value in values))
    most = int(table.best[-1, -1, 0])
    tree = Chooser(table).tree(posed.width, posed.height, Goal(0, most))
    sheet = StockSheet("", *map(length, sides))
    names = {kind: (str(kind + 1),) for kind in range(len(kinds))}
    layout = laid_out(posed, tree, sheet, names) if most else SheetLayout(sheet, kerf=posed.scale.kerf)
    return Best(Fraction(most, unit), tree, layout)


def _blank(width: Quantity, height: Quantity, turn: bool) -> Blank:
    return Blank(BLANK, width, height, direction=None if turn else "y")


def _posed(sheet: StockSheet, blank: Blank, kerf: Quantity) -> list[tuple[str | None, CuttingProblem]]:
    """The problem for each direction in which the sheet's grain may run."""
    sides = exact(blank.width), exact(blank.height)
    return [(direction, problem(*sheet.usable, [Rectangle(*sides, turns_of(blank, direction))], loss(kerf)))
            for direction in directions(sheet, (blank,))]


def _count(posed: CuttingProblem) -> int:
    return int(table_of(posed, (1,)).best[-1, -1, 0])
