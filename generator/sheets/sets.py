"""The most complete sets of all blanks of a box out of one sheet.

Where the sheet is too large, or its blanks too many, to try everything, a
part of it may not be. The smallest rectangles of that part which hold one
set, two sets … are then cut from the sheet as if they were blanks: many sets,
without a proof that there are no more.
"""
from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache

from generator.dataclass import dataclass, replace
from generator.paper.sheet_layouts import Blank, SheetLayout, StockSheet
from generator.sheets.cut_tree import (
    BlankLeaf,
    CutNode,
    CutSplit,
    EqualStrips,
    SheetError,
    merged_split,
    too_much_error,
)
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
from generator.sheets.dynamic_programming import BlankOrientation, CutGoal, CuttingTable
from generator.sheets.tree_choice import TreeChooser
from generator.units import ZERO, Quantity

MAX_HALVINGS = 6           # how often the sheet is halved before it is given up
BLOCKS_TRIED = (16, 6, 2)  # how many sizes of block are tried at once; fewer where that is too much

# The problem with its limits set for a number of sets, its table, and what is wanted of it.
ProblemForSets = Callable[[int], tuple[CuttingProblem, tuple[int, ...], CutGoal]]


@dataclass(frozen=True, slots=True)
class SetBlock:
    """A rectangle that holds ``number`` sets, with the table that knows how, and what to ask it for."""

    width: int
    height: int
    number: int
    table: CuttingTable
    goal: CutGoal


