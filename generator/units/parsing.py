"""Read a length or an angle as a person types it in the front matter or on the command line."""
from __future__ import annotations

import difflib
import re
import unicodedata
from fractions import Fraction

from generator.units.quantity import MAX_VALUE, Angle, Quantity, QuantityError, length
from generator.units.systems import INCH, METRIC

MAX_TEXT = 40  # characters; no length on a box needs more, and no sum is wasted on a wall of digits
UNITS: dict[str, tuple[Fraction, str]] = {
    METRIC.code: (METRIC.mm, METRIC.code),
    "cm": (10 * METRIC.mm, METRIC.code),
    "m": (1000 * METRIC.mm, METRIC.code),
    INCH.code: (INCH.mm, INCH.code),
    '"': (INCH.mm, INCH.code),
}
ALIASES = {
    "inch": "in", "inches": "in", "ins": "in", "in.": "in", "''": "in", "”": "in", "“": "in",
    "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "metre": "m", "metres": "m", "meter": "m", "meters": "m",
}
LENGTH_EXAMPLE = "write a number and its unit, such as 32 mm or 1 1/4 in"
ANGLE_EXAMPLE = "write a number and deg, such as 60 deg or 22.5 deg"

_NUMBER = re.compile(
    r"(?:(?:(?P<whole>[0-9]+)(?: +|-))?(?P<top>[0-9]+) ?/ ?(?P<bottom>[0-9]+)"
    r"|(?P<decimal>[0-9]+(?:\.[0-9]+)?|\.[0-9]+))")
_SPACES = dict.fromkeys(map(ord, "\t\u00a0\u2007\u2009\u202f"), " ")
_CHARACTERS = {ord("\u2044"): "/", ord("\u2011"): "-", ord("\u2010"): "-", ord("\u2033"): '"',
               ord("\u2212"): "-",
          ord("\u2019"): "'", ord("\u2032"): "'"}


def parse_length(text: str) -> Quantity:
    """An exact length above nothing.

    ``32 mm``, ``3.2 cm``, ``1 1/4 in``, ``1-1/4 in``, ``1 1/4"``, ``1¼ in``.

    Units are mm, cm, m, in and the inch mark. Raises :class:`QuantityError`
    with code "length-wrong", its message and hint in the demonstrator's words.
    """
    value, unit = _length_and_unit(text)
    return length(value * UNITS[unit][0])


def unit_of(text: str) -> str:
    """The system a length is written in: "in" for inches, "mm" for mm, cm and m.

    Raises as :func:`parse_length`.
    """
    return UNITS[_length_and_unit(text)[1]][1]


def parse_angle(text: str) -> Angle:
    """An exact angle from nothing to a whole turn: ``60 deg``, ``22.5 deg``, ``22 1/2°``.

    Raises :class:`QuantityError` with code "angle-wrong".
    """
    normalised = _normalised(text, "angle-wrong", "angle", ANGLE_EXAMPLE)
    value, unit = _number_and_rest(normalised, "angle-wrong", "angle", ANGLE_EXAMPLE)
    if unit not in ("deg", "°"):
        problem = f'"{unit}" is not a unit of angle here' if unit else f"the angle {normalised} has no unit"
        raise QuantityError("angle-wrong", problem, ANGLE_EXAMPLE)
    if value > 360:
        raise QuantityError("angle-wrong", f"{normalised} is more than a whole turn",
                            "give an angle from 0 deg to 360 deg")
    return Angle(value)


def _length_and_unit(text: str) -> tuple[Fraction, str]:
    normalised = _normalised(text, "length-wrong", "length", LENGTH_EXAMPLE)
    value, unit = _number_and_rest(normalised, "length-wrong", "length", LENGTH_EXAMPLE)
    if unit not in UNITS:
        raise _unit_error(normalised, unit)
    if value == 0:
        raise QuantityError("length-wrong", f"{normalised} is nothing", "give a length above nothing")
    if value * UNITS[unit][0] > MAX_VALUE:
        raise QuantityError("length-wrong", f"{normalised} is longer than any paper",
                            "check its digits and its unit")
    return value, unit


