"""A double rule at true size, inches on one side and millimetres on the other, to cut out and to check a printer with."""
from __future__ import annotations

from generator.drawing.steps.boxes import Box
from generator.drawing.templates.page import Page
from generator.drawing.templates.page_elements import BROAD, INCH, Ink
from generator.drawing.templates.page_format import PrintPaper
from generator.drawing.templates.scale_page import look_up
from generator.locale import ENGLISH, Locale
from generator.units import unit_text

INCHES, UPRIGHT_INCHES = 10, 5
MARGIN = 2.5        # mm of the strip beyond both ends of the rule
HALF = 11.0         # mm of the strip on each side of its middle line
SIXTEENTHS = ((16, 6.0), (8, 4.6), (4, 3.6), (2, 2.7), (1, 1.9))    # every so many → length of the tick in mm
MILLIMETRES = ((10, 6.0), (5, 4.2), (1, 2.4))
NUMBERS = 3.2       # mm
BODY = 3.6
TABLE = 38.0        # mm


def double_rule_page(paper: str, locale: Locale = ENGLISH) -> Page:
    """One page in landscape: a rule of 10 in (254 mm) level, one of 5 in upright, and how to use them."""
    leaf, ink = PrintPaper(paper, True), Ink()
    inside = leaf.printed
    ink.page()
    ink.words(locale.say("templates.rule.title"), inside.x0, inside.y1 - 3.5, 6.5, bold=True)
    ink.words(locale.say("templates.rule.paper", paper=leaf.title), inside.x1, inside.y1 - 3.5, BODY, "end")
    y = inside.y1 - 22
    rule(ink, (inside.width - INCHES * INCH) / 2 + inside.x0, y, INCHES, locale=locale)
    rule(ink, inside.x0 + HALF + 1, inside.y0 + MARGIN + 1, UPRIGHT_INCHES, upright=True, locale=locale)
    _advice(ink, Box(inside.x0 + 2 * HALF + 12, inside.y0, inside.x1 - 2 * TABLE - 24, y - HALF - 14), locale)
    for place, system in enumerate(("mm", "in")):
        right = inside.x1 - (1 - place) * (TABLE + 10)
        look_up(ink, Box(right - TABLE, inside.y0, right, y - HALF - 14), system, locale)
    ink.end()
    return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height))


def rule(ink: Ink, x: float, y: float, inches: int, upright: bool = False, locale: Locale = ENGLISH) -> None:
    """Both scales on one line that begins at (x, y), with the edge of the strip to cut out.

    On a level rule inches stand above, on an upright one on the left.
    """
    length = inches * INCH
    _line(ink, x, y, upright, 0, 0, length, 0)
    for place in range(inches * 16 + 1):
        _line(ink, x, y, upright, place * INCH / 16, 0, place * INCH / 16, _size(place, SIXTEENTHS))
    for place in range(int(length) + 1):
        _line(ink, x, y, upright, place, 0, place, -_size(place, MILLIMETRES))
    for inch in range(inches + 1):
        _number(ink, x, y, upright, inch * INCH, HALF - 2.3, str(inch))
    for centimetre in range(int(length) // 10 + 1):
        _number(ink, x, y, upright, 10.0 * centimetre, 2.3 - HALF, str(10 * centimetre))
    _number(ink, x, y, upright, INCH / 2, HALF - 2.3, unit_text("in", locale))
    _number(ink, x, y, upright, 5.0, 2.3 - HALF, "mm", 2.6)
    edge = ((-MARGIN, -HALF), (length + MARGIN, -HALF), (length + MARGIN, HALF), (-MARGIN, HALF), (-MARGIN, -HALF))
    for a, b in zip(edge, edge[1:], strict=False):
        _line(ink, x, y, upright, *a, *b, broad=True)


def _size(place: int, ticks: tuple[tuple[int, float], ...]) -> float:
    return next(size for every, size in ticks if place % every == 0)


def _at(x: float, y: float, upright: bool, along: float, above: float) -> tuple[float, float]:
    return (x - above, y + along) if upright else (x + along, y + above)


def _line(ink: Ink, x: float, y: float, upright: bool, a0: float, b0: float, a1: float, b1: float,
          broad: bool = False) -> None:
    ends = (*_at(x, y, upright, a0, b0), *_at(x, y, upright, a1, b1))
    ink.line(*ends, **({"role": BROAD} if broad else {}))


def _number(ink: Ink, x: float, y: float, upright: bool, along: float, above: float, text: str,
            size: float = NUMBERS) -> None:
    ink.words(text, *_at(x, y, upright, along, above), size, "middle", upright=upright)


def _advice(ink: Ink, box: Box, locale: Locale) -> None:
    y = ink.text(locale.say("templates.rule.hold"), box.x0, box.y1 - 2, box.width, BODY) - 2
    for words in ("agree", "off", "uneven", "cut"):
        y = ink.text(locale.say(f"templates.rule.{words}"), box.x0, y, box.width, BODY) - 2.5
