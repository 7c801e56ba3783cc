"""From plans, sheets and blanks to the whole numbers of the table, and back to a layout in mm."""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from math import ceil, lcm

from generator.dataclass import dataclass
from generator.geometry.tolerances import SIDE_TOLERANCE
from generator.paper.records import Paper, PieceInfo, PieceState, Plan
from generator.paper.sheet_layouts import Blank, Offcut, Placement, SheetLayout, StockSheet
from generator.sheets.cut_tree import (
    BlankLeaf,
    CutNode,
    SheetError,
    UnitScale,
    blanks_and_offcuts,
    fence_settings,
)
from generator.sheets.dynamic_programming import BlankOrientation, CuttingTable
from generator.units import TOLERANCE, Quantity

# parts of a mm to which a length that is about is rounded, upward: a blank may not come out too small
PARTS_PER_MM = 1000


@dataclass(frozen=True, slots=True)
class BlankRectangle:
    """A kind of blank in mm: ``turns`` are the ways it may lie (False as it is, True turned by a quarter)."""

    width: Fraction
    height: Fraction
    turns: tuple[bool, ...]
    most: int | None = None


@dataclass(frozen=True, slots=True)
class CuttingProblem:
    """What is cut from what, in whole numbers of which ``scale.unit`` are a mm.

    The loss of the blade is in all sides.
    """

    width: int
    height: int
    ways: tuple[BlankOrientation, ...]
    scale: UnitScale

    def fits(self, kind: int) -> bool:
        """True when the sheet holds one blank of that kind."""
        return any(way.kind == kind and way.width <= self.width and way.height <= self.height
                   for way in self.ways)


def exact_side(size: Quantity | Fraction | int) -> Fraction:
    """A side in mm. One that is *about* is rounded up to 1/1000 mm. Raises SheetError where it is nothing."""
    value = size.value if isinstance(size, Quantity) else size
    if isinstance(value, float):
        near = Fraction(round(value * PARTS_PER_MM), PARTS_PER_MM)
        value = near if abs(float(near) - value) <= TOLERANCE else Fraction(ceil(value * PARTS_PER_MM),
                                                                            PARTS_PER_MM)
    if value <= 0:
        raise SheetError("length-negative", "a blank of no size cannot be cut",
                         "check the lengths it is made of")
    return Fraction(value)


def kerf_loss(kerf: Quantity) -> Fraction:
    """What each cut of the blade takes, in mm. Raises SheetError where that is less than nothing."""
    if kerf.value < 0:
        raise SheetError("length-negative", "a blade cannot take less than nothing",
                         "give its loss as 0 or more")
    return Fraction(kerf.value)


def integer_problem(width: Fraction, height: Fraction, rectangles: Sequence[BlankRectangle],
                    kerf: Fraction) -> CuttingProblem:
    """The whole numbers for blanks to be cut from ``width`` × ``height`` mm."""
    sides = [width, height, kerf, *(side for r in rectangles for side in (r.width, r.height))]
    unit = lcm(*(side.denominator for side in sides))
    own = int(kerf * unit)
    ways = [way for kind, r in enumerate(rectangles) for way in _orientations(kind, r, unit, own)]
    return CuttingProblem(int(width * unit) + own, int(height * unit) + own, tuple(ways),
                          UnitScale(unit, kerf))


def _orientations(kind: int, rectangle: BlankRectangle, unit: int, kerf: int) -> Iterator[BlankOrientation]:
    wide, high = int(rectangle.width * unit) + kerf, int(rectangle.height * unit) + kerf
    turns = rectangle.turns[:1] if wide == high else rectangle.turns
    for turned in turns:
        yield BlankOrientation(kind, *((high, wide) if turned else (wide, high)), turned, rectangle.most)


@lru_cache(maxsize=64)
def table_of(problem: CuttingProblem, worths: tuple[int, ...], caps: tuple[int, ...] = ()) -> CuttingTable:
    """The table of a problem; the same one is asked for again and again while a layout is looked for."""
    return CuttingTable(problem.width, problem.height, problem.ways, worths, caps)


