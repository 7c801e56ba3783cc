"""The front end that draws a sheet with its blanks, the cuts in their order, and what is left over."""
from __future__ import annotations

import re
from dataclasses import replace

from generator.drawing.list_row import ListRow, measure_row
from generator.drawing.said import twin
from generator.drawing.sheet_composer import SheetComposer, sheet_size
from generator.drawing.step_picture import StepPicture
from generator.paper.cutting_words import after, before, cutting_text, offcut_html, offcut_speech, offcut_text
from generator.paper.layouts import Cut, Layout
from generator.units import join, length

SYSTEMS = (("mm", "In millimetres"), ("in", "In inches"))


def sheet_pictures(drawn: Layout, other: Layout | None, system: str) -> tuple[StepPicture, ...]:
    """The pictures of one sheet: one where both editions are cut alike, else one for each edition.

    ``drawn`` belongs to the edition in ``system`` ("mm" or "in"), ``other`` to
    the other one. Nothing is drawn of a layout that holds no blank.
    """
    second = "in" if system == "mm" else "mm"
    if other is not None and other.placements and alike(drawn, other):
        return (_picture(drawn, other, system, ""),)
    pictures = [_picture(drawn, None, system, f"-{system}")] if drawn.placements else []
    if other is not None and other.placements:
        pictures.append(_picture(other, None, second, f"-{second}"))
    return tuple(pictures)


def alike(a: Layout, b: Layout) -> bool:
    """True when the two editions put the same blanks in the same places and are cut by the same settings."""
    return (_places(a), _cuts(a), len(a.offcuts), a.direction) == (_places(b), _cuts(b), len(b.offcuts), b.direction)


def _places(layout: Layout) -> list[tuple[str, bool]]:
    return [(p.piece, p.turned) for p in layout.placements]


def _cuts(layout: Layout) -> list[Cut]:
    """The cuts without their measures."""
    nothing = length(0).value
    return [replace(cut, width=nothing, height=nothing, fence=nothing, lines=()) for cut in layout.cuts]


def _picture(layout: Layout, other: Layout | None, system: str, suffix: str) -> StepPicture:
    recording = SheetComposer(layout, other, system).draw()
    name = layout.sheet.title
    key = f"sheet-{re.sub(r'[^a-z0-9]+', '-', name.lower()).strip('-')}{suffix}"
    return StepPicture(name, _title(layout), _description(layout, other, system), recording,
                       tuple(_rows(layout, other, system)), key, "cutting")


def _title(layout: Layout) -> str:
    """"Sheet A4: 2 × base and 2 × lid"."""
    return f"Sheet {layout.sheet.title}: {join([f'{n} × {piece}' for piece, n in layout.counts.items()])}"


def _description(layout: Layout, other: Layout | None, system: str) -> str:
    """What the picture shows in sentences: the sheet, every setting and what is left over, once for each system."""
    told = [f"A sheet of {sheet_size(layout.sheet)}, parted by cuts from edge to edge."]
    layouts = {system: layout, ("in" if system == "mm" else "mm"): other}
    for each, words in SYSTEMS:
        if (own := layouts[each]) is not None:
            lines = [f"Cut {n}: {line}." for n, line in enumerate(cutting_text(own, each), start=1)]
            rest = offcut_text(own, each)
            told.append(" ".join([f"{words}:", *lines, *([f"Left over: {rest}."] if rest else [])]))
    return " ".join(told)


def _rows(layout: Layout, other: Layout | None, system: str) -> list[ListRow]:
    """A row for every setting, and one for the offcuts."""
    rows = []
    for index, cut in enumerate(layout.cuts):
        same = length(other.cuts[index].fence) if other else None
        rows.append(measure_row(cut.step, [twin(length(cut.fence), same, system)], before(cut, layout.cuts),
                                f"and {after(cut)}"))
    return rows + _left_over(layout, other, system)


def _left_over(layout: Layout, other: Layout | None, system: str) -> list[ListRow]:
    own = {system: layout, ("in" if system == "mm" else "mm"): other}
    said = {each: (offcut_text(given, each), offcut_html(given, each), offcut_speech(given, each))
            for each, given in own.items() if given is not None}
    if not any(text for text, _, _ in said.values()):
        return []
    mm, inch = (said.get(each) or next(iter(said.values())) for each in ("mm", "in"))
    return [ListRow(None, "Left over:", "", mm[0], inch[0], mm[1], inch[1], mm[2], inch[2])]
