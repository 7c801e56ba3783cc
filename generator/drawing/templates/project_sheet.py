"""The project sheet: a whole tutorial on two pages, to work from or to hand out; in large print on more.

Beside the finished picture stand the facts and what is needed, below it the blanks with their sizes, then the
steps in a line or two each, the cautions, and who made it, where the whole is told and which plan it is of.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from generator.dataclass import dataclass, replace
from generator.drawing import lettering
from generator.drawing.picture_geometry import Box, View
from generator.drawing.recording import Recording
from generator.drawing.templates.bench_card import LARGE_SIZE, CardVariant, draw_blanks, further_head
from generator.drawing.templates.page import Page, PageHeading, PagePen, PlacedDrawing, PrintPaper, code_boxes
from generator.drawing.templates.plan import moved_item
from generator.drawing.templates.processes import ProcessedPiece
from generator.units import memoised

SHEET_PAGES = 2
# (letters in mm, from 12 pt to a little more than 7.5 pt; the share of the page for blanks): the first that
# fits
SHEET_TYPES = ((4.2, 0.38), (4.2, 0.32), (3.9, 0.32), (3.6, 0.32), (3.6, 0.27), (3.3, 0.27), (3.0, 0.27),
               (2.7, 0.27), (2.7, 0.2))
LARGE_TYPES = ((LARGE_SIZE, 0.3),)
LEADING, GAP = 1.32, 0.5        # em: from line to line; more between two blocks
HEADING_SIZE, HEADING_HEIGHT = 1.15, 1.9        # em: of its letters, and with the line below it
PICTURE_SHARE = (0.46, 0.23)    # of the printed width and height for the finished picture
# mm; the page's edge and the words leave more than four modules white round it
CODE_SIDE = 27.0
COVER_TITLE, COVER_SIZE, COVER_PICTURE = 10.0, 4.2, 0.36       # mm, mm, share of the height for the picture


Line = tuple[tuple[float, str, bool], ...]      # words with their mm from the left, and whether they are bold


@dataclass(frozen=True, slots=True)
class SheetStep:
    """A step by its number and title, and in a line or two what is set and done."""

    number: int
    title: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class SheetContents:
    """What a sheet says in one edition, in plain words.

    ``facts``, ``cautions`` and ``credit`` are pairs of a label and what is said; ``address`` is where the
    whole tutorial is told and ``link`` what the code leads to, "" where the site knows no address of its own.
    """

    summary: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    supplies: tuple[str, ...] = ()
    steps: tuple[SheetStep, ...] = ()
    cautions: tuple[tuple[str, str], ...] = ()
    credit: tuple[tuple[str, str], ...] = ()
    address: str = ""
    link: str = ""
    picture: Recording | None = None


@dataclass(frozen=True, slots=True)
class _Block:
    """Lines that stay together, in letters of ``size`` mm, with so much room ``before`` them.

    ``headed`` is the heading above them, ``code`` the link of the matrix code at their right end.
    """

    lines: tuple[Line, ...]
    size: float
    before: float
    headed: str = ""
    code: str = ""

    @property
    def head(self) -> float:
        """The height of its heading, in mm."""
        return HEADING_HEIGHT * self.size if self.headed else 0.0

    @property
    def height(self) -> float:
        """With the room before it, in mm."""
        text = self.head + len(self.lines) * LEADING * self.size
        return self.before + max(CODE_SIDE + self.head if self.code else 0.0, text)


def project_sheet(contents: SheetContents, pieces: Sequence[ProcessedPiece], heading: PageHeading,
                  large: bool = False) -> tuple[Page, ...]:
    """Two pages in the largest type that has room there, or as many as letters of 18 pt take."""
    inside = PrintPaper(heading.paper).printed
    for size, share in LARGE_TYPES if large else SHEET_TYPES:
        sheet = _Sheet(contents, pieces, heading, size, share, large)
        below = sheet.front(PagePen(), False)
        pages = list(_paginated(sheet.blocks(), below - inside.y0, sheet.further - inside.y0))
        if len(pages) <= SHEET_PAGES:
            break
    return tuple(sheet.page(number, blocks, len(pages)) for number, blocks in enumerate(pages, start=1))


def bundle_cover(contents: SheetContents, heading: PageHeading,
                 parts: Sequence[tuple[str, int, int]]) -> Page:
    """The first page of a bundle; ``parts`` are those that follow, with their first and last page."""
    sheet = _Sheet(contents, (), heading, COVER_SIZE, 0.0, False)
    leaf, ink, inside = PrintPaper(heading.paper), PagePen(), sheet.inside
    ink.page()
    y = inside.y1 - COVER_TITLE
    for line in lettering.wrapped_lines(heading.title, COVER_TITLE, inside.width, True):
        ink.words(line, inside.x0, y, COVER_TITLE, bold=True)
        y -= 1.25 * COVER_TITLE
    y = ink.text(contents.summary, inside.x0, y, inside.width, COVER_SIZE)
    room = Box(inside.x0, y - COVER_PICTURE * inside.height, inside.x1, y - 2)
    blocks = list(sheet.cover_blocks(parts))
    placed = None
    if contents.picture is not None:
        placed, y = _placed_picture(contents.picture, room, 0.5), room.y0
    solid: list[Box] = []
    for block in blocks:
        if block.code:
            solid += code_boxes(block.code, inside.x1, y - block.before - block.head, CODE_SIDE)
        write_block(ink, inside._replace(y1=y), block)
        y -= block.height
    ink.end()
    return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height), placed, tuple(solid))


def _paginated(blocks: Iterable[_Block], first: float, further: float) -> Iterator[list[_Block]]:
    """Blocks page by page, of which the first has ``first`` mm of height and every other ``further``."""
    page: list[_Block] = []
    room = first
    for block in blocks:
        if block.height > room:
            yield page
            page, room = [], further
        page.append(block)
        room -= block.height
    yield page


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A sheet in letters of ``size`` mm, its blanks on a ``share`` of the page."""

    contents: SheetContents
    pieces: Sequence[ProcessedPiece]
    heading: PageHeading
    size: float
    share: float
    large: bool

    @property
    def inside(self) -> Box:
        return PrintPaper(self.heading.paper).printed

    @property
    def further(self) -> float:
        """The height below the head of a further page."""
        return further_head(PagePen(), self.inside, self.heading, min(self.size, 4.2), 2,
                            SHEET_PAGES) + self.size

    def page(self, number: int, blocks: Iterable[_Block], total: int) -> Page:
        """One page with its blocks."""
        leaf, ink, solid = PrintPaper(self.heading.paper), PagePen(), list[Box]()
        ink.page()
        y = (self.front(ink, True) if number == 1 else
             further_head(ink, self.inside, self.heading, min(self.size, 4.2), number, total) + self.size)
        for block in blocks:
            if block.code:
                solid += code_boxes(block.code, self.inside.x1, y - block.before - block.head, CODE_SIDE)
            write_block(ink, self.inside._replace(y1=y), block)
            y -= block.height
        ink.end()
        placed = (_placed_picture(self.contents.picture, self._picture_room())
                  if number == 1 and self.contents.picture is not None else None)
        return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height), placed, tuple(solid))

    # -- the upper half of the first page -----------------------------------

    def _title_height(self) -> float:
        return (len(self._titles()) + 1.3) * 1.35 * max(6.0, 1.25 * self.size)

    def _titles(self) -> Sequence[str]:
        return lettering.wrapped_lines(self.heading.title, max(6.0, 1.25 * self.size), self.inside.width,
                                       True)

    def _picture_room(self) -> Box:
        wide, high = (share * side for share, side in
                      zip(PICTURE_SHARE, (self.inside.width, self.inside.height), strict=True))
        top = self.inside.y1 - self._title_height()
        return Box(self.inside.x0, top - high, self.inside.x0 + wide, top)

    def front(self, ink: PagePen, whole: bool) -> float:
        """Title, picture, facts and blanks; gives the height below them. Only a ``whole`` one is drawn."""
        say, size, inside = self.heading.locale, max(6.0, 1.25 * self.size), self.inside
        y = inside.y1 - size / 2 - 1
        for line in self._titles():
            ink.words(line, inside.x0, y, size, bold=True)
            y -= 1.3 * size
        ink.words(say.say("templates.sheet.head", edition=self.heading.edition,
                          revision=self.heading.revision), inside.x0, y, self.size)
        ink.line(inside.x0, y - 0.9 * self.size, inside.x1, y - 0.9 * self.size)
        room = self._picture_room()
        left = room.x1 + 6 if self.contents.picture is not None else inside.x0
        low = room.y1
        for block in self._beside(inside.x1 - left):
            write_block(ink, Box(left, inside.y0, inside.x1, low), block)
            low -= block.height
        below = min(low, room.y0 if self.contents.picture is not None else low)
        box = Box(inside.x0, inside.y0, inside.x1, below - self.size)
        room_share = self.share * inside.height / box.height
        return draw_blanks(ink, box, self.pieces, self.heading, CardVariant(min(self.size, 4.2)),
                           room_share, whole)

    def _beside(self, width: float) -> Iterator[_Block]:
        """What stands beside the picture: facts, and what is needed, but in large print, where it follows."""
        for label, words in self.contents.facts:
            yield self._labelled(label, words, width, 0.0)
        if not self.large:
            yield from self._supplies(width)

    def _supplies(self, width: float) -> Iterator[_Block]:
        first = True
        for supply in self.contents.supplies:
            lines = self._wrapped(supply, width, 1.0)
            dotted = (((0.0, "•", False), *lines[0]), *lines[1:])
            yield self._headed("supplies", dotted) if first else _Block(dotted, self.size, 0.15 * self.size)
            first = False

    # -- blocks -------------------------------------------------------------

    def blocks(self) -> Iterator[_Block]:
        """Everything below the blanks, in order."""
        width = self.inside.width
        if self.large:
            yield from self._supplies(width)
        for at, step in enumerate(self.contents.steps):
            lines = self._step(step, width)
            yield self._headed("steps", lines) if at == 0 else _Block(lines, self.size, GAP * self.size)
        for at, (label, words) in enumerate(self.contents.cautions):
            block = self._labelled(label, words, width, 0.25 * self.size)
            yield self._headed("cautions", block.lines) if at == 0 else block
        yield self._foot(width)

    def cover_blocks(self, parts: Sequence[tuple[str, int, int]]) -> Iterator[_Block]:
        """What stands below the picture of a cover."""
        say, width = self.heading.locale, self.inside.width
        told = say.say("templates.sheet.bundle", edition=self.heading.edition, revision=self.heading.revision,
                       paper=PrintPaper(self.heading.paper).title)
        yield _Block(self._wrapped(told, width, 0.0), self.size, self.size)
        for label, words in self.contents.facts:
            yield self._labelled(label, words, width, 0.0)
        yield self._headed("contents", tuple(
            ((0.0, name, False), (0.55 * width, say.say(f"templates.sheet.page{'s' * (last > first)}",
                                                       first=first, last=last), False))
            for name, first, last in parts))
        yield _Block(self._wrapped(say.say("templates.sheet.true_size"), width, 0.0), self.size,
                     GAP * self.size)
        yield self._foot(width)

    def _step(self, step: SheetStep, width: float) -> tuple[Line, ...]:
        indent = 2.0
        title = self._wrapped(step.title, width, indent, bold=True)
        first = ((0.0, str(step.number), True), *title[0])
        return (first, *title[1:], *(self._wrapped(step.text, width, indent) if step.text else ()))

    def _foot(self, width: float) -> _Block:
        """Who made it, where it stands and of which plan it is, with the code at its side."""
        has_code = bool(self.contents.link)
        room = width - (CODE_SIDE + 4 if has_code else 0)
        lines = tuple(line for label, words in self.contents.credit
                      for line in self._labelled(label, words, room, 0.0).lines)
        say = self.heading.locale
        if self.contents.address:
            lines += self._labelled(say.say("templates.sheet.whole"), self.contents.address, room, 0.0).lines
        lines += self._labelled(say.say("templates.sheet.revision"), self.heading.revision, room, 0.0).lines
        return replace(self._headed("credit", lines), code=self.contents.link)

    def _headed(self, key: str, lines: tuple[Line, ...]) -> _Block:
        """A block below the heading of its part."""
        return _Block(lines, self.size, 0.9 * self.size, self.heading.locale.say(f"templates.sheet.{key}"))

    def _labelled(self, label: str, words: str, width: float, before: float) -> _Block:
        """"Label: words", the label bold."""
        start = lettering.line_width(f"{label}: ", self.size, True) / self.size
        text = self._wrapped(f"{words}", width, 0.0, first=start)
        return _Block((((0.0, f"{label}:", True), *text[0]), *text[1:]), self.size, before)

    def _wrapped(self, text: str, width: float, indent: float, bold: bool = False,
                 first: float = 0.0) -> tuple[Line, ...]:
        """Lines of words ``indent`` em from the left, the first of them ``first`` em farther in."""
        # a first line that begins farther in is as if it began with something so wide
        filler = "\u00a0" * round(first / lettering.line_width("\u00a0", 1.0)) if first else ""
        lines = lettering.wrapped_lines(filler + text, self.size, width - indent * self.size, bold)
        return tuple((((indent + (first if not at else 0.0)) * self.size, line.lstrip("\u00a0"), bold),)
                     for at, line in enumerate(lines)) or (((indent * self.size, "", bold),),)


