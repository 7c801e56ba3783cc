"""How the blanks of a tutorial come out of the sheets it lists, and how many sheets a batch takes.

How much ribbon a batch of boxes takes, as shops sell it: in metres and in yards, rounded up.
"""
from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction

from generator.dataclass import dataclass
from generator.drawing.steps.sheet_picture import sheet_pictures
from generator.drawing.steps.step_picture import StepPicture
from generator.locale import ENGLISH, Locale, capital
from generator.paper.sheet_layouts import Blank, SheetLayout, StockSheet
from generator.sheets import (
    SheetError,
    blanks_of,
    direction_text,
    most_sets_layout,
    no_set_text,
    sheets_needed,
)
from generator.tutorial.facts import NO_SPAN, computed_value
from generator.tutorial.records import ComputedValue, MeasureWording, Tutorial
from generator.units import SYSTEMS, DisplayMeasure, as_html, as_speech, as_text, decimal_text, length

BATCHES = (1, 6, 12, 24, 50)    # boxes: one to try, a shelf, a stall, a wedding


@dataclass(frozen=True, slots=True)
class SheetsNeeded:
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
    needed: tuple[SheetsNeeded, ...]


def sheet_plans(tutorial: Tutorial) -> tuple[SheetPlan, ...]:
    """A plan for each paper and each sheet of the front matter, in its order."""
    blanks = {system: blanks_of(tutorial.plans[system]) for system in SYSTEMS}
    papers = [name for name in blanks["mm"] if name in blanks["in"]]
    return tuple(_sheet_plan(tutorial, sheet, paper if len(papers) > 1 else "",
                             {s: blanks[s][paper] for s in SYSTEMS}, tutorial.locale)
                 for paper in papers for sheet in tutorial.front.sheets)


def _sheet_plan(tutorial: Tutorial, sheet: StockSheet, paper: str, blanks: Mapping[str, Sequence[Blank]],
                locale: Locale) -> SheetPlan:
    layouts = {system: _sheet_layout(sheet, blanks[system]) for system in SYSTEMS}
    drawn, other = layouts[tutorial.drawn_in], layouts[tutorial.other]
    return SheetPlan(sheet.called(locale), locale.name(paper),
                     {s: _sets_text(layouts[s], blanks[s], locale) for s in SYSTEMS},
                     _sheet_notes(drawn or other, blanks[tutorial.drawn_in], locale),
                     sheet_pictures(drawn, other, tutorial.drawn_in, locale) if drawn is not None else (),
                     tuple(_sheets_needed(sheet, blanks, layouts, boxes) for boxes in BATCHES)
                     if _any_sets(layouts) else ())


def _sheet_layout(sheet: StockSheet, blanks: Sequence[Blank]) -> SheetLayout | None:
    try:
        return most_sets_layout(sheet, blanks)
    except SheetError:
        return None     # more ways to cut than can be tried


def _any_sets(layouts: Mapping[str, SheetLayout | None]) -> bool:
    return any(layout is not None and layout.sets for layout in layouts.values())


def _sets_text(layout: SheetLayout | None, blanks: Sequence[Blank], locale: Locale) -> str:
    """"One sheet gives the blanks of two boxes", or why it gives none."""
    if layout is None:
        return locale.say("tutorial.sheet.untried")
    if not layout.sets:
        return capital(no_set_text(layout, locale))
    single = len(blanks) == 1 and blanks[0].count == 1
    return locale.count(f"tutorial.sheet.{'one_blank' if single else 'several_blanks'}", layout.sets)


def _sheet_notes(layout: SheetLayout | None, blanks: Sequence[Blank], locale: Locale) -> tuple[str, ...]:
    notes = []
    if layout is not None and layout.sets and (grain := direction_text(layout, locale)):
        notes.append(grain)
    bounding = [locale.name(blank.name) for blank in blanks if blank.bounding]
    if bounding:
        notes.append(locale.say("tutorial.sheet.bounding", pieces=locale.join(bounding)))
    return tuple(notes)


def _sheets_needed(sheet: StockSheet, blanks: Mapping[str, Sequence[Blank]],
                   layouts: Mapping[str, SheetLayout | None], boxes: int) -> SheetsNeeded:
    return SheetsNeeded(boxes, {system: _sheet_count(sheet, blanks[system], boxes)
                                if (layout := layouts[system]) is not None and layout.sets else None
                                for system in SYSTEMS})


def _sheet_count(sheet: StockSheet, blanks: Sequence[Blank], boxes: int) -> int | None:
    try:
        return sheets_needed(sheet, blanks, boxes)
    except SheetError:
        return None


@dataclass(frozen=True, slots=True)
class RibbonPlan:
    """One ribbon: how much of it each number of boxes of :data:`BATCHES` takes."""

    name: str
    lengths: tuple[ComputedValue, ...]


def ribbon_plans(tutorial: Tutorial, locale: Locale = ENGLISH) -> tuple[RibbonPlan, ...]:
    """A plan for each ribbon, in the order of the source."""
    found = []
    for info in tutorial.plans["mm"].pieces if tutorial.plans else ():
        if info.is_ribbon:
            each = {s: Fraction(plan.states[info.id][0][1].width.value) for s, plan in tutorial.plans.items()}
            found.append(RibbonPlan(locale.say("box.ribbon_for", name=locale.name(info.name)),
                                    tuple(ribbon_length(each, -(-boxes // info.boxes), locale)
                                          for boxes in BATCHES)))
    return tuple(found)


def ribbon_length(each: Mapping[str, Fraction], count: int, locale: Locale) -> ComputedValue:
    """So many lengths of ribbon, ``each`` in mm by system, as shops sell them."""
    whole = {system: mm * count for system, mm in each.items()}
    if all(mm < SYSTEMS[system].roll_length for system, mm in whole.items()):
        return computed_value({system: length(mm) for system, mm in whole.items()}, locale=locale)
    return ComputedValue("", NO_SPAN, {s: _sold_length(mm, s, locale) for s, mm in whole.items()}, False)


def _sold_length(mm: Fraction, system: str, locale: Locale) -> MeasureWording:
    usual = SYSTEMS[system]
    size = math.ceil(mm / usual.roll_length / usual.roll_step) * usual.roll_step
    top, bottom = (size % 1).as_integer_ratio() if usual.halves else (0, 1)
    words = DisplayMeasure(False, int(size), top, bottom, "" if usual.halves else decimal_text(size, 1), "")
    sign = locale.say(f"box.unit.{usual.roll_unit}")
    spoken = locale.count(f"box.spoken.{usual.roll_unit}", float(size))
    return MeasureWording(f"{as_text(words, locale)} {sign}", f"{as_speech(words, locale)} {spoken}",
                          f"{as_html(words, locale)}\u00a0{sign}")
