"""A ribbon goes through every hole of the rows that it is threaded through."""
from __future__ import annotations

from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding.piece_context import PieceContext
from generator.paper.records import Thread


def threading_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each ribbon that leaves out holes of a row it goes through, which no other takes."""
    threads = [(act, act.detail.marks) for act in context.plan.acts if isinstance(act.detail, Thread)]
    taken = {mark for _, marks in threads for mark in marks}
    for act, marks in threads:
        rows = {mark.act for mark in context.state.marks if mark.id in marks}
        left = [mark for mark in context.state.marks if mark.act in rows and mark.id not in taken]
        if left:
            name = f"'{left[0].name}'" if left[0].name else "this row"
            yield finding("hole-unthreaded", act.span,
                          f"this ribbon misses {len(left)} of {left[0].count} holes of {name}",
                          "thread it through all of them, or punch the others in a row of their own")
