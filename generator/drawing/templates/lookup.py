"""What to type into the printer's dialogue when a bar comes out wrong."""
from __future__ import annotations

from fractions import Fraction

from generator.tongue import ENGLISH, Tongue
from generator.units import MM_PER_INCH, as_text, length, word

BAR = Fraction(100)                 # mm
INCH_BAR = 4 * MM_PER_INCH          # mm
# Printed sizes of A4 on Letter and of Letter on A4, fitted to the paper, before margins: 279.4/297 and 210/215.9.
A4_ON_LETTER, LETTER_ON_A4 = Fraction(2794, 2970), Fraction(2100, 2159)


def percent(measured: Fraction, true: Fraction) -> int:
    """The scale to set so that what measured ``measured`` comes out as ``true``, to 1 %."""
    return round(100 * true / measured)


def rows(system: str, tongue: Tongue = ENGLISH) -> tuple[tuple[str, str], ...]:
    """(what the bar measures, what to set), from the shortest: millimetres, or sixteenths of an inch."""
    if system == "mm":
        sizes, true = [Fraction(mm) for mm in range(92, 109) if mm != 100], BAR
    else:
        sizes, true = [INCH_BAR + k * MM_PER_INCH / 16 for k in range(-6, 7) if k], INCH_BAR
    return tuple((as_text(word(length(size), system), tongue), f"{percent(size, true)} %") for size in sizes)


def share(of: Fraction, tongue: Tongue = ENGLISH) -> str:
    """ "94.1 %"."""
    return tongue.figures(f"{float(100 * of):.1f} %")
