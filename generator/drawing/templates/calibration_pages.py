"""What to type into the printer's dialogue when a bar comes out wrong.

Page 1 of every template: is it true to size, and if not, what to set; what the lines mean; where the tiles
go.

A double rule at true size, inches on one side and millimetres on the other, to cut out and to check a printer
with.
"""
from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache

from generator.drawing.pen import Role, Surface
from generator.drawing.picture_geometry import Box, centred_box
from generator.drawing.process_table import HOLE_PROCESSES, LINE_PROCESSES
from generator.drawing.recording import Recording
from generator.drawing.templates.page import (
    BAR_INCHES,
    BAR_MM,
    BROAD_LINE,
    INCH_MM,
    THIN_LINE,
    TILE_OVERLAP,
    Page,
    PageHeading,
    PagePen,
    PrintPaper,
    TemplateFace,
    draw_bar,
    edge_ticks,
    polygon,
    rounded_rectangle,
    shortened,
)
from generator.drawing.templates.plan import TrueSizePiece
from generator.drawing.templates.tiling import Tiling
from generator.geometry import Circle, Point
from generator.locale import ENGLISH, Locale
from generator.units import INCH, SYSTEMS, as_text, display_measure, length, memoised, unit_text

METRIC_BAR = Fraction(100)                 # mm
INCH_BAR = 4 * INCH.mm          # mm
# Printed sizes of A4 on Letter and of Letter on A4, fitted to the paper, before margins: 279.4/297 and
# 210/215.9.
A4_ON_LETTER, LETTER_ON_A4 = Fraction(2794, 2970), Fraction(2100, 2159)


def scale_percent(measured: Fraction, true: Fraction) -> int:
    """The scale to set so that what measured ``measured`` comes out as ``true``, to 1 %."""
    return round(100 * true / measured)


@memoised(8)
def lookup_rows(system: str, locale: Locale = ENGLISH) -> tuple[tuple[str, str], ...]:
    """(what the bar measures, what to set), from the shortest: millimetres, or sixteenths of an inch."""
    if not SYSTEMS[system].halves:
        sizes, true = [Fraction(mm) for mm in range(92, 109) if mm != 100], METRIC_BAR
    else:
        sizes, true = [INCH_BAR + k * INCH.mm / 16 for k in range(-6, 7) if k], INCH_BAR
    return tuple((as_text(display_measure(length(size), system), locale), f"{scale_percent(size, true)} %")
                 for size in sizes)


def percent_text(of: Fraction, locale: Locale = ENGLISH) -> str:
    """A share in per cent, "94.1 %"."""
    return locale.figures(f"{float(100 * of):.1f} %")


BANK_CARD = (85.60, 53.98)       # mm: ISO/IEC 7810 ID-1
CARD_RADIUS = 3.18          # mm, within 2.88 to 3.48
# mm from the printed edge to the level bars: the upright ones stand before it
LEVEL_BAR_INSET = 40.0
LOOKUP_WIDTH = 38.0                # mm: width of the look-up
BODY_SIZE, HEAD_SIZE, TITLE_SIZE = 3.4, 5.0, 6.0
SAMPLE_LENGTH = 16.0               # mm of each line in the legend


def scale_page(tilings: Sequence[tuple[TrueSizePiece, Tiling]], heading: PageHeading) -> Page:
    """The scale page for all pieces of one document."""
    leaf = PrintPaper(heading.paper)
    inside, ink = leaf.beside_ticks, PagePen()
    say = heading.locale
    y = upper_half(ink, heading, say.say("templates.scale.what", edition=heading.edition, seen=heading.seen),
                   say.count("templates.scale.plan", sum(len(t.tiles) for _, t in tilings)))
    ink.begin("legend")
    half = (inside.width - 8) / 2
    _legend(ink, Box(inside.x0, inside.y0, inside.x0 + half, y), tilings, heading.face, say)
    _tile_map(ink, Box(inside.x1 - half, inside.y0, inside.x1, y), tilings, say)
    ink.end()
    return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height))


def upper_half(ink: PagePen, heading: PageHeading, what: str, pages: str) -> float:
    """The bars, the card and the look-up, below a head that says ``what`` this is and which ``pages`` follow.

    Along the edges are ticks in the unit of the edition. Gives the height below it.
    """
    leaf = PrintPaper(heading.paper)
    inside = leaf.beside_ticks
    ink.repeat(edge_ticks(leaf.window, heading.system, heading.locale))
    ink.page()
    y = _head(ink, inside, heading, what, pages)
    ink.end()
    ink.repeat(_measuring_bars(inside, y, heading.locale))
    ink.page()
    draw_lookup(ink, Box(inside.x1 - LOOKUP_WIDTH, y - 108, inside.x1, y), heading.system, heading.locale)
    y = draw_advice(ink, inside, y - 110, heading.locale)
    ink.end()
    return y


