"""The page of the trade's words: what each means, and a drawing by the pen of the pictures."""
from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from markupsafe import Markup

from generator.dataclass import dataclass
from generator.drawing.backends.legend import legend_sample
from generator.drawing.backends.svg import svg
from generator.drawing.pen import Role, Sign, Surface, Symbol
from generator.drawing.recording import RecordingPen
from generator.geometry import Line, Point
from generator.locale import ENGLISH, Locale
from generator.website.glossary import glossary_entries

PICTURE_WIDTH, PICTURE_HEIGHT = 44.0, 18.0     # mm

@dataclass(frozen=True, slots=True)
class GlossaryWord:
    """A word with its meaning; ``picture`` is SVG, or ""."""

    anchor: str
    name: str
    meaning: str
    picture: Markup


@cache
def glossary_words(locale: Locale = ENGLISH) -> tuple[GlossaryWord, ...]:
    """All words in the order of the alphabet."""
    return tuple(GlossaryWord(anchor, name, locale.say(f"glossary.{anchor}.means"), _picture(anchor, locale))
                 for anchor, name in glossary_entries(locale))


def _picture(anchor: str, locale: Locale) -> Markup:
    if anchor in set(Role):     # a word for a line
        return Markup(legend_sample(anchor))
    if anchor not in DRAWINGS:
        return Markup("")
    pen = RecordingPen()
    pen.begin("paper")
    DRAWINGS[anchor](pen)
    pen.end()
    name, meaning = (locale.say(f"glossary.{anchor}.{what}") for what in ("name", "means"))
    return Markup(svg(pen.recording(PICTURE_WIDTH, PICTURE_HEIGHT), name, meaning, f"word-{anchor}"))


def _strip(pen: RecordingPen, scores: Iterable[float], role: Role = Role.SCORE) -> None:
    pen.area((_rectangle(1, 1, 42, 16),), Surface.PLAIN)
    for x in scores:
        pen.stroke((Line(Point(x, 1), Point(x, 17)),), role, False)
    pen.stroke(_rectangle(1, 1, 42, 16), Role.EDGE, False)


def _rectangle(x: float, y: float, wide: float, high: float) -> tuple[Line, ...]:
    corners = [Point(x, y), Point(x + wide, y), Point(x + wide, y + high), Point(x, y + high)]
    return tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))


def _panel(pen: RecordingPen) -> None:
    _strip(pen, (13, 25, 37))
    pen.area((_rectangle(13, 1, 12, 16),), Surface.PRINTED)
    pen.stroke(_rectangle(13, 1, 12, 16), Role.EDGE, True)


def _tab(pen: RecordingPen) -> None:
    _strip(pen, (13, 25, 37))
    pen.area((_rectangle(37, 1, 6, 16),), Surface.GLUE)
    pen.stroke(_rectangle(37, 1, 6, 16), Role.EDGE, True)


def _blank(pen: RecordingPen) -> None:
    _strip(pen, ())
    pen.stroke(_rectangle(1, 1, 42, 16), Role.CUT, True)


def _grain(pen: RecordingPen) -> None:
    _strip(pen, ())
    for y in (4, 6.5, 11.5, 14):
        pen.stroke((Line(Point(4, y), Point(40, y)),), Role.TICK, False)
    pen.symbol(Symbol(Sign.GOES, Point(8, 9), Point(36, 9)))


def _gusset(pen: RecordingPen) -> None:
    _strip(pen, ())
    pen.stroke((Line(Point(8, 1), Point(22, 17)),), Role.MOUNTAIN, True)
    pen.stroke((Line(Point(36, 1), Point(22, 17)),), Role.MOUNTAIN, True)
    pen.stroke((Line(Point(22, 1), Point(22, 17)),), Role.VALLEY, True)


DRAWINGS = {"panel": _panel, "tab": _tab, "blank": _blank, "grain": _grain, "gusset": _gusset}
