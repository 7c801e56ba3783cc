"""Labels and lists in large print: sections of lines that flow over pages, several on one where they fit."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.dataclass import dataclass
from generator.drawing import lettering
from generator.drawing.templates.bench_card import LARGE_SIZE
from generator.drawing.templates.page import Page, PagePen, PrintPaper
from generator.units import INCH

HEAD_SIZE = float(36 * INCH.mm / 72)    # mm: 36 points
LINE_LEADING = 1.32                     # em, from line to line
SECTION_GAP = 8.0                       # mm above and below the line between two sections
INDENT = 6.0                            # mm, for what stands below a heading


@dataclass(frozen=True, slots=True)
class LabelLine:
    """A line of words, wrapped where it is too long; a ``heading`` is bold, the rest stands below one."""

    text: str
    heading: bool = False


@dataclass(frozen=True, slots=True)
class LabelSection:
    """A label or a list: ``head`` in the largest letters, ``mark`` half as large at the right of it."""

    head: str
    lines: tuple[LabelLine, ...]
    mark: str = ""


@dataclass(frozen=True, slots=True)
class _SetLine:
    text: str
    size: float
    bold: bool = False
    indent: float = 0.0
    mark: str = ""

    @property
    def height(self) -> float:
        return LINE_LEADING * self.size


def label_pages(sections: Sequence[LabelSection], paper: str) -> tuple[Page, ...]:
    """Pages of ``paper`` ("a4", "letter") in letters of 18 points, heads of 36.

    A section begins a new page where the rest of one does not hold it, and goes on where a whole one does
    not.
    """
    leaf = PrintPaper(paper)
    inside, ink = leaf.printed, _begun()
    pages: list[Page] = []
    y = inside.y1
    for section in sections:
        lines = list(_set_lines(section, inside.width))
        whole = sum(line.height for line in lines)
        if y < inside.y1 and y - 2 * SECTION_GAP - whole < inside.y0:
            pages.append(_ended(ink, leaf))
            ink, y = _begun(), inside.y1
        elif y < inside.y1:
            y -= SECTION_GAP
            ink.line(inside.x0, y, inside.x1, y)
            y -= SECTION_GAP
        for line in lines:
            if y - line.height < inside.y0:
                pages.append(_ended(ink, leaf))
                ink, y = _begun(), inside.y1
            middle = y - line.height / 2
            ink.words(line.text, inside.x0 + line.indent, middle, line.size, bold=line.bold)
            if line.mark:
                ink.words(line.mark, inside.x1, middle, line.size / 2, "end", bold=True)
            y -= line.height
    return (*pages, _ended(ink, leaf))


def _begun() -> PagePen:
    ink = PagePen()
    ink.page()
    return ink


def _ended(ink: PagePen, leaf: PrintPaper) -> Page:
    ink.end()
    return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height))


def _set_lines(section: LabelSection, width: float) -> Iterator[_SetLine]:
    room = width - (lettering.line_width(section.mark, HEAD_SIZE / 2, True) + INDENT if section.mark else 0)
    for number, text in enumerate(lettering.wrapped_lines(section.head, HEAD_SIZE, room, True)):
        yield _SetLine(text, HEAD_SIZE, True, mark=section.mark if number == 0 else "")
    for line in section.lines:
        indent = 0.0 if line.heading else INDENT
        for number, text in enumerate(lettering.wrapped_lines(line.text, LARGE_SIZE, width - 2 * indent,
                                                              line.heading)):
            yield _SetLine(text, LARGE_SIZE, line.heading, indent * (1 + (number > 0)))
