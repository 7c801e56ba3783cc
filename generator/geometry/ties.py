"""Choices among computed numbers that come out alike wherever they are computed.

The last digits of a sum depend on the processor and on the libraries: where
measures are equal by design, the largest of them is chosen by that noise.
These choices treat values within a stated tolerance as equal and take the
first in a given order; places are snapped to a grid before sets of them are compared.
"""
from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import EQUAL_LENGTHS, GRID


def first_largest(values: Iterable[float], equal: float = EQUAL_LENGTHS) -> int:
    """The index of the first of all values that fall short of the largest by no more than ``equal``."""
    found = np.asarray(list(values) if not isinstance(values, np.ndarray) else values, float)
    return int(np.flatnonzero(found >= found.max() - equal)[0])


def first_smallest(values: Iterable[float], equal: float = EQUAL_LENGTHS) -> int:
    """The index of the first of all values that exceed the smallest by no more than ``equal``."""
    return first_largest([-value for value in values], equal)


def snapped(values: npt.ArrayLike, grid: float = GRID) -> FloatArray:
    """Values at the nearest places of a grid, 0 without a sign: smaller noise leaves nothing behind."""
    result: FloatArray = np.round(np.asarray(values, float) / grid) * grid + 0.0
    return result
