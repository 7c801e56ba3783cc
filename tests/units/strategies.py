"""What the property tests of the units draw from: benches' grids, and sums over named lengths."""
from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from hypothesis import strategies as st

from generator.units import Quantity, length, number

INCH = Fraction("25.4")
NAMES = ("panel", "wall", "foot", "crown")
SYSTEMS = st.sampled_from(("mm", "in"))

# A position on a rule: whole numbers of 1/64 in, and tenths of a millimetre.
inch_lengths = st.integers(1, 64 * 120).map(lambda n: n * INCH / 64)
metric_lengths = st.integers(1, 10 * 3000).map(lambda n: Fraction(n, 10))
ratios = st.builds(Fraction, st.integers(-40, 40), st.integers(1, 12))
positive = st.builds(Fraction, st.integers(1, 4000), st.sampled_from((1, 2, 5, 8, 10, 16, 64)))
named_lengths = st.fixed_dictionaries({name: positive for name in NAMES})

Value = Callable[[Mapping[str, Quantity]], Quantity]
Plain = Callable[[Mapping[str, Fraction]], Fraction]


@dataclass(frozen=True)
class Sum:
    """One expression twice: worked in quantities, and in bare fractions that know no units."""

    said: str
    power: int
    value: Value
    plain: Plain
    names: frozenset[str]
    linear: bool

    def __repr__(self) -> str:
        return self.said


def named(name: str) -> Sum:
    return Sum(name, 1, lambda given: given[name], lambda given: given[name], frozenset({name}), True)


def constant(ratio: Fraction) -> Sum:
    return Sum(str(ratio), 0, lambda _: number(ratio), lambda _: ratio, frozenset(), True)


def added(a: Sum, b: Sum) -> Sum:
    return Sum(f"({a} + {b})", a.power, lambda given: a.value(given) + b.value(given),
               lambda given: a.plain(given) + b.plain(given), a.names | b.names, a.linear and b.linear)


def taken(a: Sum, b: Sum) -> Sum:
    return Sum(f"({a} - {b})", a.power, lambda given: a.value(given) - b.value(given),
               lambda given: a.plain(given) - b.plain(given), a.names | b.names, a.linear and b.linear)


def times(a: Sum, b: Sum) -> Sum:
    linear = a.linear and b.linear and 0 in (a.power, b.power)
    return Sum(f"({a} * {b})", a.power + b.power, lambda given: a.value(given) * b.value(given),
               lambda given: a.plain(given) * b.plain(given), a.names | b.names, linear)


def divided(a: Sum, b: Sum) -> Sum:
    return Sum(f"({a} / {b})", a.power - b.power, lambda given: a.value(given) / b.value(given),
               lambda given: a.plain(given) / b.plain(given), a.names | b.names,
               a.linear and b.linear and b.power == 0)


def minus(a: Sum) -> Sum:
    return Sum(f"-{a}", a.power, lambda given: -a.value(given), lambda given: -a.plain(given), a.names,
               a.linear)


numbers = ratios.map(constant)
linear_sums = st.recursive(
    st.sampled_from(NAMES).map(named),
    lambda inner: st.one_of(st.builds(added, inner, inner), st.builds(taken, inner, inner),
                            st.builds(times, numbers, inner), st.builds(times, inner, numbers),
                            st.builds(divided, inner, numbers), inner.map(minus)),
    max_leaves=8)
areas = st.builds(times, linear_sums, linear_sums)
ratios_of_lengths = st.builds(divided, linear_sums, linear_sums)
all_sums = st.one_of(linear_sums, areas, ratios_of_lengths, st.builds(divided, areas, linear_sums),
                     st.builds(times, ratios_of_lengths, linear_sums), st.builds(times, linear_sums, areas),
                     st.builds(added, areas, areas))


def lengths_of(given: Mapping[str, Fraction]) -> dict[str, Quantity]:
    """The named lengths as quantities."""
    return {name: length(mm, name) for name, mm in given.items()}
