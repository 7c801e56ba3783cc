"""The finished size that a design states is that of its folded box.

Ribbons are long enough for their way through the holes, and for the bow where the author says what that takes.
"""
from __future__ import annotations

from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding import FoldedPiece, FoldedPlan, PieceDimensions
from generator.language.front_matter import FrontMatter
from generator.language.source.front_matter_values import BOW_RIBBON
from generator.paper.records import Plan
from generator.tutorial.folded_sizes import bulk, measured, size_text
from generator.tutorial.folded_values import ways
from generator.units import Quantity, as_text, word

AIR = 1.5           # mm; what a stated size may differ by for other reasons, and
LAYERS = 6          # thicknesses of the paper, since a size may be meant over all layers (common practice, no source)
THICK = 0.3         # mm; where no paper says its own
LEVEL = ("width", "depth")


def finish_findings(plan: Plan, done: FoldedPlan) -> Iterator[Finding]:
    """One for each stated side that lies outside of what the folded box measures in any such direction.

    Nothing is said of the height of several pieces, which lie in each other,
    nor of what folding does not know for certain.
    """
    known = [p for p in done.pieces if p.figures is not None and p.figures.whole and p.figures.settled]
    papers = [info for info in plan.pieces if not info.is_ribbon]
    if len(known) < len(papers) or not known:
        return
    slack = max(AIR, LAYERS * max(_thickness(info.paper) for info in papers))
    for side, size in plan.finish.items():
        if (side in LEVEL or len(papers) == 1) and not any(_holds(p.figures, side, float(size.value), slack) for p in known):
            yield _differs(plan, side, size, known[0])


def _holds(figures: PieceDimensions, side: str, mm: float, slack: float) -> bool:
    extents = figures.widths if side in LEVEL else figures.heights
    if figures.stands:
        return any(abs(extent - mm) <= slack for extent in extents)
    return extents[0] - slack <= mm <= extents[-1] + slack


def _thickness(paper: object) -> float:
    return float(paper.thickness.value) if paper is not None and paper.thickness is not None else THICK


def _differs(plan: Plan, side: str, stated: Quantity, piece: FoldedPiece) -> Finding:
    measures = size_text(bulk(piece.figures.size, plan.system), plan.system)
    return finding("finish-differs", plan.finish_at[side], f"the finished {side} is said to be {as_text(word(stated, plan.system))}, "
                   f"and folded '{piece.name}' measures {measures}", "look at the sum behind it, or at the folds")


def ribbon_findings(front: FrontMatter, plan: Plan, done: FoldedPlan) -> Iterator[Finding]:
    """A warning for each ribbon that is too short."""
    bow = front.bow[plan.system] if front.bow is not BOW_RIBBON else None      # the usual bow is no promise of the author's
    for number, mm in ways(done).items():
        act, way = plan.acts[number], measured(mm, plan.system)
        needed = way if bow is None else way + bow
        ribbon = act.detail.ribbon
        if ribbon is not None and ribbon.below(needed):
            given, least = (as_text(word(each, plan.system)) for each in (ribbon, needed))
            takes = f"its way through the holes takes {least}" + ("" if bow is None else " with the bow")
            yield finding("ribbon-short", act.span, f"this ribbon is {given} long, and {takes}", "take a longer one")
