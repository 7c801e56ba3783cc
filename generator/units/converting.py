"""Conversions from one system to the other, with as many figures as the original has earned."""
from __future__ import annotations

from fractions import Fraction

from generator.units.wording import decimal_text

MOST_FIGURES = 6    # of what is converted; more is not read off any rule


def consistent(value: Fraction, original: str) -> str:
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
    figures = min(len(digits), MOST_FIGURES) + (first < int(digits[0]))
    decimals = places + figures - 1
    if decimals >= 0:
        return decimal_text(value, decimals, keep_zeros=True)
    step = 10 ** -decimals
    return str(round(value / step) * step)
