"""One budget for all that is made of a tutorial, its folding, pictures and templates, counted before any.

What is counted stands in its plans, so a source asks for the same amount on every machine. A unit is about a
millisecond of a slow one (measured with the sources of ``tests/tutorial/greedy_sources.py``). Statements and
sums have an allowance of their own (``paper/plan_builder.py``), so has prose (``source/text_limits.py``).
"""
from __future__ import annotations

from collections.abc import Collection, Iterator
from math import ceil

from generator.findings import Finding, Span, finding
from generator.paper.records import Plan
from generator.paper.sheet_layouts import MAX_PAGES

MAX_WORK = 7000         # a tea caddy in two languages asks for 3000
# what one costs in the pictures of the steps: a mark or piece that is new there, a line that is shown again
NEW_LINE, SHOWN_LINE = 6.0, 0.15
# … on the templates: a piece, a page of it, a line on a page
PIECE, PAGE, LINE_ON_PAGE = 60.0, 30.0, 0.5
# … where paper is folded: a piece, a panel
FOLDED_PIECE, PANEL = 100.0, 30.0
PAGE_WIDTH, PAGE_HEIGHT = 190, 260      # mm of a template on one sheet of a printer

PICTURES, TEMPLATES, FOLDING = "the pictures of its steps", "its templates", "folding it"
MENDED_BY = {PICTURES: "fewer marks and steps", TEMPLATES: "smaller or fewer pieces", FOLDING: "fewer folds"}


def work_findings(plans: Collection[Plan], languages: int) -> Iterator[Finding]:
    """A finding at the statement with which a tutorial, told in so many languages, asks for too much."""
    costs: dict[tuple[Span, str], float] = {}
    for plan in plans:
        for place, what, amount in _costs(plan):
            share = amount / len(plans) * (1 if what is FOLDING else languages)
            costs[place, what] = costs.get((place, what), 0.0) + share
    done, shares = 0.0, dict.fromkeys(MENDED_BY, 0.0)
    for (place, what), amount in sorted(costs.items(), key=lambda each: (each[0][0].line, each[0][1])):
        shares[what] += amount
        if done <= MAX_WORK < done + amount:
            most = max(shares, key=lambda each: shares[each])
            yield finding("too-much", place, "up to here this is more to fold, to draw and to print than a "
                          f"box can need, most of it {most}", f"{MENDED_BY[most]}, or make tutorials of it")
        done += amount


def _costs(plan: Plan) -> Iterator[tuple[Span, str, float]]:
    """What each statement asks for, and of which kind."""
    for act in plan.acts:
        if act.kind.leaves_trace:
            yield act.span, PICTURES, NEW_LINE * (len(act.marks) + len(act.pieces))
    for step in sorted({act.step for act in plan.acts}):
        acts = [act for act in plan.acts_of(step) if act.kind.leaves_trace]
        for piece in sorted({piece for act in acts for piece in act.pieces}):
            yield acts[-1].span, PICTURES, SHOWN_LINE * _lines(plan, piece, step)
    for info in plan.pieces:
        state = plan.state(info.id)
        if state is None or info.is_ribbon:
            continue
        # of more pages there is no template
        pages = min(MAX_PAGES, ceil(state.width.value / PAGE_WIDTH) * ceil(state.height.value / PAGE_HEIGHT))
        yield info.span, TEMPLATES, PIECE + pages * (PAGE + LINE_ON_PAGE * _lines(plan, info.id))
        if state.folds:
            yield info.span, FOLDING, FOLDED_PIECE
        for fold in state.folds:
            yield fold.span, FOLDING, PANEL * len(fold.runs)


def _lines(plan: Plan, piece: int, after_step: int | None = None) -> int:
    state = plan.state(piece, after_step=after_step)
    if state is None:
        return 0
    return (len(state.outline) + sum(len(hole) for hole in state.holes)
            + sum(len(mark.runs) for mark in state.marks) + sum(len(fold.runs) for fold in state.folds))
