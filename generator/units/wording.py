"""What is said of one measure: its figures, how it reads and sounds, and how it is converted."""
from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from generator.dataclass import dataclass
from generator.locale import ENGLISH, Locale
from generator.units.quantity import TOLERANCE, Angle, Quantity, QuantityError, Real
from generator.units.systems import INCH, system_of

FINEST_INCH = Fraction(1, 16)   # of an inch: what is rounded is rounded to this unless a tool says otherwise
FINEST_DENOMINATOR = 64              # an exact fraction of an inch is shown down to sixty-fourths
LARGE_VOLUME = 100                     # cm³; whatever is only about so large has no decimals
MAX_DECIMALS = 3                 # decimals; only a measure that would be shown as 0 gets so many
TEN = 10


@dataclass(frozen=True, slots=True)
class DisplayMeasure:
    """A measure as it is said, before it is dressed.

    Either ``decimal`` holds the figures ("36.2"), or it is "" and ``whole``,
    ``numerator`` and ``denominator`` do (numerator 0 for a whole number).
    ``unit`` is "mm", "in", "mm²", "cm²", "sq in", "mm³", "cm³", "cu in", "°" or "".
    """

    about: bool
    whole: int
    numerator: int
    denominator: int
    decimal: str
    unit: str
    minus: bool = False

    @property
    def shown(self) -> Fraction:
        """The number that the figures say, in ``unit``."""
        size = Fraction(self.decimal) if self.decimal else self.whole + Fraction(
            self.numerator, self.denominator)
        return -size if self.minus else size


def display_measure(quantity: Quantity | Angle, system: str, *, finest: Fraction | None = None,
         thickness: bool = False) -> DisplayMeasure:
    """The figures for a number, a length, an area, a volume or an angle in ``system`` ("mm" or "in").

    Lengths in inches are whole and fraction. Exact ones in halves to
    sixty-fourths, or on the grid ``finest`` (mm), are shown exactly; all
    others to the nearest mark of ``finest`` (default 1/16 in), and *about*.
    Lengths in mm have at most one decimal; with ``thickness`` two (and inches
    that are no such fraction have three). What would be shown as 0
    and is not gets smaller parts, or up to three decimals.
    Raises :class:`QuantityError` for a quantity of no kind that has a name.
    """
    halves = system_of(system).halves
    if isinstance(quantity, Angle):
        return decimal_measure(quantity.degrees, 1, "°")
    if quantity.power == 0:
        return decimal_measure(quantity.value, 2, "")
    if quantity.power not in (1, 2, 3):
        raise QuantityError("units-mixed", f"{quantity.kind} has no name to be printed with",
                            "print a number, a length, an area or a volume")
    return _figures(quantity.exact, quantity.value, quantity.power, halves, finest, thickness)


@lru_cache(maxsize=8192)        # the same few stand in pictures, on pages and in words
def _figures(exact: bool, value: Real, power: int, halves: bool,     # noqa: ARG001 (5 and 5.0 are equal)
             finest: Fraction | None, thickness: bool) -> DisplayMeasure:
    quantity = Quantity(value, power)
    return _inches(quantity, finest, thickness) if halves else _metric(quantity, thickness)


def decimal_text(value: Fraction, places: int, keep_zeros: bool = False) -> str:
    """``value`` ≥ 0 rounded to ``places`` decimals, a tie to the even digit (NIST SP 811, B.7.1).

    Zeros at the end are dropped unless kept.
    """
    whole, rest = divmod(round(value * TEN ** places), TEN ** places)
    figures = f"{rest:0{places}d}" if places else ""
    if not keep_zeros:
        figures = figures.rstrip("0")
    return f"{whole}.{figures}" if figures else str(whole)


def _metric(quantity: Quantity, thickness: bool) -> DisplayMeasure:
    if quantity.power == 1:
        return decimal_measure(quantity.value, 2 if thickness else 1, "mm")
    sign = "²" if quantity.power == 2 else "³"
    in_cm = TEN ** quantity.power
    if abs(quantity.value) < in_cm:
        return decimal_measure(quantity.value, 1, f"mm{sign}")
    large = quantity.power == 3 and not quantity.exact and abs(quantity.value) >= LARGE_VOLUME * in_cm
    return decimal_measure(quantity.value / in_cm, 0 if large else 1, f"cm{sign}")


def _inches(quantity: Quantity, finest: Fraction | None, thickness: bool) -> DisplayMeasure:
    unit = {1: "in", 2: "sq in", 3: "cu in"}[quantity.power]
    size = Fraction(quantity.value) / INCH.mm ** quantity.power
    if quantity.exact and _is_binary_fraction(size):
        return fraction_measure(size, unit, about=False)
    if quantity.power > 1:
        return decimal_measure(size if quantity.exact else float(size), 1, unit)
    step = _inch_grid(finest)
    near = round(size / step) * step
    if quantity.exact and near == size:
        return fraction_measure(size, unit, about=False)
    if thickness:
        return decimal_measure(size if quantity.exact else float(size), 3, unit, keep_zeros=True)
    near = near or Fraction(round(size * FINEST_DENOMINATOR), FINEST_DENOMINATOR)
    if near == 0:
        return decimal_measure(size if quantity.exact else float(size), MAX_DECIMALS, unit)
    return fraction_measure(near, unit, about=True)


