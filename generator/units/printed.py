"""Measures in plain text and in HTML."""
from __future__ import annotations

from generator.tongue import ENGLISH, Tongue
from generator.units.wording import Words

NO_BREAK = "\u00a0"         # keeps a figure and its unit on one line
NARROW_NO_BREAK = "\u202f"  # between whole and fraction, so that a copied 1 3/4 is not 13/4
MINUS = "\u2212"
FRACTION_SLASH = "\u2044"


def as_text(words: Words, tongue: Tongue = ENGLISH) -> str:
    """Plain text: "1 3/4 in", "62 mm", "about 36.2 mm", "45°"; in German "1 3/4 Zoll", "etwa 36,2 mm"."""
    about = f"{tongue.say('grammar.about')} " if words.about else ""
    return about + text_figures(words, tongue) + text_unit(words, tongue)


def as_html(words: Words, tongue: Tongue = ENGLISH) -> str:
    """HTML that no line breaks: a real fraction, joined to its unit and to "about" by no-break spaces."""
    about = f"{tongue.say('grammar.about')}{NO_BREAK}" if words.about else ""
    return about + html_figures(words, tongue) + html_unit(words, tongue)


def text_figures(words: Words, tongue: Tongue = ENGLISH) -> str:
    """The figures alone: "1 3/4", "36.2", "−2"."""
    figures = tongue.figures(words.decimal) or _text_parts(words)
    return MINUS + figures if words.minus else figures


def html_figures(words: Words, tongue: Tongue = ENGLISH) -> str:
    """The figures alone, fractions as ``<span class="frac"><sup>3</sup>⁄<sub>4</sub></span>``."""
    figures = tongue.figures(words.decimal) or _html_parts(words)
    return MINUS + figures if words.minus else figures


def text_unit(words: Words, tongue: Tongue = ENGLISH) -> str:
    """The unit with the space in front of it, where it has one: " mm", "°", ""."""
    unit = unit_text(words.unit, tongue)
    return unit if clings(words.unit) else f" {unit}"


def unit_text(unit: str, tongue: Tongue = ENGLISH) -> str:
    """The sign of a unit as the language prints it: "in" is "Zoll" in German."""
    return tongue.say(f"grammar.unit.{unit}") if unit else ""


def html_unit(words: Words, tongue: Tongue = ENGLISH) -> str:
    """As :func:`text_unit`, with no-break spaces."""
    return text_unit(words, tongue).replace(" ", NO_BREAK)


def clings(unit: str) -> bool:
    """True for a unit that stands close to its figure, as ° does."""
    return unit in ("", "°")


def _text_parts(words: Words) -> str:
    if not words.numerator:
        return str(words.whole)
    fraction = f"{words.numerator}/{words.denominator}"
    return f"{words.whole} {fraction}" if words.whole else fraction


def _html_parts(words: Words) -> str:
    if not words.numerator:
        return str(words.whole)
    fraction = (f'<span class="frac"><sup>{words.numerator}</sup>{FRACTION_SLASH}'
                f"<sub>{words.denominator}</sub></span>")
    return f"{words.whole}{NARROW_NO_BREAK}{fraction}" if words.whole else fraction