@lru_cache(32)
def _measuring_bars(inside: Box, top: float, locale: Locale) -> Recording:
    ink = PagePen()
    ink.begin("dimensions")
    draw_measuring_bars(ink, inside, top, locale)
    return ink.recording(inside.width, inside.height)


def _head(ink: PagePen, inside: Box, heading: PageHeading, what: str, pages: str) -> float:
    y = inside.y1 - 4
    ink.words(shortened(heading.title, TITLE_SIZE, inside.width, True), inside.x0, y, TITLE_SIZE, bold=True)
    y -= 7.5
    ink.words(heading.locale.say("templates.scale.head" if pages else "templates.scale.head_alone", what=what,
                                 paper=PrintPaper(heading.paper).title, pages=pages,
                                 revision=heading.revision), inside.x0, y, BODY_SIZE)
    ink.line(inside.x0, y - 4, inside.x1, y - 4)
    ink.words(heading.locale.say("templates.scale.first"), inside.x0, y - 10, HEAD_SIZE, bold=True)
    how = heading.locale.say("templates.scale.how" if pages else "templates.scale.how_alone")
    return ink.text(how, inside.x0, y - 16.5, inside.width, BODY_SIZE) - 4


def draw_measuring_bars(ink: PagePen, inside: Box, top: float, locale: Locale = ENGLISH) -> None:
    """Bars of 100 mm and 4 in, both ways, and the outline of a bank card."""
    left, low = inside.x0 + LEVEL_BAR_INSET, top - 104.0
    draw_bar(ink, inside.x0 + 8, low, BAR_MM, 10, "100 mm", upright=True)
    draw_bar(ink, inside.x0 + 28, low, BAR_INCHES * INCH_MM, 4 * BAR_INCHES,
             locale.say("templates.scale.bar_in"), upright=True)
    draw_bar(ink, left, top - 9, BAR_MM, 10, "100 mm")
    draw_bar(ink, left, top - 31, BAR_INCHES * INCH_MM, 4 * BAR_INCHES, locale.say("templates.scale.bar_in"))
    card = Box(left, low, left + BANK_CARD[0], low + BANK_CARD[1])
    ink.stroke(rounded_rectangle(card, CARD_RADIUS), Role.TICK, False)
    x, y = card.middle
    ink.words(locale.say("templates.scale.card"), x, y + 3, BODY_SIZE, "middle")
    ink.words(locale.say("templates.scale.card_size"), x, y - 3, BODY_SIZE, "middle", quiet=True)


def draw_lookup(ink: PagePen, box: Box, system: str, locale: Locale = ENGLISH) -> None:
    """What the bar measures, and what to set instead of 100 %."""
    y = box.y1 - 2
    ink.words(locale.say(f"templates.scale.if_{system}"), box.x0, y, BODY_SIZE)
    ink.words(locale.say("templates.scale.measures"), box.x0, y - 5, BODY_SIZE)
    ink.words(locale.say("templates.scale.set"), box.x1, y - 5, BODY_SIZE, "end")
    ink.line(box.x0, y - 8, box.x1, y - 8)
    y -= 11.5
    for measured, setting in lookup_rows(system, locale):
        ink.words(measured, box.x0, y, BODY_SIZE)
        ink.words(setting, box.x1, y, BODY_SIZE, "end")
        y -= 5.4


def draw_advice(ink: PagePen, inside: Box, y: float, locale: Locale = ENGLISH) -> float:
    """What the usual wrong results mean. Gives the height below it."""
    shares = {"letter": percent_text(A4_ON_LETTER, locale), "a4": percent_text(LETTER_ON_A4, locale)}
    y = ink.text(locale.say("templates.scale.shrunk", **shares), inside.x0, y, inside.width, BODY_SIZE)
    return ink.text(locale.say("templates.scale.uneven"), inside.x0, y - 1, inside.width, BODY_SIZE) - 2


