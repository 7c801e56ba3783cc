"""How many sheets and how much ribbon 1, 6, 12, 24 and 50 boxes take: one table for both."""
from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from markupsafe import Markup

from generator.tongue import ENGLISH, Tongue
from generator.tutorial import Tutorial
from generator.tutorial.ribbon_lengths import ribbon_plans
from generator.tutorial.sheet_plans import BATCHES
from generator.website.prose import Inline
from generator.website.sheets import SheetView


@dataclass(frozen=True, slots=True)
class Batches:
    """``columns`` are what is bought; ``rows`` the number of boxes with what each column needs of it."""

    columns: tuple[str, ...]
    rows: tuple[tuple[int, tuple[Markup, ...]], ...]

    def __bool__(self) -> bool:
        return bool(self.columns)


def batches(tutorial: Tutorial, sheets: Iterable[SheetView], inline: Inline, tongue: Tongue = ENGLISH) -> Batches:
    """A column for each sheet that holds the blanks, then one for each ribbon; none where there is neither."""
    columns = [*_of_sheets(sheets), *((ribbon.name, tuple(inline.html((each,)) for each in ribbon.lengths))
                                      for ribbon in ribbon_plans(tutorial, tongue))]
    return Batches(tuple(name for name, _ in columns),
                   tuple((boxes, tuple(cells[k] for _, cells in columns)) for k, boxes in enumerate(BATCHES)))


def _of_sheets(sheets: Iterable[SheetView]) -> Iterator[tuple[str, tuple[Markup, ...]]]:
    for sheet in sheets:
        if sheet.needed:
            yield sheet.name.replace(" ×", "\u00a0×").replace(" in", "\u00a0in"), tuple(each.sheets for each in sheet.needed)
