"""The size of what stands: "72.4 by 72.4 mm, 58 mm high", "72 mm across and 59 mm high"; "about" and units said once a phrase."""
from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from generator.tongue import ENGLISH, Tongue
from generator.units.printed import NO_BREAK, html_figures, html_unit, text_figures, text_unit
from generator.units.quantity import Quantity
from generator.units.speech import speech_figures, speech_measure
from generator.units.wording import Words, word

Sides = tuple[Quantity, Quantity | None, Quantity | None]      # across, deep (None: round), high (None: a ball)
Dressing = Callable[[Words, Tongue], str]


class _Dress(NamedTuple):
    figures: Dressing           # the figures alone, where the unit follows with the next ones
    measure: Dressing
    space: str


_TEXT = _Dress(text_figures, lambda w, t: text_figures(w, t) + text_unit(w, t), " ")
_HTML = _Dress(html_figures, lambda w, t: html_figures(w, t) + html_unit(w, t), NO_BREAK)
_SPEECH = _Dress(speech_figures, speech_measure, " ")


def bulk_text(sides: Sides, system: str, tongue: Tongue = ENGLISH) -> str:
    """Plain text; "about" stands in front when any side is."""
    return _said(sides, system, tongue, _TEXT)


def bulk_html(sides: Sides, system: str, tongue: Tongue = ENGLISH) -> str:
    """As :func:`bulk_text`, in HTML; a line may break between two measures, never in one."""
    return _said(sides, system, tongue, _HTML)


def bulk_speech(sides: Sides, system: str, tongue: Tongue = ENGLISH) -> str:
    """Said aloud."""
    return _said(sides, system, tongue, _SPEECH)


def _said(sides: Sides, system: str, tongue: Tongue, dress: _Dress) -> str:
    across, deep, high = (word(side, system) if side is not None else None for side in sides)
    words = [each for each in (across, deep, high) if each is not None]
    about = f"{tongue.say('grammar.about')}{dress.space}" if any(w.about for w in words) else ""
    once = deep is not None and across.unit == deep.unit
    shown = {"across": (dress.figures if once else dress.measure)(across, tongue)}
    shown |= {name: dress.measure(each, tongue) for name, each in (("deep", deep), ("high", high)) if each is not None}
    kind = "box" if deep is not None else "tin" if high is not None else "ball"
    kind = "flat" if kind == "box" and abs(sides[2].value) < 1e-6 else kind    # an envelope, a ticket
    return about + tongue.say(f"box.size.{kind}", **shown)
