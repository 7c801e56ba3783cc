"""Functions of numbers and measures: what school calls by the same names."""
from __future__ import annotations

import math
from fractions import Fraction

from generator.paper.groups import opened
from generator.paper.job import Job
from generator.paper.kinds import AngleArg, AnyQuantity, Length, Number, Quantities
from generator.units import Angle, Quantity


def sqrt(job: Job, of: AnyQuantity) -> Quantity:
    """The square root of a number, or of an area (a length)."""
    if of.value < 0:
        job.refuse("number-wrong", "there is no root of a negative number", "check the sum under the root")
    if of.power % 2:
        job.refuse("units-mixed", f"{of.kind} has no square root", "multiply two lengths first")
    return Quantity(_root(of.value), of.power // 2, of.names)


def _root(value: Fraction | float) -> Fraction | float:
    if isinstance(value, Fraction):     # a perfect square stays exact
        top, below = math.isqrt(value.numerator), math.isqrt(value.denominator)
        if top * top == value.numerator and below * below == value.denominator:
            return Fraction(top, below)
    return math.sqrt(value)


def hypot(job: Job, a: Length, b: Length) -> Quantity:
    """The long side of a right triangle with the sides a and b."""
    return sqrt(job, a * a + b * b)


def sin(job: Job, angle: AngleArg) -> Quantity:
    """The sine of an angle."""
    return Quantity(math.sin(angle.radians), 0, angle.names)


def cos(job: Job, angle: AngleArg) -> Quantity:
    """The cosine of an angle."""
    return Quantity(math.cos(angle.radians), 0, angle.names)


def tan(job: Job, angle: AngleArg) -> Quantity:
    """The tangent of an angle."""
    if abs(math.cos(angle.radians)) < 1e-12:
        job.refuse("number-wrong", "an upright angle has no tangent", "use an angle other than 90 deg")
    return Quantity(math.tan(angle.radians), 0, angle.names)


def atan(job: Job, of: Number) -> Angle:
    """The angle whose tangent this is."""
    return Angle(math.degrees(math.atan(float(of.value))), of.names)


def abs_(job: Job, of: AnyQuantity) -> Quantity:
    """A quantity without its sign."""
    return -of if of.value < 0 else of


def min_(job: Job, *of: Quantities) -> Quantity:
    """The least of several quantities; it keeps the sum of the one that was taken."""
    return _chosen(job, of, min)


def max_(job: Job, *of: Quantities) -> Quantity:
    """The greatest of several quantities; it keeps the sum of the one that was taken."""
    return _chosen(job, of, max)


def _chosen(job: Job, of: tuple, choose: object) -> Quantity:
    values = [value for given in of for value in opened(given)]
    if not values:
        job.refuse("call-missing", "this compares nothing", "give two or more quantities")
    if len({v.power for v in values}) > 1:
        job.refuse("units-mixed", "a length cannot be compared with a number", "give quantities of one kind")
    taken = choose(values, key=lambda v: v.value)
    return Quantity(taken.value, taken.power, frozenset().union(*(v.names for v in values)), taken.form)


FUNCTIONS = (sqrt, hypot, sin, cos, tan, atan, abs_, min_, max_)
