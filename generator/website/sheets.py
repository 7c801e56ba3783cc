"""How many sheets and how much ribbon 1, 6, 12, 24 and 50 boxes take: one table for both.

What the theme is handed of sheets: what each gives, how to cut it, how many a batch of boxes takes.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from html import escape

from markupsafe import Markup

from generator.dataclass import dataclass
from generator.locale import ENGLISH, Locale
from generator.tutorial import MeasureWording, Tutorial
from generator.tutorial.batch_supplies import BATCHES, SheetPlan, SheetsNeeded, ribbon_plans, sheet_plans
from generator.units.wording import unbroken_figures
from generator.website.pictures import PictureView, picture_view
from generator.website.prose import InlineMarkdown, measure_html


@dataclass(frozen=True, slots=True)
class BatchTable:
    """``columns`` are what is bought; ``rows`` the number of boxes with what each column needs of it."""

    columns: tuple[str, ...]
    rows: tuple[tuple[int, tuple[Markup, ...]], ...]

    def __bool__(self) -> bool:
        return bool(self.columns)


def batch_table(tutorial: Tutorial, sheets: Iterable[SheetView], inline: InlineMarkdown,
                locale: Locale = ENGLISH) -> BatchTable:
    """A column for each sheet that holds the blanks, then one for each ribbon.

    None where there is neither.
    """
    columns = [*_sheet_columns(sheets),
               *((ribbon.name, tuple(inline.html((each,)) for each in ribbon.lengths))
                                      for ribbon in ribbon_plans(tutorial, locale))]
    return BatchTable(tuple(name for name, _ in columns),
                   tuple((boxes, tuple(cells[k] for _, cells in columns)) for k, boxes in enumerate(BATCHES)))


def _sheet_columns(sheets: Iterable[SheetView]) -> Iterator[tuple[str, tuple[Markup, ...]]]:
    for sheet in sheets:
        if sheet.needed:
            yield unbroken_figures(sheet.name), tuple(each.sheets for each in sheet.needed)


@dataclass(frozen=True, slots=True)
class BatchRow:
    """So many boxes, and the sheets that they take in words."""

    boxes: int
    sheets: Markup


@dataclass(frozen=True, slots=True)
class SheetView:
    """One size of sheet."""

    name: str
    gives: Markup
    notes: tuple[str, ...]
    pictures: tuple[PictureView, ...]
    needed: tuple[BatchRow, ...]
    sheet: str = ""                 # its name without the paper's


def sheet_views(tutorial: Tutorial) -> tuple[SheetView, ...]:
    """Every sheet that a tutorial is cut from."""
    return tuple(sheet_view(plan, tutorial.locale) for plan in sheet_plans(tutorial))


def sheet_view(plan: SheetPlan, locale: Locale = ENGLISH) -> SheetView:
    """A sheet for a page."""
    name = f"{plan.sheet}, {plan.paper}" if plan.paper else plan.sheet
    return SheetView(name, dual_text(plan.gives), plan.notes,
                     tuple(picture_view(picture, locale) for picture in plan.pictures),
                     tuple(_batch_row(each, locale) for each in plan.needed), plan.sheet)


def _batch_row(each: SheetsNeeded, locale: Locale) -> BatchRow:
    return BatchRow(each.boxes,
                    dual_text({system: locale.say("website.sheets_none") if count is None else str(count)
                                         for system, count in each.sheets.items()}))


def yields_html(yields: Mapping[str, Mapping[str, int]]) -> Markup:
    """How many boxes each sheet gives, "A4: 2; Letter: 1", in the edition that the reader follows."""
    return Markup("; ").join(
        Markup('<span class="whole">{}: {}</span>').format(sheet,
                                                           dual_text({s: str(n) for s, n in each.items()}))
                             for sheet, each in yields.items())


def dual_text(text: Mapping[str, str]) -> Markup:
    """Words that both editions share once, else those of each."""
    if text["mm"] == text["in"]:
        return Markup(escape(text["mm"], quote=False))
    return measure_html(tuple(MeasureWording(text[s], text[s], escape(text[s], quote=False))
                              for s in ("in", "mm")))
