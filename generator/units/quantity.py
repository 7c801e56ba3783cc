"""Exact measures: numbers, lengths, areas and volumes that know where they came from.

A quantity is exact (a Fraction of mm to its power) until a root or a
trigonometric function makes it a float; from then on it is *about*.
"""
from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from generator.dataclass import dataclass, field

MAX_VALUE = Fraction(10) ** 12    # mm**power; beyond this no sum can be about paper
MAX_DENOMINATOR_DIGITS = 400                    # of a denominator; exact work beyond it has lost its meaning
TOLERANCE = 1e-9                # mm; two inexact values closer than this are the same place

Real = Fraction | float
ZERO_FORM: Mapping[str, Fraction] = MappingProxyType({})
KIND_NAMES = {0: "a number", 1: "a length", 2: "an area", 3: "a volume"}


class QuantityError(ValueError):
    """A sum that has no sense; ``code`` is the finding's code, the text is for the demonstrator."""

    def __init__(self, code: str, message: str, hint: str = ""):
        super().__init__(message)
        self.code, self.hint = code, hint


def _within_range(value: Real) -> Real:
    if isinstance(value, float):
        large = not math.isfinite(value) or abs(value) > float(MAX_VALUE)
    else:
        large = abs(value.numerator) > MAX_VALUE * value.denominator
        if value.denominator.bit_length() > MAX_DENOMINATOR_DIGITS * 4:
            raise QuantityError("number-wrong", "this comes to a finer fraction than any tool could make",
                                "check what is divided here")
    if large:
        raise QuantityError("number-wrong", "this comes to more than any paper could hold",
                            "check the numbers that are multiplied or divided here")
    return value


@dataclass(frozen=True, slots=True)
class Quantity:
    """``value`` in mm**power; ``names`` are the named values it depends on.

    ``form`` is the affine form of an exact length that is linear in the named
    lengths: name → coefficient, so that the value is the sum of coefficient ×
    named length. It is None where there is no such form.
    """

    value: Real
    power: int = 0
    names: frozenset[str] = frozenset()
    form: Mapping[str, Fraction] | None = field(default=None, compare=False)

    @property
    def exact(self) -> bool:
        """False where a root or a trigonometric function made it *about*."""
        return isinstance(self.value, Fraction)

    @property
    def is_constant(self) -> bool:
        """True for an exact number that stays the same whatever the named lengths are."""
        return self.power == 0 and self.exact and self.form is not None

    @property
    def kind(self) -> str:
        """"a length", "a number" …, for messages."""
        return KIND_NAMES.get(self.power, f"a quantity of mm to the power {self.power}")

    def __float__(self) -> float:
        value = self.value      # of a Fraction this is what float makes of it, in a third of the time
        return value.numerator / value.denominator if isinstance(value, Fraction) else float(value)

    def __neg__(self) -> Quantity:
        return Quantity(-self.value, self.power, self.names, scaled(self.form, Fraction(-1)))

    def __add__(self, other: Quantity) -> Quantity:
        _same_kind(self, other, "added to")
        return Quantity(_within_range(self.value + other.value), self.power, self.names | other.names,
                        summed(self.form, other.form))

    def __sub__(self, other: Quantity) -> Quantity:
        _same_kind(other, self, "taken from")
        return Quantity(_within_range(self.value - other.value), self.power, self.names | other.names,
                        summed(self.form, scaled(other.form, Fraction(-1))))

    def __mul__(self, other: Quantity) -> Quantity:
        form = None
        if self.is_constant:
            form = scaled(other.form, self.value)
        elif other.is_constant:
            form = scaled(self.form, other.value)
        return Quantity(_within_range(self.value * other.value), self.power + other.power,
                        self.names | other.names, form)

    def __truediv__(self, other: Quantity) -> Quantity:
        if other.value == 0:
            raise QuantityError("number-wrong", "this divides by nothing")
        form = None
        if other.is_constant:
            form = scaled(self.form, 1 / other.value)
        return Quantity(_within_range(self.value / other.value), self.power - other.power,
                        self.names | other.names, form)

    def same_as(self, other: Quantity) -> bool:
        """Equal exactly, or within :data:`TOLERANCE` where either is *about*."""
        if self.exact and other.exact:
            return self.value == other.value
        return abs(float(self.value) - float(other.value)) <= TOLERANCE

    def below(self, other: Quantity) -> bool:
        """Strictly less, beyond the tolerance where either is *about*."""
        return self.value < other.value and not self.same_as(other)


def scaled(form: Mapping[str, Fraction] | None, factor: Real) -> Mapping[str, Fraction] | None:
    """An affine form times an exact factor; None where there is none."""
    if form is None or not isinstance(factor, Fraction):
        return None
    return MappingProxyType({name: c * factor for name, c in form.items()}) if factor else ZERO_FORM


def summed(a: Mapping[str, Fraction] | None,
           b: Mapping[str, Fraction] | None) -> Mapping[str, Fraction] | None:
    """The sum of two affine forms, terms that cancel left out."""
    if a is None or b is None:
        return None
    total = dict(a)
    for name, c in b.items():
        total[name] = total.get(name, Fraction(0)) + c
    return MappingProxyType({name: c for name, c in total.items() if c})


def _same_kind(a: Quantity, b: Quantity, doing: str) -> None:
    if a.power != b.power:
        raise QuantityError("units-mixed", f"{a.kind} cannot be {doing} {b.kind}")


def number(value: int | Fraction | float, names: frozenset[str] = frozenset()) -> Quantity:
    """A plain number in which no length stands; exact unless a float is given."""
    if isinstance(value, float):
        return Quantity(value, 0, names)
    return Quantity(Fraction(value), 0, names, ZERO_FORM)


def length(mm: int | Fraction | float, name: str | None = None) -> Quantity:
    """A length in mm; with ``name`` it is a named length: its own affine form."""
    value = mm if isinstance(mm, float) else Fraction(mm)
    if name is not None:
        return Quantity(value, 1, frozenset({name}), MappingProxyType({name: Fraction(1)}))
    return Quantity(value, 1, frozenset(), ZERO_FORM if value == 0 else None)


ZERO = length(0)


@dataclass(frozen=True, slots=True)
class Angle:
    """An angle in degrees; ``names`` as for :class:`Quantity`."""

    degrees: Real
    names: frozenset[str] = frozenset()

    @property
    def exact(self) -> bool:
        """False where a root or a trigonometric function made it *about*."""
        return isinstance(self.degrees, Fraction)

    @property
    def radians(self) -> float:
        """The same angle in radians."""
        return math.radians(float(self.degrees))

    @property
    def kind(self) -> str:
        """The words for it in messages."""
        return "an angle"

    def __neg__(self) -> Angle:
        return Angle(-self.degrees, self.names)
