"""Which pieces lie together in one cutting file: those of one paper, as a listed sheet holds them."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.dataclass import dataclass, replace
from generator.drawing.templates.cutting import PIECE_GAP, CutPlace
from generator.drawing.templates.processes import template_pieces
from generator.paper.records import PieceInfo, Plan
from generator.paper.sheet_layouts import StockSheet
from generator.sheets import SheetError, blank_of, most_sets_layout
from generator.units import length


@dataclass(frozen=True, slots=True)
class CuttingSheet:
    """The ``pieces`` of one ``paper`` that are cut from one sheet, and where each lies on it.

    ``sheet`` is None, and pieces without places lie in a row, where no sheet is listed or none is large
    enough, which the finding "sheet-small" says.
    """

    paper: str
    pieces: tuple[PieceInfo, ...]
    places: tuple[CutPlace, ...] = ()
    sheet: StockSheet | None = None


def cutting_sheets(plan: Plan, sheets: Sequence[StockSheet]) -> Iterator[CuttingSheet]:
    """One for each paper, in the order in which papers are first used; more where one sheet is too small."""
    papers: dict[str, list[PieceInfo]] = {}
    for info in template_pieces(plan):
        papers.setdefault(info.paper.name if info.paper is not None else "", []).append(info)
    for paper, left in papers.items():
        while left:
            found = _most_on_a_sheet(plan, paper, left, sheets)
            yield found
            left = left[len(found.pieces):]


def _most_on_a_sheet(plan: Plan, paper: str, pieces: Sequence[PieceInfo],
                     sheets: Sequence[StockSheet]) -> CuttingSheet:
    """As many of the pieces, from the first on, as one sheet holds; the first of the list that does."""
    if not sheets:
        return CuttingSheet(paper, tuple(pieces))
    for count in range(len(pieces), 0, -1):
        for sheet in sheets:
            if places := _places(plan, pieces[:count], sheet):
                return CuttingSheet(paper, tuple(pieces[:count]), places, sheet)
    return CuttingSheet(paper, (pieces[0],))


def _places(plan: Plan, pieces: Sequence[PieceInfo], sheet: StockSheet) -> tuple[CutPlace, ...]:
    """Where each lies, :data:`PIECE_GAP` apart and along the grain; () where the sheet does not hold them."""
    try:
        blanks = [replace(blank_of(plan, info), name=str(info.id)) for info in pieces]
        layout = most_sets_layout(sheet, blanks, length(int(PIECE_GAP)))
    except SheetError:
        return ()
    if not layout.sets:
        return ()
    first = {each.piece: each for each in reversed(layout.placements)}
    return tuple(CutPlace(float(place.x), float(place.y), place.turned)
                 for place in (first[str(info.id)] for info in pieces))
