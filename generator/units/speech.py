"""Measures and numbers as they are said aloud."""
from __future__ import annotations

from fractions import Fraction

from generator.tongue import ENGLISH, Tongue
from generator.units.quantity import QuantityError
from generator.units.wording import Words


def as_speech(words: Words, tongue: Tongue = ENGLISH) -> str:
    """Said aloud: "1 and three quarters inches", "half an inch", "62 millimetres", "about 36.2 millimetres"."""
    about = f"{tongue.say('grammar.about')} " if words.about else ""
    return about + speech_measure(words, tongue)


def speech_measure(words: Words, tongue: Tongue = ENGLISH) -> str:
    """As :func:`as_speech`, without "about"."""
    said = speech_figures(words, tongue) + speech_unit(words, tongue)
    return said.replace(tongue.say("grammar.half.before"), tongue.say("grammar.half.after"))


def speech_figures(words: Words, tongue: Tongue = ENGLISH) -> str:
    """The figures alone: "1 and three quarters", "a half", "minus 2"."""
    if words.decimal or not words.numerator:
        figures = tongue.figures(words.decimal) or str(words.whole)
    else:
        parts = _parts(words.numerator, words.denominator, tongue)
        figures = f"{words.whole}{tongue.say('grammar.and')}{parts}" if words.whole else parts
    return f"{tongue.say('grammar.minus')} {figures}" if words.minus else figures


def speech_unit(words: Words, tongue: Tongue = ENGLISH) -> str:
    """The unit with the space in front of it: " inch" after exactly one, " of an inch" after a bare fraction."""
    if not words.unit:
        return ""
    if is_bare_fraction(words):
        return f" {tongue.say(f'grammar.of.{words.unit}')}"
    return f" {tongue.count(f'grammar.spoken.{words.unit}', abs(words.shown))}"


def is_bare_fraction(words: Words) -> bool:
    """True for a fraction with no whole number before it."""
    return not words.decimal and not words.whole and words.numerator > 0


def number_words(n: int | Fraction | float, tongue: Tongue = ENGLISH) -> str:
    """A whole number in words ("eight"), from a hundred on in figures.

    Raises :class:`QuantityError` ("number-wrong") for a number that is not whole.
    """
    if n != int(n):
        raise QuantityError("number-wrong", f"{float(n):g} is not a whole number, so it has no name in words",
                            "print the number itself")
    return tongue.number(int(n))


def plural(n: int | Fraction | float, one: str, many: str) -> str:
    """``one`` for exactly one, else ``many``; the number itself is not part of it."""
    return one if n == 1 else many


def _parts(top: int, bottom: int, tongue: Tongue) -> str:
    """"three quarters", "a half", "an eighth"; "3 over 50" for parts that have no name here."""
    key = f"grammar.part.{bottom}"
    return tongue.count(key, top) if tongue.has(key) else tongue.say("grammar.over", top=top, bottom=bottom)
