"""What the theme is handed of sheets: what each gives, how to cut it, how many a batch of boxes takes."""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from html import escape

from markupsafe import Markup

from generator.tongue import ENGLISH, Tongue
from generator.tutorial import Wording
from generator.tutorial.sheet_plans import Needed, SheetPlan
from generator.website.inlays import measure_html
from generator.website.pictures import PictureView, picture_view


@dataclass(frozen=True, slots=True)
class NeededView:
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
    needed: tuple[NeededView, ...]
    sheet: str = ""                 # its name without the paper's


def sheet_view(plan: SheetPlan, prefix: str, tongue: Tongue = ENGLISH) -> SheetView:
    """A sheet for a page on which ``prefix`` keeps the ids of its pictures apart."""
    name = f"{plan.sheet}, {plan.paper}" if plan.paper else plan.sheet
    return SheetView(name, _both(plan.gives), plan.notes,
                     tuple(picture_view(picture, f"{prefix}-{k}", tongue) for k, picture in enumerate(plan.pictures)),
                     tuple(_needed(each, tongue) for each in plan.needed), plan.sheet)


def _needed(each: Needed, tongue: Tongue) -> NeededView:
    return NeededView(each.boxes, _both({system: tongue.say("website.sheets_none") if count is None else str(count)
                                         for system, count in each.sheets.items()}))


def yields_html(yields: Mapping[str, Mapping[str, int]]) -> Markup:
    """How many boxes each sheet gives, "A4: 2; Letter: 1", in the edition that the reader follows."""
    return Markup("; ").join(Markup('<span class="whole">{}: {}</span>').format(sheet, _both({s: str(n) for s, n in each.items()}))
                             for sheet, each in yields.items())


def _both(said: Mapping[str, str]) -> Markup:
    """Words that both editions share once, else those of each."""
    if said["mm"] == said["in"]:
        return Markup(escape(said["mm"], quote=False))
    return measure_html(tuple(Wording(said[s], said[s], escape(said[s], quote=False)) for s in ("in", "mm")))
