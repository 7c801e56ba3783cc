"""The pages of guides: the scale page, then every guide with its words, as many on a page as fit.

A template as a document: the scale page, then every piece at true size.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.drawing.backends.pdf import pdf
from generator.drawing.picture_geometry import View
from generator.drawing.templates.calibration_pages import (
    BODY_SIZE,
    HEAD_SIZE,
    double_rule_page,
    scale_page,
    upper_half,
)
from generator.drawing.templates.guides import GUIDE_LEADING, GUIDE_LETTER_SIZE, Guide, guide_text_lines
from generator.drawing.templates.page import Page, PageHeading, PagePen, PrintPaper, edge_ticks
from generator.drawing.templates.plan import TrueSizePiece, moved_item
from generator.drawing.templates.tiling import plan_pages, tile_count, tiling, title_line
from generator.locale import ENGLISH, Locale

GUIDE_LINE_HEIGHT = GUIDE_LETTER_SIZE * GUIDE_LEADING       # mm from one line of words to the next
GUIDE_GAP = 11.0                # mm between the words of one guide and the next guide
GUIDE_INSET = 5.0                 # mm between the ticks along the page's edge and a guide
INSTRUCTION_KEYS = ("how_1", "how_2", "how_3", "how_4")


def guide_pages(guides: Sequence[Guide], heading: PageHeading) -> tuple[Page, ...]:
    """A whole document, nothing without guides; what finds room on the scale page stands there."""
    if not guides:
        return ()
    # how many pages follow, which the first one says, is known once all are laid out
    following = len(tuple(_laid_out(guides, heading, 1))) - 1
    return tuple(_laid_out(guides, heading, following))


def guide_tile_count(guides: Sequence[Guide], paper: str) -> int:
    """How many tiles the guides that are larger than the paper will take."""
    return sum(tile_count(guide.plate.box, paper) for guide in guides)


def _first_page(heading: PageHeading, number: int) -> tuple[PagePen, float]:
    """What to print first, before ``number`` other pages; and the height below it."""
    inside, ink = PrintPaper(heading.paper).beside_ticks, PagePen()
    say = heading.locale
    y = upper_half(ink, heading, say.say("templates.guide.what", edition=heading.edition),
                   say.count("templates.scale.guides", number) if number else "")
    ink.begin("legend")
    ink.words(say.say("templates.guide.how"), inside.x0, y - 3, HEAD_SIZE, bold=True)
    y -= 9.5
    for key in INSTRUCTION_KEYS:
        y = ink.text(say.say(f"templates.guide.{key}"), inside.x0, y, inside.width, BODY_SIZE) - 1.5
    ink.end()
    return ink, y


def _laid_out(guides: Sequence[Guide], heading: PageHeading, following: int) -> Iterator[Page]:
    """Guides below each other, a new page where the next does not fit; those that are larger in tiles."""
    leaf = PrintPaper(heading.paper)
    window, x = leaf.window, leaf.beside_ticks.x0
    ink, y = _first_page(heading, following)
    large: list[Guide] = []
    for guide in guides:
        tiled = not _fits(guide, leaf)
        lines = (*guide_text_lines(guide, window.width - GUIDE_INSET),
                 *(((heading.locale.say("templates.guide.tiled"), False),) if tiled else ()))
        drawn = 0.0 if tiled else guide.plate.box.height + GUIDE_LINE_HEIGHT
        if y - drawn - len(lines) * GUIDE_LINE_HEIGHT < window.y0:
            yield _finished_page(ink, leaf)
            ink, x, y = _new_page(heading, leaf), window.x0 + GUIDE_INSET, window.y1 - 5
        if tiled:
            large.append(guide)
        else:
            _draw_guide(ink, guide, x, y - guide.plate.box.height)
        y = _draw_words(ink, lines, x, y - drawn) - GUIDE_GAP
    yield _finished_page(ink, leaf)
    for guide in large:
        yield from plan_pages(guide.plate, tiling(guide.plate.box, heading.paper), heading)


def _fits(guide: Guide, leaf: PrintPaper) -> bool:
    box, window = guide.plate.box, leaf.window
    return box.width <= window.width - GUIDE_INSET and box.height + GUIDE_LINE_HEIGHT * (
        2 + len(guide_text_lines(guide, window.width - GUIDE_INSET))) <= window.height


def _new_page(heading: PageHeading, leaf: PrintPaper) -> PagePen:
    ink = PagePen()
    ink.page()
    title_line(ink, leaf.printed, heading.locale.say("templates.page.guides"), "", 1, heading)
    ink.end()
    ink.repeat(edge_ticks(leaf.window))
    return ink


def _finished_page(ink: PagePen, leaf: PrintPaper) -> Page:
    return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height))


def _draw_guide(ink: PagePen, guide: Guide, x: float, y: float) -> None:
    view = View(dx=x, dy=y)
    for item in guide.plate.recording.items:
        ink.begin(item.process)
        getattr(ink, item.method)(*(moved_item(part, view) for part in item.arguments))
        ink.end()


def _draw_words(ink: PagePen, lines: Sequence[tuple[str, bool]], x: float, y: float) -> float:
    ink.begin("legend")
    for text, bold in lines:
        ink.words(text, x, y, GUIDE_LETTER_SIZE, bold=bold)
        y -= GUIDE_LINE_HEIGHT
    ink.end()
    return y


def page_count(plates: Sequence[TrueSizePiece], paper: str) -> int:
    """How many pages of plan there will be."""
    return sum(tile_count(plate.box, paper) for plate in plates)


def template_pages(plates: Sequence[TrueSizePiece], heading: PageHeading) -> tuple[Page, ...]:
    """All pages; ``heading.paper`` says on which paper."""
    laid = [(plate, tiling(plate.box, heading.paper, plate.features)) for plate in plates]
    return (scale_page(laid, heading),
            *(page for plate, tiles in laid for page in plan_pages(plate, tiles, heading)))


def double_rule(paper: str, locale: Locale = ENGLISH) -> bytes:
    """The true-size double rule as a document of one page."""
    return pdf(locale.say("templates.title.rule", paper=PrintPaper(paper).title),
               [double_rule_page(paper, locale)])
