"""Sums, comparisons and spans of values, each zipped over groups."""
from __future__ import annotations

import operator
from collections.abc import Callable

from generator.paper.job import Job
from generator.paper.kinds import kind_of
from generator.paper.patterns import offset
from generator.paper.records import Mark
from generator.paper.values import Between, Group, Place, Shifted, Truth, Word
from generator.units import Angle, Quantity

SUMS: dict[str, Callable] = {"+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv}
SAYS = {"+": "added to", "-": "taken from", "*": "multiplied by", "/": "divided by"}


def zipped(job: Job, work: Callable[..., object], *values: object) -> object:
    """``work`` on each member where a value is a group; single values repeat. Refuses unequal groups."""
    sizes = {len(v) for v in values if isinstance(v, Group)}
    if not sizes:
        return work(*values)
    if len(sizes) > 1:
        said = " beside ".join(f"a group of {len(v)}" for v in values if isinstance(v, Group))
        job.refuse("group-sizes", f"{said} cannot be paired off", "use groups of equal size, or a single value")
    count = sizes.pop()
    job.spend(2 * count)
    rows = ([v.items[k] if isinstance(v, Group) else v for v in values] for k in range(count))
    return Group(tuple(zipped(job, work, *row) for row in rows))


def binary(job: Job, op: str, left: object, right: object) -> object:
    """``left op right``; lengths with lengths, numbers with anything, a place with a length."""
    return zipped(job, lambda a, b: _binary(job, op, a, b), left, right)


def _binary(job: Job, op: str, a: object, b: object) -> object:
    if isinstance(a, Quantity) and isinstance(b, Quantity):
        return _quantities(job, op, a, b)
    if isinstance(a, Angle) or isinstance(b, Angle):
        return _angles(job, op, a, b)
    if op in "+-" and isinstance(a, Mark | Place | Shifted | Word) and isinstance(b, Quantity) and b.power == 1:
        return offset(job, a, b if op == "+" else -b)
    if op == "-":
        a, b = b, a
    job.refuse("units-mixed", f"{kind_of(a)} cannot be {SAYS[op]} {kind_of(b)}",
               "a place and a length can be added; two places make a span a..b")


def _quantities(job: Job, op: str, a: Quantity, b: Quantity) -> Quantity:
    if op in "+-" and a.power != b.power:
        if op == "-":
            a, b = b, a
        job.refuse("units-mixed", f"{a.kind} cannot be {SAYS[op]} {b.kind}",
                   "name the length in the front matter with its unit, or multiply a named length by the number"
                   if {a.power, b.power} == {0, 1} else "only measures of one kind are added up")
    if op == "/" and b.value == 0:
        job.refuse("number-wrong", "this divides by nothing", "what stands behind the / comes to 0; check it")
    return SUMS[op](a, b)


def _angles(job: Job, op: str, a: object, b: object) -> object:
    if isinstance(a, Angle) and isinstance(b, Angle):
        if op in "+-":
            return Angle(SUMS[op](a.degrees, b.degrees), a.names | b.names)
        if op == "/" and b.degrees:
            return Quantity(a.degrees / b.degrees, 0, a.names | b.names)
    if isinstance(a, Angle) and _plain(b) and op in "*/" and (op == "*" or b.value):
        return Angle(SUMS[op](a.degrees, b.value), a.names | b.names)
    if isinstance(b, Angle) and _plain(a) and op == "*":
        return Angle(a.value * b.degrees, a.names | b.names)
    if op == "-":
        a, b = b, a
    job.refuse("units-mixed", f"{kind_of(a)} cannot be {SAYS[op]} {kind_of(b)}",
               "angles are added to angles, and multiplied or divided by numbers other than nothing")


def _plain(value: object) -> bool:
    return isinstance(value, Quantity) and value.power == 0


def negative(job: Job, value: object) -> object:
    """``-value``."""
    def one(v: object) -> object:
        if isinstance(v, Quantity | Angle):
            return -v
        job.refuse("units-mixed", f"{kind_of(v)} has no negative", "use it as it is")
    return zipped(job, one, value)


def between(job: Job, first: object, last: object) -> object:
    """The span ``first..last``."""
    def one(a: object, b: object) -> Between:
        for end in (a, b):
            if not isinstance(end, Mark | Place | Shifted | Word) and not (
                    isinstance(end, Quantity) and end.power == 1):
                job.refuse("call-kind", f"a span runs between distances, marks or edges, not {kind_of(end)}",
                           "for example bottom..foot_line")
        return Between(a, b)
    return zipped(job, one, first, last)


def compared(job: Job, op: str, left: object, right: object) -> object:
    """One link of a comparison, as a Truth; within the tolerance where a side is *about*."""
    return zipped(job, lambda a, b: Truth(_holds(job, op, a, b), a, op, b), left, right)


def _holds(job: Job, op: str, a: object, b: object) -> bool:
    if isinstance(a, Word) and isinstance(b, Word) and op in ("==", "!="):
        return (a == b) == (op == "==")
    if isinstance(a, Angle) and isinstance(b, Angle):
        a, b = Quantity(a.degrees), Quantity(b.degrees)
    if not (isinstance(a, Quantity) and isinstance(b, Quantity)) or a.power != b.power:
        plain = {getattr(a, "power", None), getattr(b, "power", None)} == {0, 1}
        job.refuse("units-mixed", f"{kind_of(a)} cannot be compared with {kind_of(b)}",
                   "name a length in the front matter, and compare with that" if plain else "compare things of one kind")
    same = a.same_as(b)
    return {"==": same, "!=": not same, "<": not same and a.value < b.value, ">": not same and a.value > b.value,
            "<=": same or a.value < b.value, ">=": same or a.value > b.value}[op]


def both(job: Job, op: str, left: object, right: object) -> object:
    """``left and right`` or ``left or right``; the Truth that decides is kept, for the message."""
    def one(a: object, b: object) -> Truth:
        for side in (a, b):
            if not isinstance(side, Truth):
                job.refuse("call-kind", f"'{op}' joins comparisons, not {kind_of(side)}", "write for example a <= b")
        if op == "and":
            return b if a.holds else a
        return a if a.holds else b
    return zipped(job, one, left, right)


def opposite(job: Job, value: object) -> object:
    """``not value``."""
    def one(v: object) -> Truth:
        if not isinstance(v, Truth):
            job.refuse("call-kind", f"'not' turns a comparison round, not {kind_of(v)}", "write for example not a <= b")
        turned = {"<": ">=", "<=": ">", ">": "<=", ">=": "<", "==": "!=", "!=": "=="}
        return Truth(not v.holds, v.left, turned.get(v.sign, ""), v.right)
    return zipped(job, one, value)
