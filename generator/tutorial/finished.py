"""The finished size that a design states is that of its folded box."""
from __future__ import annotations

from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding import FoldedPiece, FoldedPlan, PieceDimensions
from generator.paper.records import Plan
from generator.tutorial.contents import size_text
from generator.tutorial.figures import bulk
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
