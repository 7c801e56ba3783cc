"""Sums, comparisons and spans of values, each zipped over groups.

Functions of numbers and measures: what school calls by the same names.
"""
from __future__ import annotations

import math
import operator
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import TypeGuard

from generator.geometry import Real
from generator.paper.parameter_kinds import AngleArg, AnyQuantity, Length, Number, Quantities, kind_of
from generator.paper.patterns import flattened, offset
from generator.paper.plan_builder import CallContext
from generator.paper.records import Mark
from generator.paper.values import (
    ComparisonResult,
    Group,
    PiecePlace,
    PlaceSpan,
    PlaceValue,
    ShiftedPlace,
    VocabularyWord,
)
from generator.units import Angle, Quantity

OPERATORS: Mapping[str, Callable[[Quantity, Quantity], Quantity]] = {
    "+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv}
REAL_OPERATORS: Mapping[str, Callable[[Real, Real], Real]] = {
    "+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv}
OPERATOR_WORDS = {"+": "added to", "-": "taken from", "*": "multiplied by", "/": "divided by"}


def zip_groups(context: CallContext, work: Callable[..., object], *values: object) -> object:
    """``work`` on each member where a value is a group; single values repeat. Refuses unequal groups."""
    sizes = {len(v) for v in values if isinstance(v, Group)}
    if not sizes:
        return work(*values)
    if len(sizes) > 1:
        text = " beside ".join(f"a group of {len(v)}" for v in values if isinstance(v, Group))
        context.refuse("group-sizes", f"{text} cannot be paired off",
                   "use groups of equal size, or a single value")
    count = sizes.pop()
    context.count_work(2 * count)
    rows = ([v.items[k] if isinstance(v, Group) else v for v in values] for k in range(count))
    return Group(tuple(zip_groups(context, work, *row) for row in rows))


def binary(context: CallContext, op: str, left: object, right: object) -> object:
    """``left op right``; lengths with lengths, numbers with anything, a place with a length."""
    return zip_groups(context, lambda a, b: _binary(context, op, a, b), left, right)


def _binary(context: CallContext, op: str, a: object, b: object) -> object:
    if isinstance(a, Quantity) and isinstance(b, Quantity):
        return _quantities(context, op, a, b)
    if isinstance(a, Angle) or isinstance(b, Angle):
        return _angles(context, op, a, b)
    if op in "+-" and isinstance(a, Mark | PiecePlace | ShiftedPlace
                                 | VocabularyWord) and isinstance(b, Quantity) and b.power == 1:
        return offset(context, a, b if op == "+" else -b)
    if op == "-":
        a, b = b, a
    raise context.refusal("units-mixed", f"{kind_of(a)} cannot be {OPERATOR_WORDS[op]} {kind_of(b)}",
                      "a place and a length can be added; two places make a span a..b")


def _quantities(context: CallContext, op: str, a: Quantity, b: Quantity) -> Quantity:
    if op in "+-" and a.power != b.power:
        if op == "-":
            a, b = b, a
        context.refuse("units-mixed", f"{a.kind} cannot be {OPERATOR_WORDS[op]} {b.kind}",
                   "name the length in the front matter with its unit, or multiply a named length by the "
                   "number"
                   if {a.power, b.power} == {0, 1} else "only measures of one kind are added up")
    if op == "/" and b.value == 0:
        context.refuse("number-wrong", "this divides by nothing",
                       "what stands behind the / comes to 0; check it")
    return OPERATORS[op](a, b)


def _angles(context: CallContext, op: str, a: object, b: object) -> object:
    if isinstance(a, Angle) and isinstance(b, Angle):
        if op in "+-":
            return Angle(REAL_OPERATORS[op](a.degrees, b.degrees), a.names | b.names)
        if op == "/" and b.degrees:
            return Quantity(a.degrees / b.degrees, 0, a.names | b.names)
    if isinstance(a, Angle) and _is_number(b) and op in "*/" and (op == "*" or b.value):
        return Angle(REAL_OPERATORS[op](a.degrees, b.value), a.names | b.names)
    if isinstance(b, Angle) and _is_number(a) and op == "*":
        return Angle(a.value * b.degrees, a.names | b.names)
    if op == "-":
        a, b = b, a
    raise context.refusal("units-mixed", f"{kind_of(a)} cannot be {OPERATOR_WORDS[op]} {kind_of(b)}",
                      "angles are added to angles, and multiplied or divided by numbers other than nothing")


def _is_number(value: object) -> TypeGuard[Quantity]:
    return isinstance(value, Quantity) and value.power == 0


def negative(context: CallContext, value: object) -> object:
    """``-value``."""
    def one(v: object) -> object:
        if isinstance(v, Quantity | Angle):
            return -v
        raise context.refusal("units-mixed", f"{kind_of(v)} has no negative", "use it as it is")
    return zip_groups(context, one, value)


def place_span(context: CallContext, first: object, last: object) -> object:
    """The span ``first..last``."""
    def one(a: object, b: object) -> PlaceSpan:
        return PlaceSpan(_span_end(context, a), _span_end(context, b))
    return zip_groups(context, one, first, last)


def _span_end(context: CallContext, end: object) -> PlaceValue:
    if isinstance(end, Mark | PiecePlace | ShiftedPlace | VocabularyWord):
        return end
    if isinstance(end, Quantity) and end.power == 1:
        return end
    raise context.refusal("call-kind", f"a span runs between distances, marks or edges, not {kind_of(end)}",
                          "for example bottom..foot_line")


def compare(context: CallContext, op: str, left: object, right: object) -> object:
    """One link of a comparison, as a Truth; within the tolerance where a side is *about*."""
    return zip_groups(context, lambda a, b: ComparisonResult(_holds(context, op, a, b), a, op, b), left,
                      right)


def _holds(context: CallContext, op: str, a: object, b: object) -> bool:
    if isinstance(a, VocabularyWord) and isinstance(b, VocabularyWord) and op in ("==", "!="):
        return (a == b) == (op == "==")
    if isinstance(a, Angle) and isinstance(b, Angle):
        a, b = Quantity(a.degrees), Quantity(b.degrees)
    if not (isinstance(a, Quantity) and isinstance(b, Quantity)) or a.power != b.power:
        plain = {getattr(a, "power", None), getattr(b, "power", None)} == {0, 1}
        context.refuse("units-mixed", f"{kind_of(a)} cannot be compared with {kind_of(b)}",
                   "name a length in the front matter, and compare with that"
                   if plain else "compare things of one kind")
    same = a.same_as(b)
    return {"==": same, "!=": not same, "<": not same and a.value < b.value,
            ">": not same and a.value > b.value,
            "<=": same or a.value < b.value, ">=": same or a.value > b.value}[op]


def combine(context: CallContext, op: str, left: object, right: object) -> object:
    """``left and right`` or ``left or right``; the Truth that decides is kept, for the message."""
    def one(a: object, b: object) -> ComparisonResult:
        first, second = _comparison(context, op, a), _comparison(context, op, b)
        if op == "and":
            return second if first.holds else first
        return first if first.holds else second
    return zip_groups(context, one, left, right)


def _comparison(context: CallContext, op: str, side: object) -> ComparisonResult:
    if isinstance(side, ComparisonResult):
        return side
    raise context.refusal("call-kind", f"'{op}' joins comparisons, not {kind_of(side)}",
                          "write for example a <= b")


def negate(context: CallContext, value: object) -> object:
    """``not value``."""
    def one(v: object) -> ComparisonResult:
        if not isinstance(v, ComparisonResult):
            context.refuse("call-kind", f"'not' turns a comparison round, not {kind_of(v)}",
                       "write for example not a <= b")
        turned = {"<": ">=", "<=": ">", ">": "<=", ">=": "<", "==": "!=", "!=": "=="}
        return ComparisonResult(not v.holds, v.left, turned.get(v.sign, ""), v.right)
    return zip_groups(context, one, value)


def sqrt(context: CallContext, of: AnyQuantity) -> Quantity:
    """The square root of a number, or of an area (a length)."""
    if of.value < 0:
        context.refuse("number-wrong", "there is no root of a negative number",
                       "check the sum under the root")
    if of.power % 2:
        context.refuse("units-mixed", f"{of.kind} has no square root", "multiply two lengths first")
    return Quantity(_square_root(of.value), of.power // 2, of.names)


def _square_root(value: Fraction | float) -> Fraction | float:
    if isinstance(value, Fraction):     # a perfect square stays exact
        top, below = math.isqrt(value.numerator), math.isqrt(value.denominator)
        if top * top == value.numerator and below * below == value.denominator:
            return Fraction(top, below)
    return math.sqrt(value)


def hypot(context: CallContext, a: Length, b: Length) -> Quantity:
    """The long side of a right triangle with the sides a and b."""
    return sqrt(context, a * a + b * b)


def sin(_context: CallContext, angle: AngleArg) -> Quantity:
    """The sine of an angle."""
    return Quantity(math.sin(angle.radians), 0, angle.names)


def cos(_context: CallContext, angle: AngleArg) -> Quantity:
    """The cosine of an angle."""
    return Quantity(math.cos(angle.radians), 0, angle.names)


def tan(context: CallContext, angle: AngleArg) -> Quantity:
    """The tangent of an angle."""
    if abs(math.cos(angle.radians)) < 1e-12:
        context.refuse("number-wrong", "an upright angle has no tangent", "use an angle other than 90 deg")
    return Quantity(math.tan(angle.radians), 0, angle.names)


def atan(_context: CallContext, of: Number) -> Angle:
    """The angle whose tangent this is."""
    return Angle(math.degrees(math.atan(float(of.value))), of.names)


def abs_(_context: CallContext, of: AnyQuantity) -> Quantity:
    """A quantity without its sign."""
    return -of if of.value < 0 else of


def min_(context: CallContext, *of: Quantities) -> Quantity:
    """The least of several quantities; it keeps the sum of the one that was taken."""
    return _extreme(context, of, operator.lt)


def max_(context: CallContext, *of: Quantities) -> Quantity:
    """The greatest of several quantities; it keeps the sum of the one that was taken."""
    return _extreme(context, of, operator.gt)


def _extreme(context: CallContext, of: Sequence[Quantity | Group[Quantity]],
             better: Callable[[Real, Real], bool]) -> Quantity:
    values = [value for given in of for value in flattened(given) if isinstance(value, Quantity)]
    if not values:
        context.refuse("call-missing", "this compares nothing", "give two or more quantities")
    if len({v.power for v in values}) > 1:
        context.refuse("units-mixed", "a length cannot be compared with a number",
                       "give quantities of one kind")
    taken = values[0]
    for each in values[1:]:
        if better(each.value, taken.value):
            taken = each
    return Quantity(taken.value, taken.power, frozenset().union(*(v.names for v in values)), taken.form)


NUMBER_FUNCTIONS = (sqrt, hypot, sin, cos, tan, atan, abs_, min_, max_)