def write_block(ink: PagePen, room: Box, block: _Block) -> None:
    """Write a block at the top of a room."""
    y = room.y1 - block.before
    if block.headed:
        ink.words(block.headed, room.x0, y - 0.6 * block.size, HEADING_SIZE * block.size, bold=True)
        ink.line(room.x0, y - 1.4 * block.size, room.x1, y - 1.4 * block.size)
    y -= block.head + 0.5 * LEADING * block.size
    for line in block.lines:
        for start, words, bold in line:
            ink.words(words, room.x0 + start, y, block.size, bold=bold)
        y -= LEADING * block.size


def _placed_picture(picture: Recording, room: Box, aside: float = 0.0) -> PlacedDrawing:
    """A picture as large as its room lets it be, with that share of what is left of the width before it."""
    box = picture.bounds()
    scale = min(room.width / box.width, room.height / box.height)
    drawn = _scaled(picture, round(scale, 6))
    x, y = room.x0 + aside * (room.width - drawn.width), room.middle[1] - scale * box.height / 2
    return PlacedDrawing(drawn, x, y, Box(x, y, x + drawn.width, y + drawn.height))


@memoised(8)        # every edition and language takes the same
def _scaled(picture: Recording, scale: float) -> Recording:
    box = picture.bounds()
    view = View(scale=scale, dx=-box.x0 * scale, dy=-box.y0 * scale)
    return Recording(scale * box.width, scale * box.height, tuple(
        replace(item, arguments=tuple(moved_item(part, view) for part in item.arguments))
        for item in picture.items))