def layout_of_tree(problem: CuttingProblem, tree: CutNode, sheet: StockSheet,
                   names: Mapping[int, Sequence[str]]) -> SheetLayout:
    """The layout of a cut tree. The blanks of a kind take its ``names`` in turn."""
    scale, placements, offcuts = problem.scale, [], list(_selvedge_offcut(sheet))
    taken = dict.fromkeys(names, 0)
    for end, (x, y) in blanks_and_offcuts(tree):
        box = scale.place(x), scale.place(y), scale.size(end.width), scale.size(end.height)
        if isinstance(end, BlankLeaf):
            own = names[end.kind]
            placements.append(Placement(own[taken[end.kind] % len(own)], *box, end.turned))
            taken[end.kind] += 1
        elif box[2] > 0 and box[3] > 0:
            offcuts.append(Offcut(*box))
    offcuts.sort(key=lambda o: (o.selvedge, -o.width * o.height))
    return SheetLayout(sheet, tuple(placements), fence_settings(tree, scale, sheet), tuple(offcuts),
                       kerf=scale.kerf)


def _selvedge_offcut(sheet: StockSheet) -> Iterator[Offcut]:
    width, height = sheet.usable
    trim = Fraction(sheet.trim.value)
    if trim and sheet.trims_width:
        yield Offcut(width, Fraction(0), trim, height, selvedge=True)
    elif trim:
        yield Offcut(Fraction(0), height, width, trim, selvedge=True)


def orientations_of(blank: Blank, direction: str | None) -> tuple[bool, ...]:
    """How a blank may lie on a sheet whose grain, or whose pattern, runs along ``direction``."""
    if blank.direction is None:
        return False, True
    return (blank.direction != direction,)


def grain_directions(sheet: StockSheet, blanks: Iterable[Blank]) -> tuple[str | None, ...]:
    """The ways in which the grain may run that have to be looked at; along the long side first, as is common.

    Common practice, no source: most sheets are long grain.
    """
    if all(blank.direction is None for blank in blanks):
        return (None,)
    if len(set(sheet.usable)) == 1:     # a square is the same either way round
        return ("y",)
    return ("x", "y") if sheet.width.value > sheet.height.value else ("y", "x")


def direction_kind(blanks: Iterable[Blank]) -> str:
    """"pattern" where one of the blanks goes by it, else "grain"."""
    return next((blank.runs for blank in blanks if blank.direction is not None), "grain")


GROWS = "attach"    # the verb that makes a piece larger after it was begun


def pieces_from_sheets(plan: Plan) -> Iterator[PieceInfo]:
    """Every piece that is cut from a sheet of paper: ribbons are not, nor what comes out of a scrap."""
    return (piece for piece in plan.pieces
            if not piece.is_ribbon and piece.out_of is None and piece.id in plan.states)


def blanks_of(plan: Plan) -> Mapping[str, tuple[Blank, ...]]:
    """The blanks of every piece that is cut from paper, by the name of the paper.

    The name is "" for pieces that name none.

    A sheet is of one paper, so the blanks of each are cut together.
    """
    found: dict[str, list[Blank]] = {}
    for piece in pieces_from_sheets(plan):
        found.setdefault(piece.paper.name if piece.paper else "", []).append(blank_of(plan, piece))
    return {name: tuple(blanks) for name, blanks in found.items()}


def blank_of(plan: Plan, piece: PieceInfo) -> Blank:
    """The rectangle that a piece is made from: as it was begun, or when its last panel was attached."""
    state = _uncut_state(plan, piece)
    return Blank(piece.name, state.width, state.height,
                 direction=direction_of(piece.paper, state.width, state.height),
                 runs="pattern" if piece.paper and piece.paper.one_way else "grain",
                 bounding=not _is_rectangle(state))


def direction_of(paper: Paper | None, width: Quantity, height: Quantity) -> str | None:
    """The side of a piece ("x" its width, "y" its height) that runs with the grain, or up the pattern.

    It is None where either side may.

    A one-way pattern stands upright on every piece as it first lies. Grain
    "along" runs along the longer side of the piece ("x" in a square), "across" across it.
    """
    if paper is None:
        return None
    if paper.one_way:
        return "y"
    if paper.grain not in ("along", "across"):
        return None
    upright = height.value > width.value
    return "y" if upright == (paper.grain == "along") else "x"


def _uncut_state(plan: Plan, piece: PieceInfo) -> PieceState:
    verbs = {act.number: act.verb for act in plan.acts}
    states = plan.states[piece.id]
    return next((state for act, state in reversed(states) if verbs[act] == GROWS), states[0][1])


def _is_rectangle(state: PieceState) -> bool:
    strokes = [rim.stroke for rim in state.outline]
    return len(strokes) == 4 and all(abs(float(s.start.x) - float(s.end.x)) < SIDE_TOLERANCE
                                     or abs(float(s.start.y) - float(s.end.y)) < SIDE_TOLERANCE
                                     for s in strokes)
