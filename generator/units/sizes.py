"""The two sides of a rectangle, their unit and "about" said once."""
from __future__ import annotations

from generator.units.printed import NO_BREAK, html_figures, html_unit, text_figures, text_unit
from generator.units.quantity import Quantity
from generator.units.speech import speech_figures, speech_measure
from generator.units.wording import Words, word


def size_text(first: Quantity, second: Quantity, system: str) -> str:
    """"71 × 297 mm", "about 8 1/4 × 11 11/16 in"."""
    a, b, about = _words(first, second, system)
    return f"{about}{text_figures(a)} × {text_figures(b)}{text_unit(b)}"


def size_html(first: Quantity, second: Quantity, system: str) -> str:
    """As :func:`size_text`, in HTML that no line breaks."""
    a, b, about = _words(first, second, system)
    about = about.replace(" ", NO_BREAK)
    return f"{about}{html_figures(a)}{NO_BREAK}×{NO_BREAK}{html_figures(b)}{html_unit(b)}"


def size_speech(first: Quantity, second: Quantity, system: str) -> str:
    """Said aloud: "71 by 297 millimetres", "1 and a half by 12 inches"."""
    a, b, about = _words(first, second, system)
    return f"{about}{speech_figures(a)} by {speech_measure(b)}"


def _words(first: Quantity, second: Quantity, system: str) -> tuple[Words, Words, str]:
    a, b = word(first, system), word(second, system)
    return a, b, "about " if a.about or b.about else ""
