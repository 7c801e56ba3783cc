"""Many sets without a proof: blocks that hold a few sets each, and as many blocks as the sheet gives.

Where the sheet is too large, or its blanks too many, to try everything, a
part of it may not be. The smallest rectangles of that part which hold one
set, two sets … are then cut from the sheet as if they were blanks.
"""
from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from generator.sheets.choosing import Chooser
from generator.sheets.cut_tree import Leaf, Node, SheetError, Split, Strips, split
from generator.sheets.problem import CuttingProblem, table_of
from generator.sheets.table import CutChoice, Goal, Table

PARTS = 6           # how often the sheet is halved before it is given up
SIZES = (16, 6, 2)  # how many sizes of block are tried at once; fewer where that is too much

# The problem with its limits set for a number of sets, its table, and what is wanted of it.
Wanted = Callable[[int], tuple[CuttingProblem, tuple[int, ...], Goal]]


@dataclass(frozen=True, slots=True)
class Block:
    """A rectangle that holds ``number`` sets, with the table that knows how, and what to ask it for."""

    width: int
    height: int
    number: int
    table: Table
    goal: Goal


def by_blocks(sheet: CuttingProblem, wanted: Wanted, most: int) -> tuple[int, Node] | None:
    """(sets, cut tree) of the sheet, or None where even a small part of it is too much to try."""
    width, height = sheet.width, sheet.height
    for _ in range(PARTS):
        blocks = _blocks(width, height, wanted, most)
        if blocks:
            return _laid(sheet, blocks)
        width, height = (width // 2, height) if width >= height else (width, height // 2)
    return None


def _blocks(width: int, height: int, wanted: Wanted, most: int) -> list[Block]:
    """The blocks of a part of the sheet, the thriftiest first; [] where it holds no set that could be found."""
    found: list[Block] = []
    for number in range(1, most + 1):
        problem, caps, goal = wanted(number)
        try:
            table = table_of(replace(problem, width=width, height=height), (0,) * len(caps) + (1,), caps)
        except SheetError:
            break
        if not table.holds(-1, -1, goal):
            break
        found += (Block(x, y, number, table, goal) for x, y in _smallest(table, goal))
    return sorted(found, key=lambda b: (b.width * b.height / b.number, b.number))


def _smallest(table: Table, goal: Goal) -> Iterator[tuple[int, int]]:
    """The rectangles of a table that give a goal, without those that hold a smaller one."""
    lowest = len(table.ys)
    for i, x in enumerate(table.xs):
        j = next((j for j in range(lowest) if table.holds(i, j, goal)), lowest)
        if j < lowest:
            yield x, table.ys[j]
            lowest = j


def _laid(sheet: CuttingProblem, blocks: Sequence[Block]) -> tuple[int, Node] | None:
    """As many blocks as the sheet gives, counted by their sets."""
    for sizes in SIZES:
        chosen = blocks[:sizes]
        ways = tuple(CutChoice(k, block.width, block.height) for k, block in enumerate(chosen))
        try:
            table = table_of(replace(sheet, ways=ways), tuple(block.number for block in chosen))
        except SheetError:
            continue
        number = int(table.best[-1, -1, 0])
        tree = Chooser(table).tree(sheet.width, sheet.height, Goal(0, number))
        return number, _filled(tree, chosen, {})
    return None


def _filled(node: Node, blocks: Sequence[Block], known: dict[int, Node]) -> Node:
    """A tree of blocks with the tree of every block in its place."""
    if isinstance(node, Leaf):
        block = blocks[node.kind]
        if node.kind not in known:
            known[node.kind] = Chooser(block.table).tree(block.width, block.height, block.goal)
        return known[node.kind]
    if isinstance(node, Split):
        strips = [Strips(each.count, _filled(each.node, blocks, known)) for each in node.strips]
        rest = node.rest and _filled(node.rest, blocks, known)
        return split(node.width, node.height, node.axis, strips, rest)
    return node
