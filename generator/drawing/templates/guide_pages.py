"""The pages of guides: the scale page, then every guide with its words, as many on a page as fit."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.drawing.steps.view import View
from generator.drawing.templates.guides import LEADING, SIZE, Guide, lines_of
from generator.drawing.templates.page import Heading, Page
from generator.drawing.templates.page_elements import Ink, edge_ticks
from generator.drawing.templates.page_format import PrintPaper
from generator.drawing.templates.plan import moved_part
from generator.drawing.templates.plan_pages import plan_pages, title_line
from generator.drawing.templates.scale_page import BODY, HEAD, upper_half
from generator.drawing.templates.tiling import count, tiling

LINE = SIZE * LEADING       # mm from one line of words to the next
APART = 11.0                # mm between the words of one guide and the next guide
INSET = 5.0                 # mm between the ticks along the page's edge and a guide
HOW = ("how_1", "how_2", "how_3", "how_4")


def guide_pages(guides: Sequence[Guide], heading: Heading) -> tuple[Page, ...]:
    """A whole document, or nothing where there is no guide."""
    if not guides:
        return ()
    pages = list(_laid(guides, heading))
    return (_first(heading, len(pages)), *pages)


def guide_count(guides: Sequence[Guide], paper: str) -> int:
    """How many tiles the guides that are larger than the paper will take."""
    return sum(count(guide.plate.box, paper) for guide in guides)


def _first(heading: Heading, number: int) -> Page:
    leaf, ink = PrintPaper(heading.paper), Ink()
    say = heading.locale
    y = upper_half(ink, heading, say.say("templates.guide.what", edition=heading.edition),
                   say.count("templates.scale.guides", number))
    ink.begin("legend")
    ink.words(say.say("templates.guide.how"), leaf.printed.x0, y - 4, HEAD, bold=True)
    y -= 12
    for key in HOW:
        y = ink.text(say.say(f"templates.guide.{key}"), leaf.printed.x0, y, leaf.printed.width, BODY) - 1.5
    ink.end()
    return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height))


def _laid(guides: Sequence[Guide], heading: Heading) -> Iterator[Page]:
    """Guides below each other, a new page where the next does not fit; those that are larger in tiles."""
    leaf = PrintPaper(heading.paper)
    window, ink = leaf.window, None
    y = window.y0
    large: list[Guide] = []
    for guide in guides:
        tiled = not _fits(guide, leaf)
        lines = (*lines_of(guide, window.width - INSET), *(((heading.locale.say("templates.guide.tiled"), False),) if tiled else ()))
        drawn = 0.0 if tiled else guide.plate.box.height + LINE
        need = drawn + len(lines) * LINE
        if ink is None or y - need < window.y0:
            if ink is not None:
                yield _ended(ink, leaf)
            ink, y = _begun(heading, leaf), window.y1 - 5
        if tiled:
            large.append(guide)
        else:
            _place(ink, guide, window.x0 + INSET, y - guide.plate.box.height)
        y = _words(ink, lines, window.x0 + INSET, y - drawn) - APART
    if ink is not None:
        yield _ended(ink, leaf)
    for guide in large:
        yield from plan_pages(guide.plate, tiling(guide.plate.box, heading.paper), heading)


def _fits(guide: Guide, leaf: PrintPaper) -> bool:
    box, window = guide.plate.box, leaf.window
    return box.width <= window.width - INSET and box.height + LINE * (2 + len(lines_of(guide, window.width - INSET))) <= window.height


def _begun(heading: Heading, leaf: PrintPaper) -> Ink:
    ink = Ink()
    ink.page()
    title_line(ink, leaf.printed, heading.locale.say("templates.page.guides"), "", 1, heading)
    ink.end()
    ink.begin("dimensions")
    edge_ticks(ink, leaf.window)
    ink.end()
    return ink


def _ended(ink: Ink, leaf: PrintPaper) -> Page:
    return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height))


def _place(ink: Ink, guide: Guide, x: float, y: float) -> None:
    view = View(dx=x, dy=y)
    for item in guide.plate.recording.items:
        ink.begin(item.process)
        getattr(ink, item.method)(*(moved_part(part, view) for part in item.given))
        ink.end()


def _words(ink: Ink, lines: Sequence[tuple[str, bool]], x: float, y: float) -> float:
    ink.begin("legend")
    for text, bold in lines:
        ink.words(text, x, y, SIZE, bold=bold)
        y -= LINE
    ink.end()
    return y
