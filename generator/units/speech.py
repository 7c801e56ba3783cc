"""Measures and numbers as they are said aloud."""
from __future__ import annotations

from fractions import Fraction

from generator.units.quantity import QuantityError
from generator.units.wording import Words

SMALL = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
         "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
PARTS = {2: ("half", "halves"), 3: ("third", "thirds"), 4: ("quarter", "quarters"), 5: ("fifth", "fifths"),
         6: ("sixth", "sixths"), 8: ("eighth", "eighths"), 10: ("tenth", "tenths"), 12: ("twelfth", "twelfths"),
         16: ("sixteenth", "sixteenths"), 20: ("twentieth", "twentieths"),
         32: ("thirty-second", "thirty-seconds"), 64: ("sixty-fourth", "sixty-fourths")}
UNITS = {"mm": ("millimetre", "millimetres"), "in": ("inch", "inches"), "°": ("degree", "degrees"), "": ("", ""),
         "mm²": ("square millimetre", "square millimetres"), "cm²": ("square centimetre", "square centimetres"),
         "sq in": ("square inch", "square inches"), "mm³": ("cubic millimetre", "cubic millimetres"),
         "cm³": ("cubic centimetre", "cubic centimetres"), "cu in": ("cubic inch", "cubic inches")}


def as_speech(words: Words) -> str:
    """Said aloud: "1 and three quarters inches", "half an inch", "62 millimetres", "about 36.2 millimetres"."""
    return ("about " if words.about else "") + speech_measure(words)


def speech_measure(words: Words) -> str:
    """As :func:`as_speech`, without "about"."""
    said = speech_figures(words) + speech_unit(words)
    return said.replace("a half of a", "half a") if is_bare_fraction(words) else said


def speech_figures(words: Words) -> str:
    """The figures alone: "1 and three quarters", "a half", "minus 2"."""
    if words.decimal or not words.numerator:
        figures = words.decimal or str(words.whole)
    else:
        parts = _parts(words.numerator, words.denominator)
        figures = f"{words.whole} and {parts}" if words.whole else parts
    return f"minus {figures}" if words.minus else figures


def speech_unit(words: Words) -> str:
    """The unit with the space in front of it: " inch" after exactly one, " of an inch" after a bare fraction."""
    one, many = UNITS[words.unit]
    if not one:
        return ""
    if is_bare_fraction(words):
        return f" of {_article(one)} {one}"
    return f" {one if abs(words.shown) == 1 else many}"


def is_bare_fraction(words: Words) -> bool:
    """True for a fraction with no whole number before it."""
    return not words.decimal and not words.whole and words.numerator > 0


def number_words(n: int | Fraction | float) -> str:
    """A whole number in words ("eight"), from a hundred on in figures.

    Raises :class:`QuantityError` ("number-wrong") for a number that is not whole.
    """
    if n != int(n):
        raise QuantityError("number-wrong", f"{float(n):g} is not a whole number, so it has no name in words",
                            "print the number itself")
    size = abs(int(n))
    if size >= 100:
        said = str(size)
    elif size < len(SMALL):
        said = SMALL[size]
    else:
        tens, units = divmod(size, 10)
        said = TENS[tens] + (f"-{SMALL[units]}" if units else "")
    return f"minus {said}" if n < 0 else said


def plural(n: int | Fraction | float, one: str, many: str) -> str:
    """``one`` for exactly one, else ``many``; the number itself is not part of it."""
    return one if n == 1 else many


def _parts(top: int, bottom: int) -> str:
    """"three quarters", "a half", "an eighth"; "3 over 50" for parts that have no name here."""
    if bottom not in PARTS:
        return f"{top} over {bottom}"
    one, many = PARTS[bottom]
    return f"{_article(one)} {one}" if top == 1 else f"{number_words(top)} {many}"


def _article(noun: str) -> str:
    return "an" if noun[0] in "aeiou" else "a"
