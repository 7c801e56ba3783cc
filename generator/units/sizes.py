"""The two sides of a rectangle, their unit and "about" said once.

The size of what stands: "72.4 by 72.4 mm, 58 mm high", "72 mm across and 59 mm high"; "about" and units said once a phrase.
"""
from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from generator.locale import ENGLISH, Locale
from generator.units.quantity import Quantity
from generator.units.wording import (
    NO_BREAK,
    Words,
    html_figures,
    html_unit,
    speech_figures,
    speech_measure,
    text_figures,
    text_unit,
    word,
)


def size_text(first: Quantity, second: Quantity, system: str, locale: Locale = ENGLISH) -> str:
    """"71 × 297 mm", "about 8 1/4 × 11 11/16 in"."""
    a, b, about = _words(first, second, system, locale)
    return f"{about}{text_figures(a, locale)} × {text_figures(b, locale)}{text_unit(b, locale)}"


def size_html(first: Quantity, second: Quantity, system: str, locale: Locale = ENGLISH) -> str:
    """As :func:`size_text`, in HTML that no line breaks."""
    a, b, about = _words(first, second, system, locale)
    about = about.replace(" ", NO_BREAK)
    return f"{about}{html_figures(a, locale)}{NO_BREAK}×{NO_BREAK}{html_figures(b, locale)}{html_unit(b, locale)}"


def size_speech(first: Quantity, second: Quantity, system: str, locale: Locale = ENGLISH) -> str:
    """Said aloud: "71 by 297 millimetres", "1 and a half by 12 inches"."""
    a, b, about = _words(first, second, system, locale)
    return f"{about}{speech_figures(a, locale)} {locale.say('grammar.by')} {speech_measure(b, locale)}"


def _words(first: Quantity, second: Quantity, system: str, locale: Locale) -> tuple[Words, Words, str]:
    a, b = word(first, system), word(second, system)
    return a, b, f"{locale.say('grammar.about')} " if a.about or b.about else ""


Sides = tuple[Quantity, Quantity | None, Quantity | None]      # across, deep (None: round), high (None: a ball)
Dressing = Callable[[Words, Locale], str]


class _Dress(NamedTuple):
    figures: Dressing           # the figures alone, where the unit follows with the next ones
    measure: Dressing
    space: str


_TEXT = _Dress(text_figures, lambda w, t: text_figures(w, t) + text_unit(w, t), " ")
_HTML = _Dress(html_figures, lambda w, t: html_figures(w, t) + html_unit(w, t), NO_BREAK)
_SPEECH = _Dress(speech_figures, speech_measure, " ")


def bulk_text(sides: Sides, system: str, locale: Locale = ENGLISH) -> str:
    """Plain text; "about" stands in front when any side is."""
    return _said(sides, system, locale, _TEXT)


def bulk_html(sides: Sides, system: str, locale: Locale = ENGLISH) -> str:
    """As :func:`bulk_text`, in HTML; a line may break between two measures, never in one."""
    return _said(sides, system, locale, _HTML)


def bulk_speech(sides: Sides, system: str, locale: Locale = ENGLISH) -> str:
    """Said aloud."""
    return _said(sides, system, locale, _SPEECH)


def _said(sides: Sides, system: str, locale: Locale, dress: _Dress) -> str:
    across, deep, high = (word(side, system) if side is not None else None for side in sides)
    words = [each for each in (across, deep, high) if each is not None]
    about = f"{locale.say('grammar.about')}{dress.space}" if any(w.about for w in words) else ""
    once = deep is not None and across.unit == deep.unit
    shown = {"across": (dress.figures if once else dress.measure)(across, locale)}
    shown |= {name: dress.measure(each, locale) for name, each in (("deep", deep), ("high", high)) if each is not None}
    kind = "box" if deep is not None else "tin" if high is not None else "ball"
    kind = "flat" if kind == "box" and abs(sides[2].value) < 1e-6 else kind    # an envelope, a ticket
    return about + locale.say(f"box.size.{kind}", **shown)
