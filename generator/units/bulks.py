"""The size of what stands: "72.4 by 72.4 mm, 58 mm high", "72 mm across and 59 mm high"; "about" and units said once a phrase."""
from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from generator.units.printed import NO_BREAK, html_figures, html_unit, text_figures, text_unit
from generator.units.quantity import Quantity
from generator.units.speech import speech_figures, speech_measure
from generator.units.wording import Words, word

ABOUT = "about"
ALL = "{0} by {1}, {2} high"        # all the words there are, so that they can be said in another language
ROUND = "{0} across and {1} high"
ONE = "{0} across"

Sides = tuple[Quantity, Quantity | None, Quantity | None]      # across, deep (None: round), high (None: a ball)


class _Dress(NamedTuple):
    figures: Callable[[Words], str]         # the figures alone, where the unit follows with the next ones
    measure: Callable[[Words], str]
    space: str


_TEXT = _Dress(text_figures, lambda w: text_figures(w) + text_unit(w), " ")
_HTML = _Dress(html_figures, lambda w: html_figures(w) + html_unit(w), NO_BREAK)
_SPEECH = _Dress(speech_figures, speech_measure, " ")


def bulk_text(sides: Sides, system: str) -> str:
    """Plain text; "about" stands in front when any side is."""
    return _said(sides, system, _TEXT)


def bulk_html(sides: Sides, system: str) -> str:
    """As :func:`bulk_text`, in HTML; a line may break between two measures, never in one."""
    return _said(sides, system, _HTML)


def bulk_speech(sides: Sides, system: str) -> str:
    """Said aloud."""
    return _said(sides, system, _SPEECH)


def _said(sides: Sides, system: str, dress: _Dress) -> str:
    words = [word(side, system) for side in sides if side is not None]
    about = f"{ABOUT}{dress.space}" if any(w.about for w in words) else ""
    if len(words) == 3:
        first = dress.figures(words[0]) if words[0].unit == words[1].unit else dress.measure(words[0])
        return about + ALL.format(first, dress.measure(words[1]), dress.measure(words[2]))
    return about + (ROUND if len(words) == 2 else ONE).format(*map(dress.measure, words))
