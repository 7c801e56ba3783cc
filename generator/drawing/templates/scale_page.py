"""What to type into the printer's dialogue when a bar comes out wrong.

Page 1 of every template: is it true to size, and if not, what to set; what the lines mean; where the tiles go.
"""
from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from generator.drawing.pen import Role, Surface
from generator.drawing.process_table import HOLE_PROCESSES, LINE_PROCESSES
from generator.drawing.steps.boxes import Box, centred
from generator.drawing.templates.page import Heading, Page
from generator.drawing.templates.page_elements import BAR, INCH, INCHES, Ink, bar, fitted, polygon, rounded
from generator.drawing.templates.page_format import OVERLAP, PrintPaper, TemplateFace
from generator.drawing.templates.plan import Plate
from generator.drawing.templates.tiling import Tiling
from generator.geometry import Circle, Point
from generator.locale import ENGLISH, Locale
from generator.units import MM_PER_INCH, as_text, length, word

BAR_LENGTH = Fraction(100)                 # mm
INCH_BAR = 4 * MM_PER_INCH          # mm
# Printed sizes of A4 on Letter and of Letter on A4, fitted to the paper, before margins: 279.4/297 and 210/215.9.
A4_ON_LETTER, LETTER_ON_A4 = Fraction(2794, 2970), Fraction(2100, 2159)


def percent(measured: Fraction, true: Fraction) -> int:
    """The scale to set so that what measured ``measured`` comes out as ``true``, to 1 %."""
    return round(100 * true / measured)


def rows(system: str, locale: Locale = ENGLISH) -> tuple[tuple[str, str], ...]:
    """(what the bar measures, what to set), from the shortest: millimetres, or sixteenths of an inch."""
    if system == "mm":
        sizes, true = [Fraction(mm) for mm in range(92, 109) if mm != 100], BAR_LENGTH
    else:
        sizes, true = [INCH_BAR + k * MM_PER_INCH / 16 for k in range(-6, 7) if k], INCH_BAR
    return tuple((as_text(word(length(size), system), locale), f"{percent(size, true)} %") for size in sizes)


def share(of: Fraction, locale: Locale = ENGLISH) -> str:
    """ "94.1 %"."""
    return locale.figures(f"{float(100 * of):.1f} %")


CARD = (85.60, 53.98)       # mm: ISO/IEC 7810 ID-1
CARD_RADIUS = 3.18          # mm, within 2.88 to 3.48
LEFT = 46.0                 # mm from the printed edge to the level bars: the upright ones stand before it
TABLE = 38.0                # mm: width of the look-up
BODY, HEAD, TITLE = 3.4, 5.0, 6.0
SAMPLE = 16.0               # mm of each line in the legend


def scale_page(tilings: Sequence[tuple[Plate, Tiling]], heading: Heading) -> Page:
    """The scale page for all pieces of one document."""
    leaf = PrintPaper(heading.paper)
    inside, ink = leaf.printed, Ink()
    say = heading.locale
    y = upper_half(ink, heading, say.say("templates.scale.what", edition=heading.edition, seen=heading.seen),
                   say.count("templates.scale.plan", sum(len(t.tiles) for _, t in tilings)))
    ink.begin("legend")
    half = (inside.width - 8) / 2
    _legend(ink, Box(inside.x0, inside.y0, inside.x0 + half, y), tilings, heading.face, say)
    _map(ink, Box(inside.x1 - half, inside.y0, inside.x1, y), tilings, say)
    ink.end()
    return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height))


def upper_half(ink: Ink, heading: Heading, what: str, pages: str) -> float:
    """The bars, the card and the look-up, below a head that says ``what`` this is and which ``pages`` follow. Gives the
    height below it."""
    inside = PrintPaper(heading.paper).printed
    ink.page()
    y = _head(ink, inside, heading, what, pages)
    ink.end()
    ink.begin("dimensions")
    measures(ink, inside, y, heading.locale)
    ink.end()
    ink.page()
    look_up(ink, Box(inside.x1 - TABLE, y - 108, inside.x1, y), heading.system, heading.locale)
    y = advice(ink, inside, y - 116, heading.locale)
    ink.end()
    return y


def _head(ink: Ink, inside: Box, heading: Heading, what: str, pages: str) -> float:
    y = inside.y1 - 4
    ink.words(fitted(heading.title, TITLE, inside.width, True), inside.x0, y, TITLE, bold=True)
    y -= 7.5
    ink.words(heading.locale.say("templates.scale.head", what=what, paper=PrintPaper(heading.paper).title, pages=pages,
                                 revision=heading.revision), inside.x0, y, BODY)
    ink.line(inside.x0, y - 4, inside.x1, y - 4)
    ink.words(heading.locale.say("templates.scale.first"), inside.x0, y - 10, HEAD, bold=True)
    return ink.text(heading.locale.say("templates.scale.how"), inside.x0, y - 16.5, inside.width, BODY) - 4


def measures(ink: Ink, inside: Box, top: float, locale: Locale = ENGLISH) -> None:
    """Bars of 100 mm and 4 in, both ways, and the outline of a bank card."""
    left, low = inside.x0 + LEFT, top - 104.0
    bar(ink, inside.x0 + 8, low, BAR, 10, "100 mm", upright=True)
    bar(ink, inside.x0 + 28, low, INCHES * INCH, 4 * INCHES, locale.say("templates.scale.bar_in"), upright=True)
    bar(ink, left, top - 9, BAR, 10, "100 mm")
    bar(ink, left, top - 31, INCHES * INCH, 4 * INCHES, locale.say("templates.scale.bar_in"))
    card = Box(left, low, left + CARD[0], low + CARD[1])
    ink.stroke(rounded(card, CARD_RADIUS), Role.TICK, False)
    x, y = card.middle
    ink.words(locale.say("templates.scale.card"), x, y + 3, BODY, "middle")
    ink.words(locale.say("templates.scale.card_size"), x, y - 3, BODY, "middle", quiet=True)


