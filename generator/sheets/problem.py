"""From sheets and blanks to the whole numbers of the table, and back to a layout in mm."""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import ceil, lcm

from generator.paper.sheet_layouts import Blank, Offcut, Placement, SheetLayout, StockSheet
from generator.sheets.cut_tree import Leaf, Node, SheetError
from generator.sheets.layout import Scale, blanks_and_offcuts, cuts_of
from generator.sheets.table import CutChoice, Table
from generator.units import TOLERANCE, Quantity

FINE = 1000     # parts of a mm to which a length that is about is rounded, upward: a blank may not come out too small


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A kind of blank in mm: ``turns`` are the ways it may lie (False as it is, True turned by a quarter)."""

    width: Fraction
    height: Fraction
    turns: tuple[bool, ...]
    most: int | None = None


@dataclass(frozen=True, slots=True)
class CuttingProblem:
    """What is cut from what, in whole numbers of which ``scale.unit`` are a mm; the loss of the blade is in all sides."""

    width: int
    height: int
    ways: tuple[CutChoice, ...]
    scale: Scale

    def fits(self, kind: int) -> bool:
        """True when the sheet holds one blank of that kind."""
        return any(way.kind == kind and way.width <= self.width and way.height <= self.height for way in self.ways)


def exact(size: Quantity | Fraction | int) -> Fraction:
    """A side in mm. One that is *about* is rounded up to 1/1000 mm. Raises SheetError where it is nothing."""
    value = size.value if isinstance(size, Quantity) else size
    if isinstance(value, float):
        near = Fraction(round(value * FINE), FINE)
        value = near if abs(float(near) - value) <= TOLERANCE else Fraction(ceil(value * FINE), FINE)
    if value <= 0:
        raise SheetError("length-negative", "a blank of no size cannot be cut", "check the lengths it is made of")
    return Fraction(value)


def loss(kerf: Quantity) -> Fraction:
    """What each cut of the blade takes, in mm. Raises SheetError where that is less than nothing."""
    if kerf.value < 0:
        raise SheetError("length-negative", "a blade cannot take less than nothing", "give its loss as 0 or more")
    return Fraction(kerf.value)


def problem(width: Fraction, height: Fraction, rectangles: Sequence[Rectangle], kerf: Fraction) -> CuttingProblem:
    """The whole numbers for blanks to be cut from ``width`` × ``height`` mm."""
    sides = [width, height, kerf, *(side for r in rectangles for side in (r.width, r.height))]
    unit = lcm(*(side.denominator for side in sides))
    own = int(kerf * unit)
    ways = [way for kind, r in enumerate(rectangles) for way in _ways(kind, r, unit, own)]
    return CuttingProblem(int(width * unit) + own, int(height * unit) + own, tuple(ways), Scale(unit, kerf))


def _ways(kind: int, rectangle: Rectangle, unit: int, kerf: int) -> Iterator[CutChoice]:
    wide, high = int(rectangle.width * unit) + kerf, int(rectangle.height * unit) + kerf
    turns = rectangle.turns[:1] if wide == high else rectangle.turns
    for turned in turns:
        yield CutChoice(kind, *((high, wide) if turned else (wide, high)), turned, rectangle.most)


@lru_cache(maxsize=64)
def table_of(posed: CuttingProblem, worths: tuple[int, ...], caps: tuple[int, ...] = ()) -> Table:
    """The table of a problem; the same one is asked for again and again while a layout is looked for."""
    return Table(posed.width, posed.height, posed.ways, worths, caps)


def laid_out(posed: CuttingProblem, tree: Node, sheet: StockSheet, names: Mapping[int, Sequence[str]]) -> SheetLayout:
    """The layout of a cut tree. The blanks of a kind take its ``names`` in turn."""
    scale, placements, offcuts = posed.scale, [], list(_selvedge(sheet))
    taken = dict.fromkeys(names, 0)
    for end, (x, y) in blanks_and_offcuts(tree):
        box = scale.place(x), scale.place(y), scale.size(end.width), scale.size(end.height)
        if isinstance(end, Leaf):
            own = names[end.kind]
            placements.append(Placement(own[taken[end.kind] % len(own)], *box, end.turned))
            taken[end.kind] += 1
        elif box[2] > 0 and box[3] > 0:
            offcuts.append(Offcut(*box))
    offcuts.sort(key=lambda o: (o.selvedge, -o.width * o.height))
    return SheetLayout(sheet, tuple(placements), cuts_of(tree, scale, sheet), tuple(offcuts), kerf=scale.kerf)


def _selvedge(sheet: StockSheet) -> Iterator[Offcut]:
    width, height = sheet.usable
    trim = Fraction(sheet.trim.value)
    if trim and sheet.trims_width:
        yield Offcut(width, Fraction(0), trim, height, selvedge=True)
    elif trim:
        yield Offcut(Fraction(0), height, width, trim, selvedge=True)


def turns_of(blank: Blank, direction: str | None) -> tuple[bool, ...]:
    """How a blank may lie on a sheet whose grain, or whose pattern, runs along ``direction``."""
    if blank.direction is None:
        return False, True
    return (blank.direction != direction,)


def directions(sheet: StockSheet, blanks: Iterable[Blank]) -> tuple[str | None, ...]:
    """The ways in which the grain may run that have to be looked at; along the long side first, as is common.

    Common practice, no source: most sheets are long grain.
    """
    if all(blank.direction is None for blank in blanks):
        return (None,)
    if len(set(sheet.usable)) == 1:     # a square is the same either way round
        return ("y",)
    return ("x", "y") if sheet.width.value > sheet.height.value else ("y", "x")


def runs_of(blanks: Iterable[Blank]) -> str:
    """"pattern" where one of the blanks goes by it, else "grain"."""
    return next((blank.runs for blank in blanks if blank.direction is not None), "grain")