def _inch_grid(finest: Fraction | None) -> Fraction:
    """``finest`` (mm) in inches; the default where a metric tool gives no fraction that a rule could show."""
    if finest is None:
        return FINEST_INCH
    if finest <= 0:
        raise ValueError("a grid is above nothing")
    step = finest / INCH.mm
    return step if step.denominator <= FINEST_DENOMINATOR else FINEST_INCH


def _is_binary_fraction(size: Fraction) -> bool:
    parts = size.denominator
    return parts <= FINEST_DENOMINATOR and parts & (parts - 1) == 0


def fraction_measure(size: Fraction, unit: str, about: bool) -> DisplayMeasure:
    """A size as whole and fraction."""
    whole, rest = divmod(abs(size), 1)
    return DisplayMeasure(about, int(whole), rest.numerator, rest.denominator, "", unit, minus=size < 0)


def decimal_measure(value: Real, places: int, unit: str, keep_zeros: bool = False) -> DisplayMeasure:
    """Rounded to ``places``, more where it would be shown as 0 and is not."""
    exact, size = isinstance(value, Fraction), abs(Fraction(value))
    while places < MAX_DECIMALS and size > TOLERANCE and round(size * TEN ** places) == 0:
        places += 1
    shown = Fraction(round(size * TEN ** places), TEN ** places)
    about = not exact or shown != size
    minus = value < 0 and shown != 0
    if shown.denominator == 1 and not keep_zeros:
        return DisplayMeasure(about, int(shown), 0, 1, "", unit, minus)
    text = decimal_text(size, places, keep_zeros)
    return DisplayMeasure(about, int(shown), 0, 1, text, unit, minus)


NO_BREAK = "\u00a0"         # keeps a figure and its unit on one line
NARROW_NO_BREAK = "\u202f"  # between whole and fraction, so that a copied 1 3/4 is not 13/4
MINUS = "\u2212"
FRACTION_SLASH = "\u2044"
_SPACE_AFTER_FIGURE = re.compile(r"(?<=\d) ")


def as_text(words: DisplayMeasure, locale: Locale = ENGLISH) -> str:
    """Plain text: "1 3/4 in", "62 mm", "about 36.2 mm", "45°"; in German "1 3/4 Zoll", "etwa 36,2 mm"."""
    about = f"{locale.say('grammar.about')} " if words.about else ""
    return about + text_figures(words, locale) + text_unit(words, locale)


def as_html(words: DisplayMeasure, locale: Locale = ENGLISH) -> str:
    """HTML that no line breaks: a real fraction, joined to its unit and to "about" by no-break spaces."""
    about = f"{locale.say('grammar.about')}{NO_BREAK}" if words.about else ""
    return about + html_figures(words, locale) + html_unit(words, locale)


def unbroken_figures(text: str) -> str:
    """Plain text in which no line ends between a figure and what it counts: the space after it keeps both."""
    return _SPACE_AFTER_FIGURE.sub(NO_BREAK, text)


def text_figures(words: DisplayMeasure, locale: Locale = ENGLISH) -> str:
    """The figures alone: "1 3/4", "36.2", "−2"."""
    figures = locale.figures(words.decimal) or _text_fraction(words)
    return MINUS + figures if words.minus else figures


def html_figures(words: DisplayMeasure, locale: Locale = ENGLISH) -> str:
    """The figures alone, fractions as "1 3⁄4" with the fraction slash, which the site's font sets small."""
    figures = locale.figures(words.decimal) or _html_fraction(words)
    return MINUS + figures if words.minus else figures


def text_unit(words: DisplayMeasure, locale: Locale = ENGLISH) -> str:
    """The unit with the space in front of it, where it has one: " mm", "°", ""."""
    unit = unit_text(words.unit, locale)
    return unit if is_unspaced(words.unit) else f" {unit}"


def unit_text(unit: str, locale: Locale = ENGLISH) -> str:
    """The sign of a unit as the language prints it: "in" is "Zoll" in German."""
    return locale.say(f"grammar.unit.{unit}") if unit else ""


def html_unit(words: DisplayMeasure, locale: Locale = ENGLISH) -> str:
    """As :func:`text_unit`, with no-break spaces."""
    return text_unit(words, locale).replace(" ", NO_BREAK)


def is_unspaced(unit: str) -> bool:
    """True for a unit that stands close to its figure, as ° does."""
    return unit in ("", "°")


