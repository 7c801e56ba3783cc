"""The different rectangles among the blanks of a box: pieces of one size are one kind, so there is less to try.

The most complete sets of all blanks of a box out of one sheet.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from generator.paper.sheet_layouts import Blank, SheetLayout, StockSheet
from generator.sheets.blocks import by_blocks
from generator.sheets.choosing import Chooser
from generator.sheets.cut_tree import Node, SheetError, too_much
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
from generator.sheets.table import Goal, Table
from generator.units import ZERO, Quantity

MOST_OF_ONE = 1000      # blanks of a piece in one box


@dataclass(frozen=True, slots=True)
class BlankKind:
    """Blanks of one size that may lie in the same ways; a box needs as many as ``names`` has entries."""

    width: Fraction
    height: Fraction
    turns: tuple[bool, ...]
    names: tuple[str, ...]

    @property
    def count(self) -> int:
        return len(self.names)

    @property
    def area(self) -> Fraction:
        """Of all that a box needs, in mm²."""
        return self.width * self.height * self.count


def kinds_of(blanks: Sequence[Blank], direction: str | None) -> tuple[BlankKind, ...]:
    """The kinds of some blanks, on a sheet whose grain runs along ``direction``.

    Raises SheetError where there is no blank, or one of no size or of no number that makes sense.
    """
    if not blanks:
        raise SheetError("number-wrong", "no blank is given to cut", "name at least one")
    found: dict[tuple, list[str]] = {}
    for blank in blanks:
        if blank.count < 1:
            raise SheetError("number-wrong", f"{blank.name} is wanted {blank.count} times", "a box needs at least one of it")
        if blank.count > MOST_OF_ONE:
            raise SheetError("too-much", f"{blank.name} is wanted {blank.count} times in one box",
                             f"{MOST_OF_ONE} are the most; count such pieces as boxes of their own")
        found.setdefault(_as_it_lies(blank, direction), []).extend([blank.name] * blank.count)
    return tuple(BlankKind(*shape, tuple(names)) for shape, names in found.items())


def _as_it_lies(blank: Blank, direction: str | None) -> tuple[Fraction, Fraction, tuple[bool, ...]]:
    return exact(blank.width), exact(blank.height), turns_of(blank, direction)


def posed(sheet: StockSheet, kinds: Sequence[BlankKind], kerf: Fraction, most: Sequence[int | None] | None = None) -> CuttingProblem:
    """The problem of cutting these kinds from a sheet, at most ``most`` of each (as many as there can be without it)."""
    limits = most if most is not None else [None] * len(kinds)
    rectangles = [Rectangle(k.width, k.height, k.turns, limit) for k, limit in zip(kinds, limits, strict=True)]
    return problem(*sheet.usable, rectangles, kerf)


def sets(sheet: StockSheet, blanks: Sequence[Blank], kerf: Quantity = ZERO) -> SheetLayout:
    """The most complete sets, each as many of every blank as its ``count`` says, that edge-to-edge cuts get out of a sheet.

    The number is proven (``Layout.most``): the next higher one was tried in
    full, or the area of the sheet or the yield of one blank rules it out.
    Where that was more than can be tried, it is the highest number that was
    found, and ``most`` is False. All blanks are of one paper;
    ``Layout.direction`` says how its grain has to run. A sheet that holds no
    set gives an empty layout; ``too_large`` names what it cannot hold at all.
    Raises SheetError: "length-negative" for a blank of no size, "number-wrong"
    without blanks, "too-much" where not even one set could be looked for.
    """
    return _sets(sheet, tuple(blanks), kerf)


@lru_cache(maxsize=256)     # findings, page, gallery and table ask for the same, each in every language
def _sets(sheet: StockSheet, blanks: tuple[Blank, ...], kerf: Quantity) -> SheetLayout:
    own = loss(kerf)
    found: list[tuple[SetsFound, str | None, tuple[BlankKind, ...]]] = []
    for direction in directions(sheet, blanks):
        kinds = kinds_of(blanks, direction)
        found.append((most_sets(sheet, kinds, own), direction, kinds))
    best, direction, kinds = max(found, key=lambda each: each[0].number)
    proven = all(each.proven or best.number >= bound(sheet, kinds, own) for each, _, kinds in found)
    if not best.number and not proven:
        raise too_much()
    bounding = tuple(dict.fromkeys(blank.name for blank in blanks if blank.bounding))
    return replace(_layout(sheet, kinds, best, own), direction=direction if best.number else None,
                   runs=runs_of(blanks), bounding=bounding, most=proven)


@dataclass(frozen=True, slots=True)
class SetsFound:
    """A number of sets that a sheet gives; ``proven`` where it gives no more. ``tree`` is None where the table knows it."""

    number: int
    proven: bool
    tree: Node | None = None


def most_sets(sheet: StockSheet, kinds: Sequence[BlankKind], kerf: Fraction) -> SetsFound:
    """How many complete sets one sheet gives; where that cannot be tried to the end, as many as were found.

    Raises SheetError ("too-much") where not even one kind alone can be tried.
    """
    most = bound(sheet, kinds, kerf)
    if len(kinds) == 1:
        return SetsFound(most, True)
    number = 0
    try:
        while number < most and _holds(sheet, kinds, number + 1, kerf):
            number += 1
    except SheetError:
        blocks = by_blocks(_problem(sheet, kinds, 1, kerf), lambda n: _wanted(sheet, kinds, n, kerf), most)
        if blocks is not None and blocks[0] > number:
            return SetsFound(blocks[0], blocks[0] == most, blocks[1])
        return SetsFound(number, False)
    return SetsFound(number, True)


def alone(sheet: StockSheet, kind: BlankKind, kerf: Fraction) -> int:
    """How many blanks of one kind a sheet gives when nothing else is cut from it."""
    return int(table_of(posed(sheet, (kind,), kerf), (1,)).best[-1, -1, 0])


def ordered(kinds: Sequence[BlankKind], counts: Sequence[int]) -> list[int]:
    """The kinds' places, the one that is wanted most last: it is scored, all others are counted."""
    return sorted(range(len(kinds)), key=lambda k: counts[k])


