"""The shelf in figures: pieces, marks, pages of the template, and what a sheet gives, of each tutorial."""
from __future__ import annotations

from collections.abc import Iterable, Mapping

from generator.dataclass import dataclass
from generator.drawing.templates.documents import page_count
from generator.drawing.templates.page import TemplateFace
from generator.drawing.templates.plan import true_size_piece
from generator.drawing.templates.processes import template_pieces
from generator.paper.records import Plan
from generator.paper.sheet_layouts import StockSheet
from generator.sheets import SheetError, blanks_of, most_sets_layout
from generator.tutorial.records import Tutorial
from generator.units import SYSTEMS

PAPERS = tuple((each.print_paper, each.code) for each in SYSTEMS.values())
COLUMN_HEADS = ("Box", "Pieces", "Marks", "Template pages, A4 · Letter", "Boxes a sheet gives")


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """``pages`` by paper: A4 for the metric template, Letter for that in inches.

    ``yields`` by sheet, then by system.
    """

    slug: str
    title: str
    pieces: int
    marks: int
    pages: Mapping[str, int]
    yields: Mapping[str, Mapping[str, int]]

    @property
    def pages_text(self) -> str:
        """"3 · 3"."""
        return " · ".join(str(self.pages[paper]) for paper, _ in PAPERS)

    @property
    def yields_text(self) -> str:
        """"A4: 2; Letter: 1 (mm), 2 (in)": both editions where they differ."""
        return "; ".join(f"{sheet}: {each['mm']}" if each["mm"] == each["in"]
                         else f"{sheet}: {each['mm']} (mm), {each['in']} (in)"
                         for sheet, each in self.yields.items())


def shelf_row(tutorial: Tutorial) -> ShelfRow:
    """The figures of one tutorial, without its ribbons."""
    drawn = tutorial.drawn
    pieces = [info for info in drawn.pieces if not info.is_ribbon]
    marks = sum(len(state.marks) for info in pieces if (state := drawn.state(info.id)) is not None)
    return ShelfRow(tutorial.slug, tutorial.front.title, len(pieces), marks,
                    {paper: _pages(tutorial.plans[system], paper) for paper, system in PAPERS},
                    {sheet.called(tutorial.locale): {system: _boxes_from(sheet, plan) for system,
                                                     plan in tutorial.plans.items()}
                                                     for sheet in tutorial.front.sheets})


def _pages(plan: Plan, paper: str) -> int:
    return page_count([true_size_piece(plan, info.id, TemplateFace.INSIDE) for info in template_pieces(plan)],
                      paper)


def _boxes_from(sheet: StockSheet, plan: Plan) -> int:
    """Boxes from one sheet; of a box of several papers, the least that a sheet of each gives."""
    try:
        return min((most_sets_layout(sheet, blanks).sets for blanks in blanks_of(plan).values()), default=0)
    except SheetError:
        return 0


def as_markdown(rows: Iterable[ShelfRow]) -> str:
    """The table as Markdown, as it stands in README."""
    lines = ["| " + " | ".join(COLUMN_HEADS) + " |", "|---|---:|---:|---|---|"]
    lines += [f"| {row.title} | {row.pieces} | {row.marks} | {row.pages_text} | {row.yields_text} |"
              for row in rows]
    return "\n".join(lines) + "\n"
