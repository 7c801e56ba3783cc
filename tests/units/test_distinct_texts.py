"""Measures that are compared: whoever reads both sees which is the larger."""
from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.units import Angle, Quantity, distinct_texts, length, number
from tests.time_limits import examples
from tests.units.strategies import INCH, SYSTEMS, inch_lengths, metric_lengths

exact = st.one_of(inch_lengths, metric_lengths, st.fractions(-500, 3000, max_denominator=10 ** 9))
lengths = st.one_of(exact, st.floats(-500, 3000, allow_nan=False, allow_subnormal=False)).map(length)
nudges = st.integers(-9, 9).flatmap(lambda k: st.sampled_from((k, 2 * k + 1)).map(
    lambda n: Fraction(n, 10 ** abs(k))))


def size_of(text: str) -> Fraction:
    """The number that a text says, read here and not by the code that wrote it."""
    figures = text.removeprefix("about ").rpartition(" ")[0].replace("−", "-")
    sign = -1 if figures.startswith("-") else 1
    return sign * sum(map(Fraction, figures.removeprefix("-").split()), Fraction(0))


@settings(deadline=None, max_examples=examples(400))
@given(lengths, lengths, SYSTEMS)
def test_two_lengths_read_in_their_order(a, b, system):
    """However close they lie; the same ones read alike, one of them exact and one about too."""
    first, second = distinct_texts((a, b), system)
    if a.same_as(b):
        assert first == second
    else:
        assert (size_of(first) < size_of(second)) is (a.value < b.value)
        assert first.removeprefix("about ") != second.removeprefix("about ")


@settings(deadline=None, max_examples=examples(400))
@given(lengths, nudges, SYSTEMS)
def test_a_length_and_one_close_to_it(a, by, system):
    """Down to a millionth of a millimetre and less."""
    b = length(a.value + (float(by) if isinstance(a.value, float) else by))
    first, second = distinct_texts((a, b), system)
    assert (first == second) is a.same_as(b)
    assert (size_of(first) < size_of(second)) is (a.value < b.value and not a.same_as(b))


def inches(text: str) -> Quantity:
    return length(Fraction(text) * INCH)


@pytest.mark.parametrize(("measures", "system", "says"), [
    ((length(60), length(61)), "mm", ("60 mm", "61 mm")),
    ((length(60), length(60.0)), "mm", ("60 mm", "60 mm")),
    ((length(0.93), length(0.87)), "mm", ("about 0.93 mm", "about 0.87 mm")),
    ((length(60), length(Fraction("60.004"))), "mm", ("60 mm", "60.004 mm")),
    # 1.6 mm are 0.06299 in: nearest to 4/64 and 8/128, as 1/16 in is
    ((inches("1/16"), length(Fraction("1.6"))), "in", ("0.0625 in", "about 0.063 in")),
    # 1.9 mm are 0.0748 in: nearest to 5/64
    ((inches("1/16"), length(1.9)), "in", ("1/16 in", "about 5/64 in")),
    # 0.105 in would be about 1/8 in, and 7/64 in is more than it
    ((inches("7/64"), length(float(INCH) * 0.105)), "in", ("7/64 in", "about 13/128 in")),
    ((inches("2"), length(50.83), inches("3")), "in", ("2 in", "about 2.0012 in", "3 in")),
    ((Quantity(Fraction(9999, 100), 2), Quantity(Fraction(100), 2)), "mm", ("99.99 mm²", "100 mm²")),
    ((Quantity(Fraction(12340), 2), Quantity(Fraction(12341), 2)), "mm", ("123.4 cm²", "123.41 cm²")),
    ((number(Fraction(1, 3)), number(Fraction(333, 1000))), "in", ("about 0.3333", "0.333")),
    ((Angle(Fraction(45)), Angle(45.01)), "mm", ("45°", "about 45.01°")),
])
def test_how_finely(measures, system, says):
    """No finer than it takes: 64ths and 128ths before decimals, in one unit."""
    assert distinct_texts(measures, system) == says
