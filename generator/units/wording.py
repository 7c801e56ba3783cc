"""What is said of a measure: the figures that are shown, and whether they are exact.

How the figures look on a page, in plain text and in speech is the work of
``printed``, ``speech`` and ``lists``.
"""
from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from generator.units.quantity import MM_PER_INCH, TOLERANCE, Angle, Quantity, QuantityError, Real

FINEST_INCH = Fraction(1, 16)   # of an inch: what is rounded is rounded to this unless a tool says otherwise
SMALLEST_PART = 64              # an exact fraction of an inch is shown down to sixty-fourths
ROOMY = 100                     # cm³; whatever is only about so large has no decimals
MOST_PLACES = 3                 # decimals; only a measure that would be shown as 0 gets so many
TEN = 10


@dataclass(frozen=True, slots=True)
class Words:
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
        size = Fraction(self.decimal) if self.decimal else self.whole + Fraction(self.numerator, self.denominator)
        return -size if self.minus else size


def word(quantity: Quantity | Angle, system: str, *, finest: Fraction | None = None,
         thickness: bool = False) -> Words:
    """The figures for a number, a length, an area, a volume or an angle in ``system`` ("mm" or "in").

    Lengths in inches are whole and fraction. Exact ones in halves to
    sixty-fourths, or on the grid ``finest`` (mm), are shown exactly; all
    others to the nearest mark of ``finest`` (default 1/16 in), and *about*.
    Lengths in mm have at most one decimal; with ``thickness`` two (and inches
    that are no such fraction have three). What would be shown as 0
    and is not gets smaller parts, or up to three decimals.
    Raises :class:`QuantityError` for a quantity of no kind that has a name.
    """
    if system not in ("mm", "in"):
        raise ValueError(f'no such system: "{system}"')
    if isinstance(quantity, Angle):
        return _in_decimals(quantity.degrees, 1, "°")
    if quantity.power == 0:
        return _in_decimals(quantity.value, 2, "")
    if quantity.power not in (1, 2, 3):
        raise QuantityError("units-mixed", f"{quantity.kind} has no name to be printed with",
                            "print a number, a length, an area or a volume")
    if system == "mm":
        return _metric(quantity, thickness)
    return _inches(quantity, finest, thickness)


def decimal_text(value: Fraction, places: int, keep_zeros: bool = False) -> str:
    """``value`` ≥ 0 rounded to ``places`` decimals, a tie to the even digit (NIST SP 811, B.7.1).

    Zeros at the end are dropped unless kept.
    """
    whole, rest = divmod(round(value * TEN ** places), TEN ** places)
    figures = f"{rest:0{places}d}" if places else ""
    if not keep_zeros:
        figures = figures.rstrip("0")
    return f"{whole}.{figures}" if figures else str(whole)


def _metric(quantity: Quantity, thickness: bool) -> Words:
    if quantity.power == 1:
        return _in_decimals(quantity.value, 2 if thickness else 1, "mm")
    sign = "²" if quantity.power == 2 else "³"
    in_cm = TEN ** quantity.power
    if abs(quantity.value) < in_cm:
        return _in_decimals(quantity.value, 1, f"mm{sign}")
    large = quantity.power == 3 and not quantity.exact and abs(quantity.value) >= ROOMY * in_cm
    return _in_decimals(quantity.value / in_cm, 0 if large else 1, f"cm{sign}")


def _inches(quantity: Quantity, finest: Fraction | None, thickness: bool) -> Words:
    unit = {1: "in", 2: "sq in", 3: "cu in"}[quantity.power]
    size = Fraction(quantity.value) / MM_PER_INCH ** quantity.power
    if quantity.exact and _is_binary(size):
        return _in_parts(size, unit, about=False)
    if quantity.power > 1:
        return _in_decimals(size if quantity.exact else float(size), 1, unit)
    step = _inch_grid(finest)
    near = round(size / step) * step
    if quantity.exact and near == size:
        return _in_parts(size, unit, about=False)
    if thickness:
        return _in_decimals(size if quantity.exact else float(size), 3, unit, keep_zeros=True)
    near = near or Fraction(round(size * SMALLEST_PART), SMALLEST_PART)
    if near == 0:
        return _in_decimals(size if quantity.exact else float(size), MOST_PLACES, unit)
    return _in_parts(near, unit, about=True)


def _inch_grid(finest: Fraction | None) -> Fraction:
    """``finest`` (mm) in inches; the default where a metric tool gives no fraction that a rule could show."""
    if finest is None:
        return FINEST_INCH
    if finest <= 0:
        raise ValueError("a grid is above nothing")
    step = finest / MM_PER_INCH
    return step if step.denominator <= SMALLEST_PART else FINEST_INCH


def _is_binary(size: Fraction) -> bool:
    parts = size.denominator
    return parts <= SMALLEST_PART and parts & (parts - 1) == 0


def _in_parts(size: Fraction, unit: str, about: bool) -> Words:
    whole, rest = divmod(abs(size), 1)
    return Words(about, int(whole), rest.numerator, rest.denominator, "", unit, minus=size < 0)


def _in_decimals(value: Real, places: int, unit: str, keep_zeros: bool = False) -> Words:
    """Rounded to ``places``, more where it would be shown as 0 and is not."""
    exact, size = isinstance(value, Fraction), abs(Fraction(value))
    while places < MOST_PLACES and size > TOLERANCE and round(size * TEN ** places) == 0:
        places += 1
    shown = Fraction(round(size * TEN ** places), TEN ** places)
    about = not exact or shown != size
    minus = value < 0 and shown != 0
    if shown.denominator == 1 and not keep_zeros:
        return Words(about, int(shown), 0, 1, "", unit, minus)
    text = decimal_text(size, places, keep_zeros)
    return Words(about, int(shown), 0, 1, text, unit, minus)
