"""Measures that are compared, worded finely enough that one sees which of them is the larger."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import chain, combinations, count
from types import MappingProxyType

from generator.units.quantity import Angle, Quantity
from generator.units.systems import INCH, system_of
from generator.units.wording import (
    FINEST_DENOMINATOR,
    DisplayMeasure,
    as_text,
    decimal_measure,
    display_measure,
    fraction_measure,
)

_SMALL_UNITS: Mapping[str, int] = MappingProxyType({"cm²": 100, "cm³": 1000})    # in mm², in mm³


def distinct_texts(measures: Sequence[Quantity | Angle], system: str) -> tuple[str, ...]:
    """Plain text of measures of one kind that are compared: alike for the same ones, different for others.

    As usual, and finer where different ones would read alike, or in the wrong order: lengths in inches in
    64ths and 128ths, then all in as many decimals as it takes.
    """
    known = [next(each for each in measures if _compared(each, other) == 0) for other in measures]
    usual = tuple(display_measure(each, system) for each in known)
    found = next(worded for worded in chain((usual,), _finer_measures(known, system))
                 if _are_told_apart(known, worded))
    return tuple(map(as_text, found))


def _compared(a: Quantity | Angle, b: Quantity | Angle) -> int:
    """−1, 0 or 1 as ``a`` is less than ``b``, the same or more."""
    a, b = (Quantity(each.degrees) if isinstance(each, Angle) else each for each in (a, b))
    return 0 if a.same_as(b) else -1 if a.value < b.value else 1


def _are_told_apart(measures: Sequence[Quantity | Angle], worded: Sequence[DisplayMeasure]) -> bool:
    """Whether the figures stand in the order of the measures."""
    sizes = [each.shown * _SMALL_UNITS.get(each.unit, 1) for each in worded]
    return all((x > y) - (x < y) == _compared(a, b)
               for (a, x), (b, y) in combinations(zip(measures, sizes, strict=True), 2))


def _finer_measures(measures: Sequence[Quantity | Angle],
                    system: str) -> Iterator[tuple[DisplayMeasure, ...]]:
    """Wordings of all in one unit, each finer than the one before, without end."""
    unit, size = _common_unit(measures, system)
    values = [(each.degrees if isinstance(each, Angle) else each.value) / size for each in measures]
    in_inches = unit == INCH.code
    for parts in (FINEST_DENOMINATOR, 2 * FINEST_DENOMINATOR) if in_inches else ():
        near = [Fraction(round(value * parts), parts) for value in values]
        yield tuple(fraction_measure(shown, unit, about=isinstance(value, float) or shown != value)
                    for shown, value in zip(near, values, strict=True))
    for places in count(4 if in_inches else 2):      # four show a sixteenth of an inch whole
        yield tuple(decimal_measure(value, places, unit) for value in values)


def _common_unit(measures: Sequence[Quantity | Angle], system: str) -> tuple[str, Fraction]:
    """The unit that all are worded in, and its size in degrees or in mm to their power."""
    shown = [display_measure(each, system).unit for each in measures]
    unit = next((each for each in shown if each not in _SMALL_UNITS), shown[0])
    power = 0 if isinstance(measures[0], Angle) else measures[0].power
    return unit, (INCH.mm ** power if system_of(system).halves else Fraction(_SMALL_UNITS.get(unit, 1)))
