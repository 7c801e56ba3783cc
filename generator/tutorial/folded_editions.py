"""Fold both editions, and check what the design states against the folded box.

The finished size, the length of ribbons (with the bow, where the author says what that takes), and what is
to go in.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, MutableMapping
from dataclasses import dataclass, field

from generator.findings import Finding, finding
from generator.folding import FoldedPlan, PieceDimensions, fold
from generator.language.evaluation.editions import merge_findings
from generator.language.front_matter import FrontMatter
from generator.language.source.front_matter_values import BOW_RIBBON, Contents
from generator.paper.records import Paper, Plan, Thread
from generator.tutorial.folded_sizes import (
    fits_inside,
    folded_length,
    inside_size,
    receiving_piece,
    size_text,
    solid_size,
    too_large_text,
)
from generator.tutorial.folded_values import ribbon_path_lengths
from generator.units import FrozenRecord, Quantity, as_text, display_measure

SIZE_SLACK = 1.5           # mm; what a stated size may differ by for other reasons, and
# thicknesses of the paper, since a size may be meant over all layers (common practice, no source)
SLACK_LAYERS = 6
USUAL_THICKNESS = 0.3         # mm; where no paper says its own
HORIZONTAL_SIDES = ("width", "depth")


def finish_findings(plan: Plan, folded: FoldedPlan) -> Iterator[Finding]:
    """One for each stated side that lies outside of what the folded box measures in any such direction.

    Nothing is said of the height of several pieces, which lie in each other,
    nor of what folding does not know for certain.
    """
    known = [(piece.name, figures) for piece in folded.pieces
             if (figures := piece.dimensions) is not None and figures.whole and figures.settled]
    papers = [info for info in plan.pieces if not info.is_ribbon]
    if len(known) < len(papers) or not known:
        return
    slack = max(SIZE_SLACK, SLACK_LAYERS * max(_thickness(info.paper) for info in papers))
    for side, size in plan.finish.items():
        judged = side in HORIZONTAL_SIDES or len(papers) == 1
        if judged and not any(_size_agrees(figures, side, float(size.value), slack) for _, figures in known):
            yield _size_finding(plan, side, size, *known[0])


def _size_agrees(figures: PieceDimensions, side: str, mm: float, slack: float) -> bool:
    extents = figures.widths if side in HORIZONTAL_SIDES else figures.heights
    if figures.stands_on_floor:
        return any(abs(extent - mm) <= slack for extent in extents)
    return extents[0] - slack <= mm <= extents[-1] + slack


def _thickness(paper: Paper | None) -> float:
    known = paper.thickness if paper is not None else None
    return float(known.value) if known is not None else USUAL_THICKNESS


def _size_finding(plan: Plan, side: str, stated: Quantity, name: str, figures: PieceDimensions) -> Finding:
    measures = size_text(solid_size(figures.size, plan.system), plan.system)
    return finding("finish-differs", plan.finish_at[side],
                   f"the finished {side} is said to be {as_text(display_measure(stated, plan.system))}, "
                   f"and folded '{name}' measures {measures}",
                   "look at the sum behind it, or at the folds")


def ribbon_findings(front: FrontMatter, plan: Plan, folded: FoldedPlan) -> Iterator[Finding]:
    """A warning for each ribbon that is too short."""
    # the usual bow is no promise of the author's
    bow = front.bow[plan.system] if front.bow is not BOW_RIBBON else None
    for number, mm in ribbon_path_lengths(folded).items():
        act, way = plan.acts[number], folded_length(mm, plan.system)
        needed = way if bow is None else way + bow
        ribbon = act.detail.ribbon if isinstance(act.detail, Thread) else None
        if ribbon is not None and ribbon.below(needed):
            given, least = (as_text(display_measure(each, plan.system)) for each in (ribbon, needed))
            takes = f"its way through the holes takes {least}" + ("" if bow is None else " with the bow")
            yield finding("ribbon-short", act.span, f"this ribbon is {given} long, and {takes}",
                          "take a longer one")


def content_findings(content: Contents | None, folded: FoldedPlan, system: str) -> Iterator[Finding]:
    """Where what the author means to put in does not go in, or where nobody can tell."""
    if content is None:
        return
    piece = receiving_piece(folded, content.piece)
    if piece is None or piece.dimensions is None:
        where = f"'{content.piece}'" if content.piece else "this box"
        yield finding("fold-unknown", content.span,
                      f"nothing is known of the inside of {where}, so nobody can tell whether "
                      f"{content.what} goes in",
                      "name a piece that is folded up round a floor, with piece:, or leave holds: out")
    elif not fits_inside(piece.dimensions, content.size):
        room = inside_size(piece.dimensions, system)
        assert room is not None     # a piece that receives has one
        yield finding("content-large", content.span,
                      *too_large_text(piece.name, room, content.size, system, content.what))


@dataclass(frozen=True, slots=True)
class FoldedEditions(FrozenRecord):
    """The folded box of every edition, by system; none where something is wrong with the plans."""

    plans: Mapping[str, FoldedPlan] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()


def fold_editions(front: FrontMatter, plans: Mapping[str, Plan],
                  cache: MutableMapping[str, bytes] | None = None) -> FoldedEditions:
    """Fold both editions; what takes long is kept in ``cache``. A finding of both is reported once."""
    done = {system: fold(plan, cache) for system, plan in plans.items()}
    drawn, other = ((system, box_findings(front, plans[system], done[system]))
                    for system in (front.drawn_in, front.other))
    return FoldedEditions(done, merge_findings(drawn, other))


def box_findings(front: FrontMatter, plan: Plan, folded: FoldedPlan) -> tuple[Finding, ...]:
    """What folding finds in one edition, and what is said of the box that is not so."""
    return (*folded.findings, *finish_findings(plan, folded),
            *content_findings(front.holds, folded, plan.system),
            *ribbon_findings(front, plan, folded))


def check_folded(front: FrontMatter, plan: Plan) -> tuple[Finding, ...]:
    """What folding finds in one plan: what regauging asks of each choice."""
    return box_findings(front, plan, fold(plan))
