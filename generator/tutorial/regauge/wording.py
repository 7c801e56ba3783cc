"""Measures and changes in the words of the report."""
from __future__ import annotations

from fractions import Fraction

from generator.units import MM_PER_INCH, as_text, length, word

FINEST = MM_PER_INCH / 64
PLACES = 1          # decimals of a change in mm and in per cent


def said(value: Fraction | float, system: str) -> str:
    """A length in mm, worded in a system: "1 3/4 in"; one that is exact and lies on no usual mark to 1/64 in."""
    return as_text(word(length(value), system, finest=FINEST if isinstance(value, Fraction) else None))


def difference(mm: Fraction | float, system: str) -> str:
    """How far two sizes lie apart, without a sign: "3 mm", "about 1/8 in"."""
    return as_text(word(length(abs(mm)), system))


def signed(mm: Fraction | float) -> str:
    """A change in mm: "+1.8 mm", "−0.5 mm", "0 mm"."""
    return f"{_signed(mm)} mm"


def percent(share: Fraction | float) -> str:
    """A relative change: "+5.8 %"."""
    return f"{_signed(share * 100)} %"


def _signed(value: Fraction | float) -> str:
    shown = round(float(value), PLACES)
    text = f"{abs(shown):.{PLACES}f}".removesuffix(".0")
    return text if text == "0" else ("+" if shown > 0 else "−") + text


def plain(name: str) -> str:
    """A name of the source as words."""
    return name.replace("_", " ")
