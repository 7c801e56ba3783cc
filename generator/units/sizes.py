"""The two sides of a rectangle, their unit and "about" said once."""
from __future__ import annotations

from generator.tongue import ENGLISH, Tongue
from generator.units.printed import NO_BREAK, html_figures, html_unit, text_figures, text_unit
from generator.units.quantity import Quantity
from generator.units.speech import speech_figures, speech_measure
from generator.units.wording import Words, word


def size_text(first: Quantity, second: Quantity, system: str, tongue: Tongue = ENGLISH) -> str:
    """"71 × 297 mm", "about 8 1/4 × 11 11/16 in"."""
    a, b, about = _words(first, second, system, tongue)
    return f"{about}{text_figures(a, tongue)} × {text_figures(b, tongue)}{text_unit(b, tongue)}"


def size_html(first: Quantity, second: Quantity, system: str, tongue: Tongue = ENGLISH) -> str:
    """As :func:`size_text`, in HTML that no line breaks."""
    a, b, about = _words(first, second, system, tongue)
    about = about.replace(" ", NO_BREAK)
    return f"{about}{html_figures(a, tongue)}{NO_BREAK}×{NO_BREAK}{html_figures(b, tongue)}{html_unit(b, tongue)}"


def size_speech(first: Quantity, second: Quantity, system: str, tongue: Tongue = ENGLISH) -> str:
    """Said aloud: "71 by 297 millimetres", "1 and a half by 12 inches"."""
    a, b, about = _words(first, second, system, tongue)
    return f"{about}{speech_figures(a, tongue)} {tongue.say('grammar.by')} {speech_measure(b, tongue)}"


def _words(first: Quantity, second: Quantity, system: str, tongue: Tongue) -> tuple[Words, Words, str]:
    a, b = word(first, system), word(second, system)
    return a, b, f"{tongue.say('grammar.about')} " if a.about or b.about else ""
