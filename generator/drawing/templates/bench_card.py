"""The bench card: one page for the table, with a dimensioned blank and every mark in the order of work."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.backends import helvetica
from generator.drawing.pen import Dimension, Role
from generator.drawing.process_table import PROCESS_LAYERS
from generator.drawing.steps.boxes import Box, around
from generator.drawing.steps.view import View, joined
from generator.drawing.templates.bench_rows import CardRow, finished, rows
from generator.drawing.templates.label_placement import LabelPlacer, write_places
from generator.drawing.templates.page import Heading, Page
from generator.drawing.templates.page_elements import Ink, fitted
from generator.drawing.templates.page_format import PrintPaper
from generator.drawing.templates.plan import piece_moved
from generator.drawing.templates.processes import ProcessedPiece
from generator.geometry import Point, Region
from generator.locale import Locale
from generator.paper.records import Orientation, Plan
from generator.units import as_text, word

NORMAL, LARGE = 3.7, 18 * 25.4 / 72     # mm: about 10.5 pt, and 18 pt
LEADING = 1.36
GAP = 9.0           # mm between two pieces, and between a piece and its dimension lines
APART = 6.0         # mm between two columns
BOX = 0.72          # em: side of the box to tick


@dataclass(frozen=True, slots=True)
class CardType:
    """``leading`` from one line of the work to the next, in em; the share of the height ``drawn``; how many ``columns``."""

    leading: float
    drawn: float
    columns: int = 1


# the first with which the card is one page, or else as few as can be
SETTINGS = (CardType(1.62, 0.42), CardType(1.4, 0.42), CardType(1.36, 0.36, 2), CardType(1.3, 0.28, 2))
LARGE_SETTINGS = (CardType(1.36, 0.3), CardType(1.3, 0.24), CardType(1.3, 0.26, 2), CardType(1.26, 0.2, 2))


@dataclass(frozen=True, slots=True)
class Manner:
    """How a card is set: the height of its letters in mm, and whether it is for left hands."""

    size: float = NORMAL
    left_handed: bool = False
    settings: tuple[CardType, ...] = SETTINGS


MANNERS = {"": Manner(), "large": Manner(LARGE, settings=LARGE_SETTINGS), "left": Manner(NORMAL, True)}


def bench_card(plan: Plan, pieces: Sequence[ProcessedPiece], heading: Heading, manner: Manner) -> tuple[Page, ...]:
    """The card of a plan and its ``pieces``; one page, and where large print or a long work needs it a second."""
    pieces = [_seen(piece, manner) for piece in pieces]
    least, best = 0, manner.settings[0]
    for setting in manner.settings:
        number = len(_card(plan, pieces, heading, manner, setting))
        if not least or number < least:
            least, best = number, setting
        if least == 1:
            break
    return _card(plan, pieces, heading, manner, best, least, whole=True)


def _card(plan: Plan, pieces: Sequence[ProcessedPiece], heading: Heading, manner: Manner, setting: CardType,
          total: int = 1, whole: bool = False) -> tuple[Page, ...]:
    """The pages with one setting; ``total`` is how many they are, where they are numbered.

    Only what is ``whole`` has its pieces drawn: the others are made to be counted.
    """
    leaf, ink = PrintPaper(heading.paper), Ink()
    inside, leading = leaf.printed, setting.leading * manner.size
    wide = (inside.width + APART) / setting.columns - APART
    ink.page()
    top = _head(ink, inside, plan, heading, manner, total)
    top = y = _drawing(ink, Box(inside.x0, inside.y0, inside.x1, top), pieces, heading, manner, setting.drawn, whole)
    pages, column = [], 0
    for row in rows(plan, manner.left_handed, heading.locale):
        lines = _lines(row, wide, manner.size)
        need = leading * (len(lines) + (1.3 if row.heading else 0))
        if y - need < inside.y0 + 2:
            column, y = column + 1, top
        if column == setting.columns:
            pages.append(_page(ink, leaf))
            ink, column = Ink(), 0
            ink.page()
            top = y = _again(ink, inside, heading, manner, len(pages) + 1, total)
        y = _row(ink if whole else None, inside.x0 + column * (wide + APART), row, lines, y, manner.size, leading)
    return (*pages, _page(ink, leaf))


def _page(ink: Ink, leaf: PrintPaper) -> Page:
    ink.end()
    return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height))


def _head(ink: Ink, inside: Box, plan: Plan, heading: Heading, manner: Manner, total: int) -> float:
    size = max(6.0, 1.25 * manner.size)
    ink.words(fitted(heading.title, size, inside.width, True), inside.x0, inside.y1 - size / 2 - 1, size, bold=True)
    y = inside.y1 - 1.75 * size - 1
    say, size_told = heading.locale, finished(plan, heading.locale)
    words = say.say("templates.card.head_left" if manner.left_handed else "templates.card.head", edition=heading.edition,
                    done=say.say("templates.card.done", size=size_told) if size_told else "", revision=heading.revision,
                    page=say.say("templates.card.page", total=total) if total > 1 else "")
    y = ink.text(words, inside.x0, y, inside.width, manner.size)
    ink.line(inside.x0, y + 0.4 * manner.size, inside.x1, y + 0.4 * manner.size)
    return y - 0.4 * manner.size


def _again(ink: Ink, inside: Box, heading: Heading, manner: Manner, number: int, total: int) -> float:
    """The head of a further page; what does not fit is cut off its title."""
    y = inside.y1 - manner.size
    rest = heading.locale.say("templates.card.again", edition=heading.edition, revision=heading.revision, page=number, total=total)
    title = fitted(heading.title, manner.size, inside.width - helvetica.width(rest, manner.size))
    ink.words(title + rest, inside.x0, y, manner.size)
    ink.line(inside.x0, y - manner.size, inside.x1, y - manner.size)
    return y - 2.2 * manner.size


# -- the drawing ------------------------------------------------------------


def _drawing(ink: Ink, box: Box, pieces: Sequence[ProcessedPiece], heading: Heading, manner: Manner, drawn: float,
             whole: bool) -> float:
    """All pieces side by side, as large as there is room, each with its two sizes. Gives the height below it."""
    if not pieces:
        return box.y1
    boxes = [_box(piece) for piece in pieces]
    room = box.width - len(pieces) * (GAP + manner.size) - (len(pieces) - 1) * GAP
    high = box.height * drawn - GAP - 2 * manner.size
    scale = min(room / sum(b.width for b in boxes), high / max(b.height for b in boxes), 1.0)
    tall = max(helvetica.width(_high(piece, heading.system, heading.locale), manner.size) - at.height * scale
               for piece, at in zip(pieces, boxes, strict=True))        # a height's words that are longer than the piece
    x, top, lowest = box.x0 + GAP + manner.size, box.y1 - manner.size * 0.5 - max(0.0, tall / 2), box.y1
    for piece, at in zip(pieces, boxes, strict=True):
        low = top - at.height * scale
        if whole:
            view = View(scale=scale, dx=x - at.x0 * scale, dy=low - at.y0 * scale)
            _piece(ink, piece_moved(piece, view), heading.system, manner.size, heading.locale)
        x, lowest = x + at.width * scale + 2 * GAP + manner.size, min(lowest, low)
    return lowest - GAP - 1.6 * manner.size


def _seen(piece: ProcessedPiece, manner: Manner) -> ProcessedPiece:
    return piece_moved(piece, View(Orientation(0, True))) if manner.left_handed else piece


def _box(piece: ProcessedPiece) -> Box:
    return around((b[k], b[k + 1]) for stroke in piece.outline for b in (stroke.bounds(),) for k in (0, 2))


def _piece(ink: Ink, piece: ProcessedPiece, system: str, size: float, locale: Locale) -> None:
    for process in PROCESS_LAYERS:
        if process.role:
            for path in joined(piece.of(process.key)):
                ink.stroke(path, process.role, False)
    for circle in piece.punched:
        ink.hole(circle, False)
    for path in (piece.outline, *piece.holes):
        ink.stroke(path, Role.EDGE, False)
    words = LabelPlacer(piece, Region(piece.outline, piece.holes))
    write_places(words, piece.places, system, min(size, 4.2), locale)
    for label in words.labels:
        ink.label(label)
    _sizes(ink, piece, system, size, locale)


def _sizes(ink: Ink, piece: ProcessedPiece, system: str, size: float, locale: Locale) -> None:
    """Width below, height on the left: dimension lines with the words above them (ISO 129-1; from memory)."""
    box, off = _box(piece), GAP - 3.5
    low, left = box.y0 - off, box.x0 - off
    ink.dimension(Dimension(Point(box.x0, low), (Point(box.x1, low),),
                            ((Point(box.x0, box.y0 - 1), Point(box.x0, low - 1.5)),
                             (Point(box.x1, box.y0 - 1), Point(box.x1, low - 1.5)))))
    ink.dimension(Dimension(Point(left, box.y0), (Point(left, box.y1),),
                            ((Point(box.x0 - 1, box.y0), Point(left - 1.5, box.y0)),
                             (Point(box.x0 - 1, box.y1), Point(left - 1.5, box.y1)))))
    words = locale.say("templates.card.size", piece=locale.name(piece.name), size=as_text(word(piece.width, system), locale))
    ink.words(words, box.middle[0], low - 0.7 * size - 0.8, size, "middle")
    ink.words(_high(piece, system, locale), left - 0.5 * size - 0.8, box.middle[1], size, "middle", upright=True)


def _high(piece: ProcessedPiece, system: str, locale: Locale) -> str:
    return as_text(word(piece.height, system), locale)


# -- the rows ---------------------------------------------------------------


def _lines(row: CardRow, most: float, size: float) -> Sequence[str]:
    indent = 0.0 if row.heading else 1.5 * size
    return helvetica.wrapped(row.text, size, most - indent, row.heading)


def _row(ink: Ink | None, x: float, row: CardRow, lines: Sequence[str], y: float, size: float, leading: float) -> float:
    """Write a row, or only find where the next one begins."""
    if row.heading:
        y -= 0.25 * size
        for line in lines:
            if ink:
                ink.words(line, x, y, size, bold=True)
            y -= leading
        return y
    if ink:
        side = BOX * size
        ink.rectangle(Box(x, y - side / 2, x + side, y + side / 2))
    for line in lines:
        if ink:
            ink.words(line, x + 1.5 * size, y, size)
        y -= LEADING * size
    return y + LEADING * size - leading