def _legend(ink: PagePen, box: Box, tilings: Sequence[tuple[TrueSizePiece, Tiling]],
            face: TemplateFace | None,
            locale: Locale) -> None:
    used = {item.process for plate, _ in tilings for item in plate.recording.items}
    y = box.y1 - 4
    ink.words(locale.say("templates.legend.title"), box.x0, y, HEAD_SIZE, bold=True)
    y -= 8
    if face is TemplateFace.TICKS:
        _ticks_legend(ink, box, y, locale)
        return
    for process in (*LINE_PROCESSES, *HOLE_PROCESSES):
        if process.key in used:
            if process.role:
                ink.line(box.x0, y, box.x0 + SAMPLE_LENGTH, y, role=process.role)
            else:
                ink.hole(Circle(Point(box.x0 + SAMPLE_LENGTH / 2, y), 1.5), False)
            ink.words(locale.say(f"templates.legend.{process.key}"), box.x0 + SAMPLE_LENGTH + 4, y, BODY_SIZE)
            y -= 6.2
    for surface in (surface for surface in (Surface.GLUE, Surface.GLUE_BELOW) if surface in used):
        grey = centred_box((box.x0 + SAMPLE_LENGTH / 2, y), SAMPLE_LENGTH, 4.0)
        ink.area((polygon(((grey.x0, grey.y0), (grey.x1, grey.y0), (grey.x1, grey.y1), (grey.x0, grey.y1))),),
                 surface)
        ink.words(locale.say(f"templates.legend.{surface}"), box.x0 + SAMPLE_LENGTH + 4, y, BODY_SIZE)
        y -= 6.2


def _ticks_legend(ink: PagePen, box: Box, y: float, locale: Locale) -> None:
    ink.stroke((Circle(Point(box.x0 + SAMPLE_LENGTH / 2, y), 0.2),), Role.TICK, False)
    ink.words(locale.say("templates.legend.prick"), box.x0 + SAMPLE_LENGTH + 4, y, BODY_SIZE)
    y -= 7
    ink.line(box.x0 + 2, y, box.x0 + 6, y)
    ink.line(box.x0 + 10, y, box.x0 + 14, y)
    y = ink.text(locale.say("templates.legend.beyond"),
                 box.x0 + SAMPLE_LENGTH + 4, y, box.width - SAMPLE_LENGTH - 4, BODY_SIZE)
    ink.text(locale.say("templates.legend.lay"),
             box.x0, y - 2, box.width, BODY_SIZE)


def _tile_map(ink: PagePen, box: Box, tilings: Sequence[tuple[TrueSizePiece, Tiling]],
              locale: Locale) -> None:
    """The tiles of each piece, small."""
    several = any(len(t.tiles) > 1 for _, t in tilings)
    ink.words(locale.say("templates.map.several" if several else "templates.map.one"), box.x0, box.y1 - 4,
              HEAD_SIZE, bold=True)
    y = box.y1 - 9
    if several:
        y = ink.text(locale.say("templates.map.tiles", overlap=f"{TILE_OVERLAP:g}"), box.x0, y - 2, box.width,
                     BODY_SIZE - 0.4) + 1
    high = (y - box.y0) / len(tilings) - 8
    for plate, tiles in tilings:
        scale = min(box.width / tiles.box.width, high / tiles.box.height, 1 / 3)
        ink.words(locale.count("templates.map.piece", len(tiles.tiles), piece=locale.name(plate.piece.name)),
                  box.x0, y - 3, BODY_SIZE)
        _small_tiles(ink, plate, tiles, box.x0, y - 7 - scale * tiles.box.height, scale)
        y -= 8 + high


def _small_tiles(ink: PagePen, plate: TrueSizePiece, tiles: Tiling, x: float, y: float, scale: float) -> None:
    for path in (plate.piece.outline, *plate.piece.holes):
        points = [p for stroke in path for p in stroke.flattened(0.5 / scale)[:-1]]
        ink.stroke(polygon((x + float(p[0]) * scale, y + float(p[1]) * scale) for p in points), Role.TICK,
                   False)
    if len(tiles.tiles) == 1:
        return
    for tile in tiles.tiles:
        b = tile.box
        frame = Box(x + b.x0 * scale, y + b.y0 * scale, x + b.x1 * scale, y + b.y1 * scale)
        ink.rectangle(frame, Role.HIDDEN)
        size = min(4.0, frame.height * 0.6, frame.width * 0.4)
        ink.words(tile.name, *frame.middle, size, "middle")


RULE_INCHES, UPRIGHT_RULE_INCHES = 10, 5
RULE_MARGIN = 2.5        # mm of the strip beyond both ends of the rule
RULE_HALF_HEIGHT = 11.0         # mm of the strip on each side of its middle line
SIXTEENTHS = ((16, 6.0), (8, 4.6), (4, 3.6), (2, 2.7), (1, 1.9))    # every so many → mm of the tick
MILLIMETRES = ((10, 6.0), (5, 4.2), (1, 2.4))
RULE_NUMBER_SIZE = 3.2       # mm
RULE_BODY_SIZE = 3.6
RULE_LOOKUP_WIDTH = 38.0        # mm


