"""The bench card: one page for the table, with a dimensioned blank and every mark in the order of work."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.dataclass import dataclass, replace
from generator.drawing import lettering
from generator.drawing.pen import Dimension, Role, Surface
from generator.drawing.picture_geometry import Box, View, joined_paths, united_box
from generator.drawing.process_table import PROCESS_LAYERS
from generator.drawing.recording import Recording
from generator.drawing.templates.bench_rows import CardRow, card_rows
from generator.drawing.templates.page import INCH_MM, Page, PageHeading, PagePen, PrintPaper, shortened
from generator.drawing.templates.plan import (
    LabelPlacer,
    label_glued,
    label_positions,
    label_scraps,
    moved_piece,
    position_texts,
)
from generator.drawing.templates.processes import ProcessedPiece
from generator.geometry import Line, Point, Region
from generator.locale import Locale
from generator.paper.records import Orientation, Plan
from generator.units import as_text, display_measure, memoised

NORMAL_SIZE, LARGE_SIZE = 3.7, 18 * INCH_MM / 72     # mm: about 10.5 pt, and 18 pt
CARD_LEADING = 1.36
CARD_GAP = 9.0           # mm between two pieces, and between a piece and its dimension lines
SIZE_LINE_DISTANCE = 5.5         # mm from a piece to its dimension lines
COLUMN_GAP = 6.0         # mm between two columns
FITTING_ROUNDS = 4      # of making the drawing smaller, until its words have room beside each other
LEAST_SCALE = 0.01      # of the drawing; where many pieces leave each less room, there is none
TICK_BOX_SIZE = 0.72          # em: side of the box to tick


@dataclass(frozen=True, slots=True)
class CardType:
    """``leading`` of the rows, in em; the share of the height that is ``drawn``; how many ``columns``.

    ``smaller`` is the share of the variant's size that its letters have.
    """

    leading: float
    drawn: float
    columns: int = 1
    smaller: float = 1.0


# the first with which the card is one page, or else as few as can be
CARD_TYPES = (CardType(1.62, 0.42), CardType(1.4, 0.42), CardType(1.36, 0.36, 2), CardType(1.3, 0.28, 2),
              CardType(1.3, 0.28, 2, 6 / 7))         # about 9 pt
LARGE_CARD_TYPES = (CardType(1.36, 0.3), CardType(1.3, 0.24), CardType(1.3, 0.26, 2), CardType(1.26, 0.2, 2),
                    CardType(1.15, 0.2), CardType(1.15, 0.2, 2))


@dataclass(frozen=True, slots=True)
class CardVariant:
    """How a card is set: the height of its letters in mm, and whether it is for left hands."""

    size: float = NORMAL_SIZE
    left_handed: bool = False
    settings: tuple[CardType, ...] = CARD_TYPES


CARD_VARIANTS = {"": CardVariant(), "large": CardVariant(LARGE_SIZE, settings=LARGE_CARD_TYPES),
                 "left": CardVariant(NORMAL_SIZE, True)}


def bench_card(plan: Plan, pieces: Sequence[ProcessedPiece], heading: PageHeading,
               variant: CardVariant) -> tuple[Page, ...]:
    """The card of a plan and its ``pieces``: one page, or as few as large print and long work allow."""
    if variant.left_handed:
        pieces = [_mirrored_piece(piece) for piece in pieces]
    least, best = 0, variant.settings[0]
    for setting in variant.settings:
        number = len(_card(plan, pieces, heading, _set_in(variant, setting), setting))
        if not least or number < least:
            least, best = number, setting
        if least == 1:
            break
    return _card(plan, pieces, heading, _set_in(variant, best), best, least, whole=True)


def _set_in(variant: CardVariant, setting: CardType) -> CardVariant:
    return replace(variant, size=variant.size * setting.smaller)


def _card(plan: Plan, pieces: Sequence[ProcessedPiece], heading: PageHeading, variant: CardVariant,
          setting: CardType,
          total: int = 1, whole: bool = False) -> tuple[Page, ...]:
    """The pages with one setting; ``total`` is how many they are, where they are numbered.

    Only what is ``whole`` has its pieces drawn: the others are made to be counted.
    """
    leaf, ink = PrintPaper(heading.paper), PagePen()
    inside, leading = leaf.printed, setting.leading * variant.size
    wide = (inside.width + COLUMN_GAP) / setting.columns - COLUMN_GAP
    ink.page()
    top = _card_head(ink, inside, heading, variant, total)
    top = y = draw_blanks(ink, Box(inside.x0, inside.y0, inside.x1, top), pieces, heading, variant,
                           setting.drawn, whole)
    pages, column = [], 0
    for row in card_rows(plan, variant.left_handed, heading.locale):
        lines = _row_lines(row, wide, variant.size)
        # y is the middle of the first line; a heading stands with a row below it
        need = leading * (len(lines) - 1 + (1.3 if row.heading else 0)) + variant.size / 2
        if y - need < inside.y0:
            column, y = column + 1, top
        if column == setting.columns:
            pages.append(_page(ink, leaf))
            ink, column = PagePen(), 0
            ink.page()
            top = y = further_head(ink, inside, heading, variant.size, len(pages) + 1, total)
        y = _write_row(ink if whole else None, inside.x0 + column * (wide + COLUMN_GAP), row, lines, y,
                       variant.size, leading)
    return (*pages, _page(ink, leaf))


def _page(ink: PagePen, leaf: PrintPaper) -> Page:
    ink.end()
    return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height))


def _card_head(ink: PagePen, inside: Box, heading: PageHeading, variant: CardVariant, total: int) -> float:
    size = max(6.0, 1.25 * variant.size)
    ink.words(shortened(heading.title, size, inside.width, True), inside.x0, inside.y1 - size / 2 - 1, size,
              bold=True)
    y = inside.y1 - 1.75 * size - 1
    say, size_told = heading.locale, heading.finished
    words = say.say("templates.card.head_left" if variant.left_handed else "templates.card.head",
                    edition=heading.edition,
                    done=say.say("templates.card.done", size=size_told) if size_told else "",
                    revision=heading.revision,
                    page=say.say("templates.card.page", total=total) if total > 1 else "")
    y = ink.text(words, inside.x0, y, inside.width, variant.size)
    ink.line(inside.x0, y + 0.4 * variant.size, inside.x1, y + 0.4 * variant.size)
    return y - 0.4 * variant.size


def further_head(ink: PagePen, inside: Box, heading: PageHeading, size: float, number: int,
                 total: int) -> float:
    """The head of a further page in letters of ``size`` mm; what does not fit is cut off its title.

    Gives the height below it.
    """
    y = inside.y1 - size
    rest = heading.locale.say("templates.card.again", edition=heading.edition, revision=heading.revision,
                              page=number, total=total)
    title = shortened(heading.title, size, inside.width - lettering.line_width(rest, size))
    ink.words(title + rest, inside.x0, y, size)
    ink.line(inside.x0, y - size, inside.x1, y - size)
    return y - 2.2 * size


# -- the drawing ------------------------------------------------------------


def draw_blanks(ink: PagePen, box: Box, pieces: Sequence[ProcessedPiece], heading: PageHeading,
                variant: CardVariant, drawn: float, whole: bool) -> float:
    """All pieces side by side, as large as that share of the box has room; drawn only if they are ``whole``.

    Gives the height below it, all of it where they have no room.
    """
    boxes = [_piece_box(piece) for piece in pieces]
    sizes = [lettering.line_width(_size_text(piece, heading.system, heading.locale), variant.size)
             for piece in pieces]
    beside = CARD_GAP + variant.size        # of a piece's height and its dimension line

    def overhang(k: int) -> float:
        """By how much the words below a piece are wider than it, on either side."""
        return max(0.0, (sizes[k] - boxes[k].width * scale) / 2)

    high = box.height * drawn - CARD_GAP - 2 * variant.size
    scale = min((1.0, high / max(b.height for b in boxes)) if boxes else (0.0,))
    for _ in range(FITTING_ROUNDS):     # words keep their size while pieces shrink
        fixed = (len(pieces) - 1) * CARD_GAP + sum(
            max(beside, overhang(k)) + overhang(k) for k in range(len(pieces)))
        scale = min(scale, (box.width - fixed) / sum(b.width for b in boxes)) if boxes else scale
    if scale < LEAST_SCALE:
        return box.y1
    tall = max(lettering.line_width(_height_text(piece, heading.system, heading.locale), variant.size)
               - at.height * scale
               # a height's words that are longer than the piece
               for piece, at in zip(pieces, boxes, strict=True))
    x, top, lowest = box.x0, box.y1 - variant.size * 0.5 - max(0.0, tall / 2,
                                                               tall - SIZE_LINE_DISTANCE), box.y1
    for k, (piece, at) in enumerate(zip(pieces, boxes, strict=True)):
        x += max(beside, overhang(k))
        low = top - at.height * scale
        if whole:
            shown, drawing = _piece_drawing(
                piece, scale, x - at.x0 * scale, low - at.y0 * scale, min(variant.size, 4.2), box.x1,
                box.y1 + 0.2 * variant.size, *position_texts(piece.places, heading.system, heading.locale))
            ink.repeat(drawing)
            _write_sizes(ink, shown, heading.system, variant.size, heading.locale, box.x1)
        x, lowest = x + at.width * scale + overhang(k) + CARD_GAP, min(lowest, low)
    return lowest - CARD_GAP - 1.6 * variant.size


@memoised(32)
def _mirrored_piece(piece: ProcessedPiece) -> ProcessedPiece:
    return moved_piece(piece, View(Orientation(0, True)))


@memoised(32)       # each manner of card and each paper asks for the same
def _piece_box(piece: ProcessedPiece) -> Box:
    return united_box(Box(*map(float, stroke.bounds())) for stroke in piece.outline)


@memoised(64)       # languages share it where its words are the same
def _piece_drawing(piece: ProcessedPiece, scale: float, dx: float, dy: float, size: float, right: float,
                   top: float, *texts: str) -> tuple[ProcessedPiece, Recording]:
    """A piece as it lies on a page, and its drawing there: lines, letters, and the ``texts`` of positions."""
    piece, ink = moved_piece(piece, View(scale=scale, dx=dx, dy=dy)), PagePen()
    ink.page()
    for _, loops in piece.scraps:
        if loops:
            ink.area(loops, Surface.REMOVED)
            for loop in loops:
                ink.stroke(loop, Role.HIDDEN, False)
    for process in PROCESS_LAYERS:
        if process.role:
            for path in joined_paths(piece.of(process.key)):
                ink.stroke(path, process.role, False)
    for circle in piece.punched:
        ink.hole(circle, False)
    for path in (piece.outline, *piece.holes):
        ink.stroke(path, Role.EDGE, False)
    sizes = _size_lines(piece)
    words = LabelPlacer(piece, Region(piece.outline, piece.holes),
                        (*(stroke for _, loops in piece.scraps for loop in loops for stroke in loop),
                         *(line for each in sizes for line in _lines_of(each))))
    at = _piece_box(piece)      # letters stand within its dimension lines, whose words lie beyond them
    label_scraps(words, piece, size,
                 Box(at.x0 - SIZE_LINE_DISTANCE, at.y0 - SIZE_LINE_DISTANCE, right - size, top))
    label_positions(words, piece.places, texts, size)
    label_glued(words, piece, lambda each: str(each.number or ""), size)
    for label in words.labels:
        ink.label(label)
    for each in sizes:
        ink.dimension(each)
    return piece, ink.recording(0, 0)


def _size_lines(piece: ProcessedPiece) -> tuple[Dimension, Dimension]:
    """Width below, height on the left, each with its extension lines (ISO 129-1; from memory)."""
    box, off = _piece_box(piece), SIZE_LINE_DISTANCE
    low, left = box.y0 - off, box.x0 - off
    return (Dimension(Point(box.x0, low), (Point(box.x1, low),),
                      ((Point(box.x0, box.y0 - 1), Point(box.x0, low - 1.5)),
                       (Point(box.x1, box.y0 - 1), Point(box.x1, low - 1.5)))),
            Dimension(Point(left, box.y0), (Point(left, box.y1),),
                      ((Point(box.x0 - 1, box.y0), Point(left - 1.5, box.y0)),
                       (Point(box.x0 - 1, box.y1), Point(left - 1.5, box.y1)))))


def _lines_of(size: Dimension) -> Iterator[Line]:
    yield from (Line(size.origin, stop) for stop in size.stops)
    yield from (Line(start, end) for start, end in size.extensions)


def _write_sizes(ink: PagePen, piece: ProcessedPiece, system: str, size: float, locale: Locale,
                right: float) -> None:
    """The words of the dimension lines, nothing beyond ``right``."""
    box, off = _piece_box(piece), SIZE_LINE_DISTANCE
    low, left = box.y0 - off, box.x0 - off
    words = _size_text(piece, system, locale)
    middle = min(box.middle[0], right - lettering.line_width(words, size) / 2)
    ink.words(words, middle, low - 0.7 * size - 0.8, size, "middle")
    height = _height_text(piece, system, locale)
    # words longer than the piece is high stand beyond its extension lines, too
    long = lettering.line_width(height, size)
    clear = 0.8 if long < box.height else 2.0
    middle = max(box.middle[1], low + long / 2)     # not down to the words below
    ink.words(height, left - 0.5 * size - clear, middle, size, "middle", upright=True)


@memoised(32)
def _size_text(piece: ProcessedPiece, system: str, locale: Locale) -> str:
    return locale.say("templates.card.size", piece=locale.name(piece.name),
                      size=as_text(display_measure(piece.width, system), locale))


@memoised(32)
def _height_text(piece: ProcessedPiece, system: str, locale: Locale) -> str:
    return as_text(display_measure(piece.height, system), locale)


# -- the rows ---------------------------------------------------------------


def _row_lines(row: CardRow, most: float, size: float) -> Sequence[str]:
    indent = 0.0 if row.heading else 1.5 * size
    return lettering.wrapped_lines(row.text, size, most - indent, row.heading)


def _write_row(ink: PagePen | None, x: float, row: CardRow, lines: Sequence[str], y: float, size: float,
               leading: float) -> float:
    """Write a row, or only find where the next one begins."""
    if row.heading:
        y -= 0.25 * size
        for line in lines:
            if ink:
                ink.words(line, x, y, size, bold=True)
            y -= leading
        return y
    if ink:
        side = TICK_BOX_SIZE * size
        ink.rectangle(Box(x, y - side / 2, x + side, y + side / 2))
    wrapped = min(CARD_LEADING * size, leading)
    for line in lines:
        if ink:
            ink.words(line, x + 1.5 * size, y, size)
        y -= wrapped
    return y + wrapped - leading
