"""A point of the plane, in mm: x to the right, y upward."""
from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

Real = Fraction | float


class Point(NamedTuple):
    """``x`` and ``y`` in mm; Fractions while exact, floats after a root or an angle."""

    x: Real
    y: Real
