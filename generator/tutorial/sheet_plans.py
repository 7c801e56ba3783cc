"""How the blanks of a tutorial come out of each sheet it lists, in both editions, and how many sheets a batch takes."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from generator.drawing import StepPicture, sheet_pictures
from generator.paper.sheet_layouts import Blank, SheetLayout, StockSheet
from generator.sheets import SheetError, blanks_of, direction_text, no_set_text, sets, sheets_needed
from generator.tongue import Tongue, capital
from generator.tutorial.records import Tutorial

BATCHES = (1, 6, 12, 24, 50)    # boxes: one to try, a shelf, a stall, a wedding
SYSTEMS = ("mm", "in")


@dataclass(frozen=True, slots=True)
class Needed:
    """How many sheets so many boxes take, by system; None where the sheet is too small."""

    boxes: int
    sheets: Mapping[str, int | None]


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """One size of sheet: what it gives in each system (in words), how to cut it, how many are needed."""

    sheet: str
    paper: str                      # which paper, where the tutorial has several; else ""
    gives: Mapping[str, str]
    notes: tuple[str, ...]
    pictures: tuple[StepPicture, ...]
    needed: tuple[Needed, ...]


def sheet_plans(tutorial: Tutorial) -> tuple[SheetPlan, ...]:
    """A plan for each paper and each sheet of the front matter, in its order."""
    blanks = {system: blanks_of(tutorial.plans[system]) for system in SYSTEMS}
    papers = [name for name in blanks["mm"] if name in blanks["in"]]
    return tuple(_plan(tutorial, sheet, paper if len(papers) > 1 else "", {s: blanks[s][paper] for s in SYSTEMS}, tutorial.tongue)
                 for paper in papers for sheet in tutorial.front.sheets)


def _plan(tutorial: Tutorial, sheet: StockSheet, paper: str, blanks: Mapping[str, Sequence[Blank]], tongue: Tongue) -> SheetPlan:
    layouts = {system: _layout(sheet, blanks[system]) for system in SYSTEMS}
    drawn, other = layouts[tutorial.drawn_in], layouts[tutorial.other]
    return SheetPlan(sheet.called(tongue), tongue.name(paper), {s: _gives(layouts[s], blanks[s], tongue) for s in SYSTEMS},
                     _notes(drawn or other, blanks[tutorial.drawn_in], tongue),
                     sheet_pictures(drawn, other, tutorial.drawn_in, tongue) if drawn is not None else (),
                     tuple(_needed(sheet, blanks, layouts, boxes) for boxes in BATCHES) if _any(layouts) else ())


def _layout(sheet: StockSheet, blanks: Sequence[Blank]) -> SheetLayout | None:
    try:
        return sets(sheet, blanks)
    except SheetError:
        return None     # more ways to cut than can be tried


def _any(layouts: Mapping[str, SheetLayout | None]) -> bool:
    return any(layout is not None and layout.sets for layout in layouts.values())


def _gives(layout: SheetLayout | None, blanks: Sequence[Blank], tongue: Tongue) -> str:
    """"One sheet gives the blanks of two boxes", or why it gives none."""
    if layout is None:
        return tongue.say("tutorial.sheet.untried")
    if not layout.sets:
        return capital(no_set_text(layout, tongue))
    single = len(blanks) == 1 and blanks[0].count == 1
    return tongue.count(f"tutorial.sheet.{'one_blank' if single else 'several_blanks'}", layout.sets)


def _notes(layout: SheetLayout | None, blanks: Sequence[Blank], tongue: Tongue) -> tuple[str, ...]:
    notes = []
    if layout is not None and layout.sets and (grain := direction_text(layout, tongue)):
        notes.append(grain)
    bounding = [tongue.name(blank.name) for blank in blanks if blank.bounding]
    if bounding:
        notes.append(tongue.say("tutorial.sheet.bounding", pieces=tongue.join(bounding)))
    return tuple(notes)


def _needed(sheet: StockSheet, blanks: Mapping[str, Sequence[Blank]], layouts: Mapping[str, SheetLayout | None],
            boxes: int) -> Needed:
    return Needed(boxes, {system: _count(sheet, blanks[system], boxes) if layouts[system] is not None
                          and layouts[system].sets else None for system in SYSTEMS})


def _count(sheet: StockSheet, blanks: Sequence[Blank], boxes: int) -> int | None:
    try:
        return sheets_needed(sheet, blanks, boxes)
    except SheetError:
        return None