def _text_fraction(words: DisplayMeasure) -> str:
    if not words.numerator:
        return str(words.whole)
    fraction = f"{words.numerator}/{words.denominator}"
    return f"{words.whole} {fraction}" if words.whole else fraction


def _html_fraction(words: DisplayMeasure) -> str:
    if not words.numerator:
        return str(words.whole)
    fraction = f"{words.numerator}{FRACTION_SLASH}{words.denominator}"
    return f"{words.whole}{NARROW_NO_BREAK}{fraction}" if words.whole else fraction


def as_speech(words: DisplayMeasure, locale: Locale = ENGLISH) -> str:
    """Said aloud: "1 and three quarters inches", "half an inch", "about 36.2 millimetres"."""
    about = f"{locale.say('grammar.about')} " if words.about else ""
    return about + speech_measure(words, locale)


def speech_measure(words: DisplayMeasure, locale: Locale = ENGLISH) -> str:
    """As :func:`as_speech`, without "about"."""
    speech = speech_figures(words, locale) + speech_unit(words, locale)
    return speech.replace(locale.say("grammar.half.before"), locale.say("grammar.half.after"))


def speech_figures(words: DisplayMeasure, locale: Locale = ENGLISH) -> str:
    """The figures alone: "1 and three quarters", "a half", "minus 2"."""
    if words.decimal or not words.numerator:
        figures = locale.figures(words.decimal) or str(words.whole)
    else:
        parts = _spoken_fraction(words.numerator, words.denominator, locale)
        figures = f"{words.whole}{locale.say('grammar.and')}{parts}" if words.whole else parts
    return f"{locale.say('grammar.minus')} {figures}" if words.minus else figures


def speech_unit(words: DisplayMeasure, locale: Locale = ENGLISH) -> str:
    """The unit with the space in front of it.

    It is " inch" after exactly one, " of an inch" after a bare fraction.
    """
    if not words.unit:
        return ""
    if is_bare_fraction(words):
        return f" {locale.say(f'grammar.of.{words.unit}')}"
    return f" {locale.count(f'grammar.spoken.{words.unit}', abs(words.shown))}"


def is_bare_fraction(words: DisplayMeasure) -> bool:
    """True for a fraction with no whole number before it."""
    return not words.decimal and not words.whole and words.numerator > 0


def number_words(n: int | Fraction | float, locale: Locale = ENGLISH) -> str:
    """A whole number in words ("eight"), from a hundred on in figures.

    Raises :class:`QuantityError` ("number-wrong") for a number that is not whole.
    """
    if n != int(n):
        raise QuantityError("number-wrong", f"{float(n):g} is not a whole number, so it has no name in words",
                            "print the number itself")
    return locale.number(int(n))


def plural(n: int | Fraction | float, one: str, many: str) -> str:
    """``one`` for exactly one, else ``many``; the number itself is not part of it."""
    return one if n == 1 else many


def _spoken_fraction(top: int, bottom: int, locale: Locale) -> str:
    """"three quarters", "a half", "an eighth"; "3 over 50" for parts that have no name here."""
    key = f"grammar.part.{bottom}"
    return locale.count(key, top) if locale.has(key) else locale.say("grammar.over", top=top, bottom=bottom)


MAX_SIGNIFICANT_FIGURES = 6    # of what is converted; more is not read off any rule


def converted_figures(value: Fraction, original: str) -> str:
    """A converted value ≥ 0 with figures consistent with those of the ``original`` ("36", "1.75").

    As many significant figures as the original, and one more where the value
    begins with a smaller digit (NIST SP 811, B.7.2): 36 ft are 11.0 m. A tie
    goes to the even digit (B.7.1).
    """
    digits = original.replace(".", "").lstrip("0") or "0"
    if value == 0:
        return "0"
    places = 0          # of the first digit that counts, from the point: 0 for units, 1 for tenths
    while value * 10 ** places < 1:
        places += 1
    while value * Fraction(10) ** places >= 10:
        places -= 1
    first = int(value * Fraction(10) ** places)
    figures = min(len(digits), MAX_SIGNIFICANT_FIGURES) + (first < int(digits[0]))
    decimals = places + figures - 1
    if decimals >= 0:
        return decimal_text(value, decimals, keep_zeros=True)
    step = 10 ** -decimals
    return str(round(value / step) * step)


def exact_text(value: Fraction | float) -> str:
    """A value in mm as a decimal where that is exact, else as "n/d"; an inexact one to nine decimals."""
    if isinstance(value, float):
        return f"{round(value, 9) + 0.0:.9f}".rstrip("0").rstrip(".")
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    if rest != 1:
        return f"{value.numerator}/{value.denominator}"
    places = 0
    while (value * 10 ** places).denominator != 1:
        places += 1
    digits = f"{abs(value.numerator) * 10 ** places // value.denominator:0{places + 1}d}"
    sign = "-" if value < 0 else ""
    return sign + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)