def double_rule_page(paper: str, locale: Locale = ENGLISH) -> Page:
    """One page in landscape: a rule of 10 in (254 mm) level, one of 5 in upright, and how to use them."""
    leaf, ink = PrintPaper(paper, True), PagePen()
    inside = leaf.printed
    ink.page()
    ink.words(locale.say("templates.rule.title"), inside.x0, inside.y1 - 3.5, 6.5, bold=True)
    ink.words(locale.say("templates.rule.paper", paper=leaf.title), inside.x1, inside.y1 - 3.5,
              RULE_BODY_SIZE, "end")
    y = inside.y1 - 22
    draw_double_rule(ink, (inside.width - RULE_INCHES * INCH_MM) / 2 + inside.x0, y, RULE_INCHES,
                     locale=locale)
    draw_double_rule(ink, inside.x0 + RULE_HALF_HEIGHT + 1, inside.y0 + RULE_MARGIN + 1, UPRIGHT_RULE_INCHES,
                     upright=True, locale=locale)
    _rule_advice(ink, Box(inside.x0 + 2 * RULE_HALF_HEIGHT + 12, inside.y0,
                          inside.x1 - 2 * RULE_LOOKUP_WIDTH - 24, y - RULE_HALF_HEIGHT - 14), locale)
    for place, system in enumerate(SYSTEMS):
        right = inside.x1 - (1 - place) * (RULE_LOOKUP_WIDTH + 10)
        draw_lookup(ink, Box(right - RULE_LOOKUP_WIDTH, inside.y0, right, y - RULE_HALF_HEIGHT - 14), system,
                    locale)
    ink.end()
    return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height))


def draw_double_rule(ink: PagePen, x: float, y: float, inches: int, upright: bool = False,
                     locale: Locale = ENGLISH) -> None:
    """Both scales on one line that begins at (x, y), with the edge of the strip to cut out.

    On a level rule inches stand above, on an upright one on the left.
    """
    length = inches * INCH_MM
    _rule_line(ink, x, y, upright, 0, 0, length, 0)
    for place in range(inches * 16 + 1):
        _rule_line(ink, x, y, upright, place * INCH_MM / 16, 0, place * INCH_MM / 16,
                   _tick_length(place, SIXTEENTHS))
    for place in range(int(length) + 1):
        _rule_line(ink, x, y, upright, place, 0, place, -_tick_length(place, MILLIMETRES))
    for inch in range(inches + 1):
        _rule_number(ink, x, y, upright, inch * INCH_MM, RULE_HALF_HEIGHT - 2.3, str(inch))
    for centimetre in range(int(length) // 10 + 1):
        _rule_number(ink, x, y, upright, 10.0 * centimetre, 2.3 - RULE_HALF_HEIGHT, str(10 * centimetre))
    _rule_number(ink, x, y, upright, INCH_MM / 2, RULE_HALF_HEIGHT - 2.3, unit_text("in", locale))
    _rule_number(ink, x, y, upright, 5.0, 2.3 - RULE_HALF_HEIGHT, "mm", 2.6)
    edge = ((-RULE_MARGIN, -RULE_HALF_HEIGHT), (length + RULE_MARGIN, -RULE_HALF_HEIGHT),
            (length + RULE_MARGIN, RULE_HALF_HEIGHT), (-RULE_MARGIN, RULE_HALF_HEIGHT),
            (-RULE_MARGIN, -RULE_HALF_HEIGHT))
    for a, b in zip(edge, edge[1:], strict=False):
        _rule_line(ink, x, y, upright, *a, *b, broad=True)


def _tick_length(place: int, ticks: tuple[tuple[int, float], ...]) -> float:
    return next(size for every, size in ticks if place % every == 0)


def _rule_point(x: float, y: float, upright: bool, along: float, above: float) -> tuple[float, float]:
    return (x - above, y + along) if upright else (x + along, y + above)


def _rule_line(ink: PagePen, x: float, y: float, upright: bool, a0: float, b0: float, a1: float, b1: float,
               broad: bool = False) -> None:
    ends = (*_rule_point(x, y, upright, a0, b0), *_rule_point(x, y, upright, a1, b1))
    ink.line(*ends, role=BROAD_LINE if broad else THIN_LINE)


def _rule_number(ink: PagePen, x: float, y: float, upright: bool, along: float, above: float, text: str,
            size: float = RULE_NUMBER_SIZE) -> None:
    ink.words(text, *_rule_point(x, y, upright, along, above), size, "middle", upright=upright)


def _rule_advice(ink: PagePen, box: Box, locale: Locale) -> None:
    y = ink.text(locale.say("templates.rule.hold"), box.x0, box.y1 - 2, box.width, RULE_BODY_SIZE) - 2
    for words in ("agree", "off", "uneven", "cut"):
        y = ink.text(locale.say(f"templates.rule.{words}"), box.x0, y, box.width, RULE_BODY_SIZE) - 2.5
