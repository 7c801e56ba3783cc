"""A ribbon goes through every hole of the rows that it is threaded through."""
from __future__ import annotations

import math
from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding.piece_context import PieceContext
from generator.geometry import Circle
from generator.geometry.plane import floats
from generator.geometry.tolerances import EQUAL_LENGTHS
from generator.paper.records import Mark, Thread

NEAR_DIAMETERS = 5.0    # holes nearer to those of a ribbon than so many of their widths are of its row


def threading_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each ribbon that leaves out holes of a row it goes through, which no other takes.

    A like row that lies beside it, hole by hole, counts as the same.
    """
    threads = [(act, act.detail.marks) for act in context.plan.acts if isinstance(act.detail, Thread)]
    taken = {mark for _, marks in threads for mark in marks}
    for act, marks in threads:
        own = [mark for mark in context.state.marks if mark.id in marks]
        rows = {mark.act for mark in own}
        left = [mark for mark in context.state.marks if mark.id not in taken
                and (mark.act in rows or any(_is_twin(mark, each) for each in own))]
        if left:
            name = f"'{left[0].name}'" if left[0].name else "this row"
            yield finding("hole-unthreaded", act.span,
                          f"this ribbon misses {len(left)} of {left[0].count} holes of {name}",
                          "thread it through all of them, or punch the others in a row of their own")


def _is_twin(mark: Mark, other: Mark) -> bool:
    """Whether a hole lies beside another one, as large and of as long a row."""
    one, two = mark.whole[0], other.whole[0]
    return (isinstance(one, Circle) and isinstance(two, Circle) and mark.count == other.count > 1
            and abs(float(one.radius) - float(two.radius)) < EQUAL_LENGTHS
            and math.dist(floats(one.center), floats(two.center)) < NEAR_DIAMETERS * 2 * float(one.radius))
