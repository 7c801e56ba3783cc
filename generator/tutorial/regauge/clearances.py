"""Clearances: named lengths that a requirement bounds by something which no choice can change.

A clearance is a limit, and limits are rounded inward (ANSI/IEEE 268): what
must be at least four layers of card may only grow when it is put on another
grid, what must be at most the gap of a tool may only shrink.
"""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from generator.findings import Span
from generator.language.syntax import nodes
from generator.tutorial.regauge.sums import Pure, Steps, condition_of, without_free

AT_LEAST, AT_MOST = "at least", "at most"
_SIDES = {">=": AT_LEAST, ">": AT_LEAST, "<=": AT_MOST, "<": AT_MOST}
_TURNED = {AT_LEAST: AT_MOST, AT_MOST: AT_LEAST}


@dataclass(frozen=True, slots=True)
class Clearance:
    """``name`` must stay :data:`AT_LEAST` or :data:`AT_MOST` (``side``) a limit that is the same in both editions."""

    name: str
    side: str
    span: Span

    def kept(self, drawn: Fraction, now: Fraction) -> bool:
        """True when ``now`` was not rounded towards the limit."""
        return now >= drawn if self.side == AT_LEAST else now <= drawn


def inward(value: Fraction, step: Fraction, side: str) -> Fraction:
    """A limit on the marks of a rule: one that must be at least ``value`` goes up, one that must be at most goes down."""
    return (ceil if side == AT_LEAST else floor)(value / step) * step


def clearances_of(pure: Pure, steps: Steps) -> tuple[Clearance, ...]:
    """The clearances of a design, one for each name and side; a name bound on both sides is none."""
    found: dict[str, dict[str, Clearance]] = {}
    for _, statements in steps:
        for statement in statements:
            call = statement.value
            if isinstance(call, nodes.Call) and call.name == "expect" and condition_of(call) is not None:
                for each in _bounds(pure, condition_of(call)):
                    found.setdefault(each.name, {}).setdefault(each.side, each)
    return tuple(next(iter(sides.values())) for sides in found.values() if len(sides) == 1)


def _bounds(pure: Pure, expr: nodes.Expr) -> Iterator[Clearance]:
    if isinstance(expr, nodes.Logic) and expr.op == "and":
        yield from _bounds(pure, expr.left)
        yield from _bounds(pure, expr.right)
    elif isinstance(expr, nodes.Comparison):
        left = expr.first
        for op, right in expr.rest:
            if op in _SIDES:
                yield from _bound(pure, left, _SIDES[op], right)
                yield from _bound(pure, right, _TURNED[_SIDES[op]], left)
            left = right


def _bound(pure: Pure, one: nodes.Expr, side: str, limit: nodes.Expr) -> Iterator[Clearance]:
    if isinstance(one, nodes.Name) and one.name in pure.free and without_free(pure, limit):
        yield Clearance(one.name, side, one.span)