def look_up(ink: Ink, box: Box, system: str, locale: Locale = ENGLISH) -> None:
    """What the bar measures, and what to set instead of 100 %."""
    y = box.y1 - 2
    ink.words(locale.say(f"templates.scale.if_{system}"), box.x0, y, BODY)
    ink.words(locale.say("templates.scale.measures"), box.x0, y - 5, BODY)
    ink.words(locale.say("templates.scale.set"), box.x1, y - 5, BODY, "end")
    ink.line(box.x0, y - 8, box.x1, y - 8)
    y -= 11.5
    for measured, setting in rows(system, locale):
        ink.words(measured, box.x0, y, BODY)
        ink.words(setting, box.x1, y, BODY, "end")
        y -= 5.4


def advice(ink: Ink, inside: Box, y: float, locale: Locale = ENGLISH) -> float:
    """What the usual wrong results mean. Gives the height below it."""
    shares = {"letter": share(A4_ON_LETTER, locale), "a4": share(LETTER_ON_A4, locale)}
    y = ink.text(locale.say("templates.scale.shrunk", **shares), inside.x0, y, inside.width, BODY)
    return ink.text(locale.say("templates.scale.uneven"), inside.x0, y - 1, inside.width, BODY) - 2


def _legend(ink: Ink, box: Box, tilings: Sequence[tuple[Plate, Tiling]], face: TemplateFace | None,
            locale: Locale) -> None:
    used = {item.process for plate, _ in tilings for item in plate.recording.items}
    y = box.y1 - 4
    ink.words(locale.say("templates.legend.title"), box.x0, y, HEAD, bold=True)
    y -= 8
    if face is TemplateFace.TICKS:
        _ticks_legend(ink, box, y, locale)
        return
    for process in (*LINE_PROCESSES, *HOLE_PROCESSES):
        if process.key in used:
            if process.role:
                ink.line(box.x0, y, box.x0 + SAMPLE, y, role=process.role)
            else:
                ink.hole(Circle(Point(box.x0 + SAMPLE / 2, y), 1.5), False)
            ink.words(locale.say(f"templates.legend.{process.key}"), box.x0 + SAMPLE + 4, y, BODY)
            y -= 6.2
    if "glue" in used:
        grey = centred((box.x0 + SAMPLE / 2, y), SAMPLE, 4.0)
        ink.area((polygon(((grey.x0, grey.y0), (grey.x1, grey.y0), (grey.x1, grey.y1), (grey.x0, grey.y1))),),
                 Surface.GLUE)
        ink.words(locale.say("templates.legend.glue"), box.x0 + SAMPLE + 4, y, BODY)


def _ticks_legend(ink: Ink, box: Box, y: float, locale: Locale) -> None:
    ink.stroke((Circle(Point(box.x0 + SAMPLE / 2, y), 0.2),), Role.TICK, False)
    ink.words(locale.say("templates.legend.prick"), box.x0 + SAMPLE + 4, y, BODY)
    y -= 7
    ink.line(box.x0 + 2, y, box.x0 + 6, y)
    ink.line(box.x0 + 10, y, box.x0 + 14, y)
    y = ink.text(locale.say("templates.legend.beyond"),
                 box.x0 + SAMPLE + 4, y, box.width - SAMPLE - 4, BODY)
    ink.text(locale.say("templates.legend.lay"),
             box.x0, y - 2, box.width, BODY)


def _map(ink: Ink, box: Box, tilings: Sequence[tuple[Plate, Tiling]], locale: Locale) -> None:
    """The tiles of each piece, small."""
    several = any(len(t.tiles) > 1 for _, t in tilings)
    ink.words(locale.say("templates.map.several" if several else "templates.map.one"), box.x0, box.y1 - 4, HEAD, bold=True)
    y = box.y1 - 9
    if several:
        y = ink.text(locale.say("templates.map.tiles", overlap=f"{OVERLAP:g}"), box.x0, y - 2, box.width, BODY - 0.4) + 1
    high = (y - box.y0) / len(tilings) - 8
    for plate, tiles in tilings:
        scale = min(box.width / tiles.box.width, high / tiles.box.height, 1 / 3)
        ink.words(locale.count("templates.map.piece", len(tiles.tiles), piece=locale.name(plate.piece.name)),
                  box.x0, y - 3, BODY)
        _small(ink, plate, tiles, box.x0, y - 7 - scale * tiles.box.height, scale)
        y -= 8 + high


def _small(ink: Ink, plate: Plate, tiles: Tiling, x: float, y: float, scale: float) -> None:
    for path in (plate.piece.outline, *plate.piece.holes):
        points = [p for stroke in path for p in stroke.flattened(0.5 / scale)[:-1]]
        ink.stroke(polygon((x + float(p[0]) * scale, y + float(p[1]) * scale) for p in points), Role.TICK, False)
    if len(tiles.tiles) == 1:
        return
    for tile in tiles.tiles:
        b = tile.box
        frame = Box(x + b.x0 * scale, y + b.y0 * scale, x + b.x1 * scale, y + b.y1 * scale)
        ink.rectangle(frame, Role.HIDDEN)
        size = min(4.0, frame.height * 0.6, frame.width * 0.4)
        ink.words(tile.name, *frame.middle, size, "middle")
