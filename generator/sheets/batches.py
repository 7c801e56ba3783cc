"""How many sheets a batch of boxes takes."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from math import ceil, prod

import numpy as np

from generator.dataclass import dataclass
from generator.geometry.arrays import IntArray
from generator.paper.sheet_layouts import Blank, StockSheet
from generator.sheets.cut_tree import SheetError
from generator.sheets.cutting_problem import grain_directions, kerf_loss, table_of
from generator.sheets.dynamic_programming import CuttingTable
from generator.sheets.sets import BlankKind, blank_kinds, most_sets, problem_of, scoring_order, single_yield
from generator.units import ZERO, Quantity

MAX_DEMANDS = 200_000      # combinations of blanks that may still be wanted, for the exact count
MAX_STEPS = 400_000_000    # of those, times ways to cut a sheet, times sheets
MAX_COMPARED = 50                  # numbers of sheets for whole sets that the plan without a table compares


@dataclass(frozen=True, slots=True)
class Batch:
    """``sheets`` are enough for ``boxes``; ``fewest`` is True where no smaller number can be."""

    boxes: int
    sheets: int
    fewest: bool


def sheets_needed(sheet: StockSheet, blanks: Sequence[Blank], boxes: int, kerf: Quantity = ZERO) -> int:
    """The sheets that so many boxes take, each box one set of all blanks; see :func:`batch`."""
    return batch(sheet, blanks, boxes, kerf).sheets


def batch(sheet: StockSheet, blanks: Sequence[Blank], boxes: int, kerf: Quantity = ZERO) -> Batch:
    """The sheets for a number of boxes, any blanks mixed on any sheet.

    The count is the fewest possible where the blanks are few enough to list
    everything that one sheet can give (the fewest sheets that together give
    what is wanted are then found step by step), or where it meets the bound
    by area and by each blank alone. Else it is a safe plan: as many sheets as
    pay cut into whole sets, the blanks of the boxes that are left each from
    sheets of their own; then ``fewest`` is False.
    Raises SheetError as ``sets`` does, and "sheet-small" where a blank does not fit the sheet at all.
    """
    return _cached_batch(sheet, tuple(blanks), boxes, kerf)


@lru_cache(maxsize=256)
def _cached_batch(sheet: StockSheet, blanks: tuple[Blank, ...], boxes: int, kerf: Quantity) -> Batch:
    if boxes < 0:
        raise SheetError("number-wrong", f"{boxes} boxes cannot be made", "ask for none or more")
    found = [_batch_one_way(sheet, blank_kinds(blanks, direction), boxes, kerf_loss(kerf))
             for direction in grain_directions(sheet, blanks)]
    possible = [each for each in found if each is not None]
    if not possible:
        raise SheetError("sheet-small", f"a sheet of {sheet.title} is too small for the blanks",
                         "take a larger sheet")
    return min(possible, key=lambda each: (each.sheets, not each.fewest))


def _batch_one_way(sheet: StockSheet, kinds: Sequence[BlankKind], boxes: int, kerf: Fraction) -> Batch | None:
    each = [single_yield(sheet, kind, kerf) for kind in kinds]
    if not all(each):
        return None
    low = _lower_bound(sheet, kinds, each, boxes)
    high = _plan_by_sets(sheet, kinds, each, boxes, kerf)
    if low == high:
        return Batch(boxes, high, True)
    counted = _exact_count(sheet, kinds, each, boxes, high, kerf)
    return Batch(boxes, high, False) if counted is None else Batch(boxes, counted, True)


def _lower_bound(sheet: StockSheet, kinds: Sequence[BlankKind], each: Sequence[int], boxes: int) -> int:
    """No fewer sheets, by area and by what each kind alone needs."""
    width, height = sheet.usable
    area = ceil(boxes * sum(kind.area for kind in kinds) / (width * height))
    return max(area, *(ceil(Fraction(boxes * kind.count, n)) for kind, n in zip(kinds, each, strict=True)))


def _plan_by_sets(sheet: StockSheet, kinds: Sequence[BlankKind], each: Sequence[int], boxes: int,
                  kerf: Fraction) -> int:
    """Whole sets first, then each kind from sheets of its own; the best share of the two."""
    number = most_sets(sheet, kinds, kerf).number

    def separately(left: int) -> int:
        """Sheets for the blanks of so many boxes, each kind from sheets of its own."""
        return sum(ceil(Fraction(left * kind.count, n)) for kind, n in zip(kinds, each, strict=True))
    if not number:
        return separately(boxes)
    whole = ceil(Fraction(boxes, number))
    shares: set[int] = {0, *range(max(whole - MAX_COMPARED, 0), whole + 1)}
    return min(used + separately(max(boxes - used * number, 0)) for used in shares)


# -- the exact count --------------------------------------------------------


def _exact_count(sheet: StockSheet, kinds: Sequence[BlankKind], each: Sequence[int], boxes: int, enough: int,
                 kerf: Fraction) -> int | None:
    """The fewest sheets, ``enough`` at most; None where there is too much to list."""
    wanted = [kind.count * boxes for kind in kinds]
    if prod(n + 1 for n in wanted) > MAX_DEMANDS:
        return None
    order = scoring_order(kinds, each)
    try:    # one table for every number of boxes
        table = table_of(problem_of(sheet, [kinds[k] for k in order], kerf, [each[k] for k in order]),
                         (0,) * (len(kinds) - 1) + (1,), tuple(each[k] for k in order[:-1]))
    except SheetError:
        return None
    given = list(_maximal_yields(table))
    if prod(n + 1 for n in wanted) * len(given) * enough > MAX_STEPS:
        return None
    return _fewest_covering(tuple(wanted[k] for k in order), given)


def _maximal_yields(table: CuttingTable) -> Iterator[tuple[int, ...]]:
    """Everything that one sheet can give, without what is less than something else that it can give."""
    row = table.best[-1, -1]
    all_of_it: IntArray = np.column_stack([table.vectors, row])[row >= 0]
    for given in all_of_it:
        if (all_of_it >= given).all(axis=1).sum() == 1:
            yield tuple(map(int, given))


def _fewest_covering(wanted: tuple[int, ...], given: Sequence[tuple[int, ...]]) -> int:
    """The fewest sheets that together give at least what is wanted.

    Every demand that so many cover is marked in turn.
    """
    covered = np.zeros(tuple(n + 1 for n in wanted), dtype=bool)
    covered[(0,) * len(wanted)] = True
    sheets = 0
    while not covered.flat[-1]:
        more = covered.copy()
        for amounts in given:
            before = [np.maximum(np.arange(n + 1) - a, 0) for n, a in zip(wanted, amounts, strict=True)]
            more |= covered[np.ix_(*before)]
        covered, sheets = more, sheets + 1
    return sheets