def sets_by_blocks(sheet: CuttingProblem, wanted: ProblemForSets, most: int) -> tuple[int, CutNode] | None:
    """(sets, cut tree) of the sheet, or None where even a small part of it is too much to try."""
    width, height = sheet.width, sheet.height
    for _ in range(MAX_HALVINGS):
        blocks = _blocks(width, height, wanted, most)
        if blocks:
            return _blocks_on_sheet(sheet, blocks)
        width, height = (width // 2, height) if width >= height else (width, height // 2)
    return None


def _blocks(width: int, height: int, wanted: ProblemForSets, most: int) -> list[SetBlock]:
    """The blocks of a part of the sheet, the thriftiest first.

    There is none where it holds no set that could be found.
    """
    found: list[SetBlock] = []
    for number in range(1, most + 1):
        problem, caps, goal = wanted(number)
        try:
            table = table_of(replace(problem, width=width, height=height), (0,) * len(caps) + (1,), caps)
        except SheetError:
            break
        if not table.holds(-1, -1, goal):
            break
        found += (SetBlock(x, y, number, table, goal) for x, y in _minimal_rectangles(table, goal))
    return sorted(found, key=lambda b: (b.width * b.height / b.number, b.number))


def _minimal_rectangles(table: CuttingTable, goal: CutGoal) -> Iterator[tuple[int, int]]:
    """The rectangles of a table that give a goal, without those that hold a smaller one."""
    lowest = len(table.ys)
    for i, x in enumerate(table.xs):
        j = next((j for j in range(lowest) if table.holds(i, j, goal)), lowest)
        if j < lowest:
            yield x, table.ys[j]
            lowest = j


def _blocks_on_sheet(sheet: CuttingProblem, blocks: Sequence[SetBlock]) -> tuple[int, CutNode] | None:
    """As many blocks as the sheet gives, counted by their sets."""
    for sizes in BLOCKS_TRIED:
        chosen = blocks[:sizes]
        ways = tuple(BlankOrientation(k, block.width, block.height) for k, block in enumerate(chosen))
        try:
            table = table_of(replace(sheet, ways=ways), tuple(block.number for block in chosen))
        except SheetError:
            continue
        number = int(table.best[-1, -1, 0])
        tree = TreeChooser(table).tree(sheet.width, sheet.height, CutGoal(0, number))
        return number, _expanded(tree, chosen, {})
    return None


def _expanded(node: CutNode, blocks: Sequence[SetBlock], known: dict[int, CutNode]) -> CutNode:
    """A tree of blocks with the tree of every block in its place."""
    if isinstance(node, BlankLeaf):
        block = blocks[node.kind]
        if node.kind not in known:
            known[node.kind] = TreeChooser(block.table).tree(block.width, block.height, block.goal)
        return known[node.kind]
    if isinstance(node, CutSplit):
        strips = [EqualStrips(each.count, _expanded(each.node, blocks, known)) for each in node.strips]
        rest = node.rest and _expanded(node.rest, blocks, known)
        return merged_split(node.width, node.height, node.axis, strips, rest)
    return node


MAX_PER_BOX = 1000      # blanks of a piece in one box


@dataclass(frozen=True, slots=True)
class BlankKind:
    """Blanks of one size that may lie in the same ways; a box needs as many as ``names`` has entries."""

    width: Fraction
    height: Fraction
    turns: tuple[bool, ...]
    names: tuple[str, ...]

    @property
    def count(self) -> int:
        """How many a box needs."""
        return len(self.names)

    @property
    def area(self) -> Fraction:
        """Of all that a box needs, in mm²."""
        return self.width * self.height * self.count


def blank_kinds(blanks: Sequence[Blank], direction: str | None) -> tuple[BlankKind, ...]:
    """The kinds of some blanks, on a sheet whose grain runs along ``direction``.

    Raises SheetError where there is no blank, or one of no size or of no number that makes sense.
    """
    if not blanks:
        raise SheetError("number-wrong", "no blank is given to cut", "name at least one")
    found: dict[tuple[Fraction, Fraction, tuple[bool, ...]], list[str]] = {}
    for blank in blanks:
        if blank.count < 1:
            raise SheetError("number-wrong", f"{blank.name} is wanted {blank.count} times",
                             "a box needs at least one of it")
        if blank.count > MAX_PER_BOX:
            raise SheetError("too-much", f"{blank.name} is wanted {blank.count} times in one box",
                             f"{MAX_PER_BOX} are the most; count such pieces as boxes of their own")
        found.setdefault(_kind_key(blank, direction), []).extend([blank.name] * blank.count)
    return tuple(BlankKind(*shape, tuple(names)) for shape, names in found.items())


def _kind_key(blank: Blank, direction: str | None) -> tuple[Fraction, Fraction, tuple[bool, ...]]:
    return exact_side(blank.width), exact_side(blank.height), orientations_of(blank, direction)


def problem_of(sheet: StockSheet, kinds: Sequence[BlankKind], kerf: Fraction,
               most: Sequence[int | None] | None = None) -> CuttingProblem:
    """The problem of cutting these kinds from a sheet.

    It asks for at most ``most`` of each (as many as there can be without it).
    """
    limits = most if most is not None else [None] * len(kinds)
    rectangles = [BlankRectangle(k.width, k.height, k.turns, limit) for k,
                  limit in zip(kinds, limits, strict=True)]
    return integer_problem(*sheet.usable, rectangles, kerf)


def most_sets_layout(sheet: StockSheet, blanks: Sequence[Blank], kerf: Quantity = ZERO) -> SheetLayout:
    """The most complete sets that edge-to-edge cuts get out of a sheet.

    A set is as many of every blank as its ``count`` says.

    The number is proven (``Layout.most``): the next higher one was tried in
    full, or the area of the sheet or the yield of one blank rules it out.
    Where that was more than can be tried, it is the highest number that was
    found, and ``most`` is False. All blanks are of one paper;
    ``Layout.direction`` says how its grain has to run. A sheet that holds no
    set gives an empty layout; ``too_large`` names what it cannot hold at all.
    Raises SheetError: "length-negative" for a blank of no size, "number-wrong"
    without blanks, "too-much" where not even one set could be looked for.
    """
    return _cached_layout(sheet, tuple(blanks), kerf)


@lru_cache(maxsize=256)     # findings, page, gallery and table ask for the same, each in every language
def _cached_layout(sheet: StockSheet, blanks: tuple[Blank, ...], kerf: Quantity) -> SheetLayout:
    own = kerf_loss(kerf)
    found: list[tuple[SetsFound, str | None, tuple[BlankKind, ...]]] = []
    for direction in grain_directions(sheet, blanks):
        kinds = blank_kinds(blanks, direction)
        found.append((most_sets(sheet, kinds, own), direction, kinds))
    best, direction, kinds = max(found, key=lambda each: each[0].number)
    proven = all(each.proven or best.number >= upper_bound(sheet, kinds, own) for each, _, kinds in found)
    if not best.number and not proven:
        raise too_much_error()
    bounding = tuple(dict.fromkeys(blank.name for blank in blanks if blank.bounding))
    return replace(_layout(sheet, kinds, best, own), direction=direction if best.number else None,
                   runs=direction_kind(blanks), bounding=bounding, most=proven)


@dataclass(frozen=True, slots=True)
class SetsFound:
    """A number of sets that a sheet gives; ``proven`` where it gives no more.

    ``tree`` is None where the table knows it.
    """

    number: int
    proven: bool
    tree: CutNode | None = None


def most_sets(sheet: StockSheet, kinds: Sequence[BlankKind], kerf: Fraction) -> SetsFound:
    """How many complete sets one sheet gives; where that cannot be tried to the end, as many as were found.

    Raises SheetError ("too-much") where not even one kind alone can be tried.
    """
    most = upper_bound(sheet, kinds, kerf)
    if len(kinds) == 1:
        return SetsFound(most, True)
    number = 0
    try:
        while number < most and _holds(sheet, kinds, number + 1, kerf):
            number += 1
    except SheetError:
        blocks = sets_by_blocks(_problem_for_sets(sheet, kinds, 1, kerf),
                                lambda n: _problem_and_goal(sheet, kinds, n, kerf), most)
        if blocks is not None and blocks[0] > number:
            return SetsFound(blocks[0], blocks[0] == most, blocks[1])
        return SetsFound(number, False)
    return SetsFound(number, True)


def single_yield(sheet: StockSheet, kind: BlankKind, kerf: Fraction) -> int:
    """How many blanks of one kind a sheet gives when nothing else is cut from it."""
    return int(table_of(problem_of(sheet, (kind,), kerf), (1,)).best[-1, -1, 0])


def scoring_order(kinds: Sequence[BlankKind], counts: Sequence[int]) -> list[int]:
    """The kinds' places, the one that is wanted most last: it is scored, all others are counted."""
    return sorted(range(len(kinds)), key=lambda k: counts[k])


def upper_bound(sheet: StockSheet, kinds: Sequence[BlankKind], kerf: Fraction) -> int:
    """No more sets than that, by the yield of each kind alone and by area."""
    width, height = sheet.usable
    most = min(single_yield(sheet, kind, kerf) // kind.count for kind in kinds)
    return min(most, int(width * height / sum(kind.area for kind in kinds)))


def _problem_for_sets(sheet: StockSheet, kinds: Sequence[BlankKind], number: int,
                      kerf: Fraction) -> CuttingProblem:
    order = scoring_order(kinds, [kind.count for kind in kinds])
    return problem_of(sheet, [kinds[k] for k in order], kerf, [kinds[k].count * number for k in order])


def _problem_and_goal(sheet: StockSheet, kinds: Sequence[BlankKind], number: int,
                      kerf: Fraction) -> tuple[CuttingProblem, tuple[int, ...], CutGoal]:
    """The problem for so many sets, what its table counts, and what is wanted of the sheet."""
    counts = sorted(kind.count * number for kind in kinds)
    slot = 0
    for count in counts[:-1]:       # the last place of a table with these numbers
        slot = slot * (count + 1) + count
    return _problem_for_sets(sheet, kinds, number, kerf), tuple(counts[:-1]), CutGoal(slot, counts[-1])


def _table_and_goal(sheet: StockSheet, kinds: Sequence[BlankKind], number: int,
                    kerf: Fraction) -> tuple[CuttingTable, CutGoal]:
    problem, caps, goal = _problem_and_goal(sheet, kinds, number, kerf)
    return table_of(problem, (0,) * len(caps) + (1,), caps), goal


def _holds(sheet: StockSheet, kinds: Sequence[BlankKind], number: int, kerf: Fraction) -> bool:
    table, goal = _table_and_goal(sheet, kinds, number, kerf)
    return table.holds(-1, -1, goal)


def _layout(sheet: StockSheet, kinds: Sequence[BlankKind], found: SetsFound, kerf: Fraction) -> SheetLayout:
    if not found.number:
        too_large = [name for kind in kinds if not problem_of(sheet, (kind,), kerf).fits(0)
                     for name in kind.names]
        return SheetLayout(sheet, kerf=kerf, too_large=tuple(dict.fromkeys(too_large)))
    problem, tree = _problem_for_sets(sheet, kinds, found.number, kerf), found.tree
    if tree is None:
        table, goal = _table_and_goal(sheet, kinds, found.number, kerf)
        tree = TreeChooser(table).tree(problem.width, problem.height, goal)
    order = scoring_order(kinds, [kind.count for kind in kinds])
    names = {place: kinds[k].names for place, k in enumerate(order)}
    return replace(layout_of_tree(problem, tree, sheet, names), sets=found.number)
