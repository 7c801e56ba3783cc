"""Whether every piece comes out of the sheets that are listed: blanks, and small pieces out of offcuts."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from generator.findings import Finding, finding
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.language.front_matter import FrontMatter
from generator.paper.records import PieceInfo, Plan
from generator.paper.sheet_layouts import STOCK_SHEETS, StockSheet
from generator.sheets import SheetError, blank_of, blanks_of, most_sets_layout, pieces_from_sheets
from generator.units import Quantity, as_text, display_measure, length

OFFCUT = "offcut"
Sides = tuple[Fraction, Fraction]       # in mm, the shorter one first


def sheet_findings(front: FrontMatter, plan: Plan) -> Iterator[Finding]:
    """A warning for each blank that no listed sheet holds, and for each piece that no offcut of them does."""
    if front.sheets:
        yield from _blank_findings(front.sheets, plan)
        yield from _offcut_findings(front.sheets, plan)


def _blank_findings(sheets: Sequence[StockSheet], plan: Plan) -> Iterator[Finding]:
    """A warning for each blank that none of the sheets holds, with how much the nearest of them misses."""
    for info in pieces_from_sheets(plan):
        blank = blank_of(plan, info)
        need = _sorted_sides(Fraction(blank.width.value), Fraction(blank.height.value))
        near = min(sheets, key=lambda sheet: (max(_missing(sheet, need)), -sheet.usable[0] * sheet.usable[1]))
        if any(missing := _missing(near, need)):
            text = " and ".join(f"{_length_text(plan, mm)} too {how}"
                                for mm, how in zip(missing, ("narrow", "short"), strict=True) if mm)
            large = next((name for name, sheet in sorted(STOCK_SHEETS.items(), key=_area)
                          if not any(_missing(sheet, need))), None)
            yield finding("sheet-small", info.span,
                          f"'{info.name}', {_size_text(plan, blank.width, blank.height)}, comes out of none "
                          "of the "
                          f"sheets that are listed: the nearest, {near.title}, is {text}",
                          "make it smaller, or of several pieces that are joined"
                          + (f"; or list a larger sheet, such as {large}" if large else ""))


def _sorted_sides(width: Fraction, height: Fraction) -> Sides:
    return min(width, height), max(width, height)


def _missing(sheet: StockSheet, need: Sides) -> Sides:
    """What the shorter and the longer side of a sheet, without its selvedge, lack of those of a blank.

    A blank may be turned: one that has to go with the grain lies on a sheet of the grain that it needs.
    """
    short, long = (max(wanted - side, Fraction(0)) for wanted, side in
                   zip(need, _sorted_sides(*sheet.usable), strict=True))
    return short, long


def _area(named: tuple[str, StockSheet]) -> Fraction:
    width, height = named[1].usable
    return width * height


def _length_text(plan: Plan, mm: Fraction) -> str:
    return as_text(display_measure(length(mm), plan.system))


def _size_text(plan: Plan, *sides: Quantity) -> str:
    return " by ".join(as_text(display_measure(side, plan.system)) for side in sides)


def _offcut_findings(sheets: Sequence[StockSheet], plan: Plan) -> Iterator[Finding]:
    for info in plan.pieces:
        size = plan.states[info.id][0][1]
        if info.out_of == OFFCUT and not any(_fits_offcut(sheet, plan, info, (size.width, size.height))
                                             for sheet in sheets):
            yield finding("offcut-small", info.span,
                          f"'{info.name}', {_size_text(plan, size.width, size.height)}, comes out of no "
                          "offcut of "
                          "the sheets that are listed",
                          "make it smaller, list a larger sheet, or cut it as a blank of its own, "
                          "without out_of")


def _fits_offcut(sheet: StockSheet, plan: Plan, info: PieceInfo, size: tuple[Quantity, Quantity]) -> bool:
    """Whether one of the pieces that a sheet leaves, once cut, holds this one, upright or turned."""
    paper = info.paper.name if info.paper is not None else ""
    blanks = blanks_of(plan).get(paper, ())
    try:
        layout = most_sets_layout(sheet, blanks) if blanks else None
    except SheetError:
        return False
    if layout is None or not layout.sets:
        return False
    short, long = sorted(float(side.value) for side in size)
    return any(short <= min(float(o.width), float(o.height)) + PLACE_TOLERANCE
               and long <= max(float(o.width), float(o.height)) + PLACE_TOLERANCE
               for o in layout.offcuts if not o.selvedge)
