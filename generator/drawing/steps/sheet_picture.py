"""The front end that draws a sheet with its blanks, the cuts in their order, and what is left over."""
from __future__ import annotations

import re
from dataclasses import replace

from generator.drawing.steps.dual_measures import ListRow, dual_measure, measure_row
from generator.drawing.steps.sheet_composer import SheetComposer, sheet_size
from generator.drawing.steps.step_picture import StepPicture
from generator.locale import ENGLISH, Locale
from generator.paper.cutting_instructions import (
    cutting_text,
    offcut_html,
    offcut_speech,
    offcut_text,
    text_after_measure,
    text_before_measure,
)
from generator.paper.sheet_layouts import Cut, SheetLayout
from generator.units import SYSTEMS, length, other_system


def sheet_pictures(drawn: SheetLayout, other: SheetLayout | None, system: str,
                   locale: Locale = ENGLISH) -> tuple[StepPicture, ...]:
    """The pictures of one sheet: one where both editions are cut alike, else one for each edition.

    ``drawn`` belongs to the edition in ``system`` ("mm" or "in"), ``other`` to
    the other one. Nothing is drawn of a layout that holds no blank.
    """
    second = other_system(system)
    if other is not None and other.placements and is_cut_alike(drawn, other):
        return (_picture(drawn, other, system, "", locale),)
    pictures = [_picture(drawn, None, system, f"-{system}", locale)] if drawn.placements else []
    if other is not None and other.placements:
        pictures.append(_picture(other, None, second, f"-{second}", locale))
    return tuple(pictures)


def is_cut_alike(a: SheetLayout, b: SheetLayout) -> bool:
    """True when the two editions put the same blanks in the same places and are cut by the same settings."""
    return (_places(a), _cut_settings(a), len(a.offcuts), a.direction) == (_places(b), _cut_settings(b), len(b.offcuts), b.direction)


def _places(layout: SheetLayout) -> list[tuple[str, bool]]:
    return [(p.piece, p.turned) for p in layout.placements]


def _cut_settings(layout: SheetLayout) -> list[Cut]:
    """The cuts without their measures."""
    nothing = length(0).value
    return [replace(cut, width=nothing, height=nothing, fence=nothing, lines=()) for cut in layout.cuts]


def _picture(layout: SheetLayout, other: SheetLayout | None, system: str, suffix: str, locale: Locale) -> StepPicture:
    recording = SheetComposer(layout, other, system, locale).draw()
    name = layout.sheet.title           # of the key: the same in every language
    key = f"sheet-{re.sub(r'[^a-z0-9]+', '-', name.lower()).strip('-')}{suffix}"
    return StepPicture(layout.sheet.called(locale), _title(layout, locale), _description(layout, other, system, locale),
                       recording, tuple(_rows(layout, other, system, locale)), key, "cutting", suffix.removeprefix("-"))


def _title(layout: SheetLayout, locale: Locale) -> str:
    """"Sheet A4: 2 × base and 2 × lid"."""
    pieces = locale.join([f"{n} × {locale.name(piece)}" for piece, n in layout.counts.items()])
    return locale.say("drawing.sheet.title", sheet=layout.sheet.called(locale), pieces=pieces)


def _description(layout: SheetLayout, other: SheetLayout | None, system: str, locale: Locale) -> str:
    """What the picture shows in sentences: the sheet, every setting and what is left over, once for each system."""
    told = [locale.say("drawing.sheet.is", size=sheet_size(layout.sheet, locale))]
    layouts = {system: layout, other_system(system): other}
    for each in SYSTEMS:
        if (own := layouts[each]) is not None:
            lines = [locale.say("drawing.sheet.cut", n=n, line=line)
                     for n, line in enumerate(cutting_text(own, each, locale), start=1)]
            rest = offcut_text(own, each, locale)
            told += [locale.say(f"drawing.told_{each}"), *lines,
                     *([locale.say("drawing.sheet.rest", sizes=rest)] if rest else [])]
    return " ".join(told)


def _rows(layout: SheetLayout, other: SheetLayout | None, system: str, locale: Locale) -> list[ListRow]:
    """A row for every setting, and one for the offcuts."""
    rows = []
    for index, cut in enumerate(layout.cuts):
        same = length(other.cuts[index].fence) if other else None
        rows.append(measure_row(cut.step, [dual_measure(length(cut.fence), same, system, locale)], text_before_measure(cut, layout.cuts, locale),
                                locale.say("paper.behind", after=text_after_measure(cut, locale))))
    return rows + _offcut_rows(layout, other, system, locale)


def _offcut_rows(layout: SheetLayout, other: SheetLayout | None, system: str, locale: Locale) -> list[ListRow]:
    own = {system: layout, other_system(system): other}
    said = {each: tuple(say(given, each, locale) for say in (offcut_text, offcut_html, offcut_speech))
            for each, given in own.items() if given is not None}
    if not any(text for text, _, _ in said.values()):
        return []
    mm, inch = (said.get(each) or next(iter(said.values())) for each in SYSTEMS)
    return [ListRow(None, locale.say("drawing.sheet.left_over"), "", mm[0], inch[0], mm[1], inch[1], mm[2], inch[2])]