def _normalised(text: str, code: str, what: str, example: str) -> str:
    """The text in plain signs: one kind of space, slash, hyphen and inch mark, fractions written out."""
    if len(text) > MAX_TEXT:
        raise QuantityError(code, f"this is too long for {_with_article(what)}: {text[:20]}…", example)
    spelled = "".join(map(_expanded_fraction, text))
    normalised = " ".join(spelled.translate(_SPACES).translate(_CHARACTERS).split())
    if not normalised:
        raise QuantityError(code, f"no {what} is given", example)
    return normalised


def _expanded_fraction(sign: str) -> str:
    """``¼`` as `` 1/4``; any other sign as it is (``⅟``, a fraction without its lower half, too)."""
    parts = unicodedata.decomposition(sign).split()
    if parts[:1] != ["<fraction>"] or parts[-1] == "2044":
        return sign
    return " " + "".join(chr(int(p, 16)) for p in parts[1:])


def _number_and_rest(normalised: str, code: str, what: str, example: str) -> tuple[Fraction, str]:
    """The number in front, and what stands after it."""
    if normalised.startswith("-"):
        raise QuantityError(code, f"{normalised} is below nothing",
                            f"give {_with_article(what)} above nothing")
    if re.search(r"[0-9],[0-9]", normalised):
        raise _comma_error(normalised, code)
    found = _NUMBER.match(normalised)
    if found is None:
        raise QuantityError(code, f'"{normalised}" does not begin with a number', example)
    rest = normalised[found.end():].strip()
    if any(c.isdigit() for c in rest) or rest[:1] in tuple("./-+*"):
        raise QuantityError(code, f'"{normalised}" does not read as one number and its unit', example)
    return _value(found, normalised, code), rest


def _value(found: re.Match[str], normalised: str, code: str) -> Fraction:
    if found["decimal"] is not None:
        return Fraction(found["decimal"])
    top, bottom = int(found["top"]), int(found["bottom"])
    if bottom == 0:
        raise QuantityError(code, f"{normalised} has a fraction that divides by nothing",
                            "write a fraction such as 1/4")
    if found["whole"] is None:
        return Fraction(top, bottom)
    if top >= bottom:
        whole, left = divmod(top, bottom)
        better = f"{int(found['whole']) + whole}" + (f" {left}/{bottom}" if left else "")
        raise QuantityError(code, f"the fraction {top}/{bottom} of {normalised} is not less than one",
                            f"write {better}{normalised[found.end():]}")
    return int(found["whole"]) + Fraction(top, bottom)


def _comma_error(normalised: str, code: str) -> QuantityError:
    if re.search(r"[0-9],[0-9]{3}(?![0-9])", normalised):
        hint = (f"write {normalised.replace(',', '')} without a comma, or {normalised.replace(',', '.')} "
                "with "
                "a point")
    else:
        hint = f"write {normalised.replace(',', '.')}, with a point"
    return QuantityError(code, f"{normalised} has a comma in its number", hint)


def _unit_error(normalised: str, unit: str) -> QuantityError:
    if not unit:
        return QuantityError("length-wrong", f"the length {normalised} has no unit",
                             f"write {normalised} mm, {normalised} cm or {normalised} in")
    hint = "use mm, cm, m or in"
    word = unit.casefold()
    if word in ("ft", "foot", "feet", "'"):
        hint = "write feet as inches: 1 ft is 12 in"
    elif close := ALIASES.get(word) or (word if word in UNITS else None):
        hint = f"write {normalised.removesuffix(unit).strip()} {close}"
    elif near := difflib.get_close_matches(word, ALIASES, 1, 0.8):
        hint = f"did you mean {ALIASES[near[0]]}? Use mm, cm, m or in"
    return QuantityError("length-wrong", f"{unit} is not a unit that lengths have here", hint)


def _with_article(what: str) -> str:
    return f"an {what}" if what[0] in "aeiou" else f"a {what}"
