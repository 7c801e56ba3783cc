"""Exact measures, the grids of tools, and how measures are worded."""
from generator.units.quantity import (MM_PER_INCH, TOLERANCE, ZERO, Angle, Quantity, QuantityError, Real,
                                      length, number)

__all__ = ["MM_PER_INCH", "TOLERANCE", "ZERO", "Angle", "Quantity", "QuantityError", "Real", "length", "number"]