def bound(sheet: StockSheet, kinds: Sequence[BlankKind], kerf: Fraction) -> int:
    """No more sets than that, by the yield of each kind alone and by area."""
    width, height = sheet.usable
    most = min(alone(sheet, kind, kerf) // kind.count for kind in kinds)
    return min(most, int(width * height / sum(kind.area for kind in kinds)))


def _problem(sheet: StockSheet, kinds: Sequence[BlankKind], number: int, kerf: Fraction) -> CuttingProblem:
    order = ordered(kinds, [kind.count for kind in kinds])
    return posed(sheet, [kinds[k] for k in order], kerf, [kinds[k].count * number for k in order])


def _wanted(sheet: StockSheet, kinds: Sequence[BlankKind], number: int, kerf: Fraction) -> tuple[CuttingProblem, tuple[int, ...], Goal]:
    """The problem for so many sets, what its table counts, and what is wanted of the sheet."""
    counts = sorted(kind.count * number for kind in kinds)
    slot = 0
    for count in counts[:-1]:       # the last place of a table with these numbers
        slot = slot * (count + 1) + count
    return _problem(sheet, kinds, number, kerf), tuple(counts[:-1]), Goal(slot, counts[-1])


def _asked(sheet: StockSheet, kinds: Sequence[BlankKind], number: int, kerf: Fraction) -> tuple[Table, Goal]:
    problem, caps, goal = _wanted(sheet, kinds, number, kerf)
    return table_of(problem, (0,) * len(caps) + (1,), caps), goal


def _holds(sheet: StockSheet, kinds: Sequence[BlankKind], number: int, kerf: Fraction) -> bool:
    table, goal = _asked(sheet, kinds, number, kerf)
    return table.holds(-1, -1, goal)


def _layout(sheet: StockSheet, kinds: Sequence[BlankKind], found: SetsFound, kerf: Fraction) -> SheetLayout:
    if not found.number:
        too_large = [name for kind in kinds if not posed(sheet, (kind,), kerf).fits(0) for name in kind.names]
        return SheetLayout(sheet, kerf=kerf, too_large=tuple(dict.fromkeys(too_large)))
    problem, tree = _problem(sheet, kinds, found.number, kerf), found.tree
    if tree is None:
        table, goal = _asked(sheet, kinds, found.number, kerf)
        tree = Chooser(table).tree(problem.width, problem.height, goal)
    order = ordered(kinds, [kind.count for kind in kinds])
    names = {place: kinds[k].names for place, k in enumerate(order)}
    return replace(laid_out(problem, tree, sheet, names), sets=found.number)
