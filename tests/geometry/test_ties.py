"""Choices among computed numbers: equal ones are taken in order, and noise leaves no trace on the grid."""
from __future__ import annotations

from fractions import Fraction

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from generator.geometry.ties import first_largest, first_smallest, snapped
from generator.geometry.tolerances import EQUAL_LENGTHS, GRID


def test_of_equal_values_the_first_is_taken():
    """A hair more does not count, and a clear difference does."""
    assert first_largest([3.0, 5.0 - EQUAL_LENGTHS / 2, 5.0]) == 1
    assert first_largest([3.0, 5.0 - 2 * EQUAL_LENGTHS, 5.0]) == 2
    assert first_smallest([7.0, 2.0 + 1e-12, 2.0]) == 1


UNITS = (Fraction(1, 10), Fraction(1, 100), Fraction(127, 640), Fraction(127, 80))   # mm; two are of inches


@given(st.integers(-4000, 4000), st.sampled_from(UNITS), st.floats(-1e-9, 1e-9))
def test_noise_on_a_measure_of_either_system_is_lost(count, unit, noise):
    """Hundredths of a millimetre and parts of an inch lie on no edge between two places of the grid."""
    value = float(count * unit)
    assert snapped(value) == snapped(value + noise)
    assert abs(snapped(value) - value) <= GRID / 2


def test_nothing_has_a_sign():
    """A zero is a zero."""
    assert str(snapped(np.array([-1e-12]))[0]) == "0.0"
