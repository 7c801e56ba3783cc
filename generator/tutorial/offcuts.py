"""Small pieces that are to come out of what the blanks leave of a sheet."""
from __future__ import annotations

from collections.abc import Iterator, Mapping

from generator.findings import Finding, finding
from generator.language.front_matter import FrontMatter
from generator.paper.records import PieceInfo, Plan
from generator.paper.sheet_layouts import StockSheet
from generator.sheets import SheetError, blanks_of, sets
from generator.units import Quantity, as_text, word

OFFCUT = "offcut"


def offcut_findings(front: FrontMatter, plans: Mapping[str, Plan]) -> Iterator[Finding]:
    """A warning for each piece that comes out of none of the listed sheets' offcuts, in the first edition where it does not."""
    for info in plans[front.drawn_in].pieces:
        for system in (front.drawn_in, front.other) if info.out_of == OFFCUT else ():
            plan = plans[system]
            size = plan.states[info.id][0][1]
            if front.sheets and not any(_comes_out(sheet, plan, info, (size.width, size.height)) for sheet in front.sheets):
                said = " by ".join(as_text(word(side, system)) for side in (size.width, size.height))
                yield finding("offcut-small", info.span, f"'{info.name}', {said}, comes out of no offcut of the sheets that are listed",
                              "make it smaller, list a larger sheet, or cut it as a blank of its own, without out_of")
                break


def _comes_out(sheet: StockSheet, plan: Plan, info: PieceInfo, size: tuple[Quantity, Quantity]) -> bool:
    """Whether one of the pieces that a sheet leaves, once cut, holds this one, upright or turned."""
    paper = info.paper.name if info.paper is not None else ""
    blanks = blanks_of(plan).get(paper, ())
    try:
        layout = sets(sheet, blanks) if blanks else None
    except SheetError:
        return False
    if layout is None or not layout.sets:
        return False
    short, long = sorted(float(side.value) for side in size)
    return any(short <= min(float(o.width), float(o.height)) + 1e-6 and long <= max(float(o.width), float(o.height)) + 1e-6
               for o in layout.offcuts if not o.selvedge)
