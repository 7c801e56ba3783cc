"""Fold both editions, and check what the design states against the folded box.

The finished size, the length of ribbons (with the bow, where the author says what that takes), and what is
to go in.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, MutableMapping, Sequence
from functools import partial
from itertools import combinations

from generator.dataclass import dataclass, field, replace
from generator.findings import Finding, finding
from generator.folding import FoldedPiece, FoldedPlan, PieceDimensions, fold
from generator.folding.diagnosis import explained, wrong_angle_fold, wrong_way_fold
from generator.folding.piece_context import paper_thickness
from generator.geometry.tolerances import CLOSING_TOLERANCE
from generator.language.evaluation.editions import merge_findings
from generator.language.front_matter import FrontMatter
from generator.language.source.front_matter_values import BOW_RIBBON, Contents
from generator.paper.records import Plan, Thread
from generator.paper.work_kinds import Effect
from generator.tutorial.folded_sizes import (
    fits_inside,
    folded_length,
    receiving_piece,
    size_text,
    solid_size,
    too_large_text,
)
from generator.tutorial.folded_values import ribbon_path_lengths
from generator.units import FrozenRecord, Quantity, as_text, display_measure, distinct_texts, length, stored

SIZE_SLACK = 1.5           # mm; what a stated size may differ by for other reasons, and
# thicknesses of the paper, since a size may be meant over all layers (common practice, no source)
SLACK_LAYERS = 6
FLAT_LAYERS = 2           # … of paper that stays flat, as a base of board does
MAX_TAG_SHARE = 0.2       # of the paper that is folded
THICKEST_CARD = 1        # mm; card above is board, cut through and not scored (common practice, no source)
# mm beyond the way; two loops of 20 mm, two ends of 30 mm, and the knot (common practice, no source)
SHORTEST_TIE = 160
SHORTEST_LOOP = 60       # mm; a ribbon through one hole, doubled and knotted (common practice, no source)
MAX_PILED = 8            # pieces, of which any may stand on each other
HORIZONTAL_SIDES = ("width", "depth")


def finish_findings(plan: Plan, folded: FoldedPlan) -> Iterator[Finding]:
    """One for each stated side that lies outside of what the folded box measures in any such direction.

    Pieces lie in each other, so the box is as wide, deep and high as the largest of them, or higher where
    they stand on each other; paper that stays flat (a tag, a film) changes no size. Nothing is said of what
    folding does not know for certain.
    """
    known = [(piece.name, figures) for piece in folded.pieces
             if (figures := piece.dimensions) is not None and figures.whole and figures.settled
             and not (len(folded.pieces) > 1 and _is_tag(plan, piece, folded))]
    if len(known) < sum(not _is_tag(plan, piece, folded) for piece in folded.pieces) or not known:
        return
    bent = {piece.piece for piece in folded.pieces}
    slack = max(SIZE_SLACK, *((SLACK_LAYERS if info.id in bent else FLAT_LAYERS) * paper_thickness(info.paper)
                              for info in plan.pieces if not info.is_ribbon))
    stated = {side: float(size.value) for side, size in plan.finish.items()}
    high = [figures.size[2] for _, figures in known]
    if "height" in stated and any(
            abs(sum(pile) - stated["height"]) <= slack for count in range(2, len(high) + 1)
            for pile in combinations(high[:MAX_PILED], count)):
        del stated["height"]
    wrong = (_differing_sides(stated, known[0][1], slack) if len(known) == 1 else
             _differing_largest(stated, [figures for _, figures in known], slack))
    largest = max(known, key=lambda row: max(row[1].size))
    for side in plan.finish:
        if side in wrong:
            yield _size_finding(plan, side, plan.finish[side], *largest)


def _is_tag(plan: Plan, piece: FoldedPiece, folded: FoldedPlan) -> bool:
    """Whether a piece is small and joined to no other, and may fold as it likes."""
    areas = {each.piece: sum(panel.polygon.area for panel in each.flat.panels) for each in folded.pieces}
    joined = any(act.effect in (Effect.GLUE, Effect.SEAM) and piece.piece in act.pieces
                 and len(act.pieces) > 1 for act in plan.acts)
    return areas[piece.piece] <= MAX_TAG_SHARE * sum(areas.values()) and not joined


def _differing_sides(stated: Mapping[str, float], figures: PieceDimensions, slack: float) -> list[str]:
    """The stated sides that one folded piece does not have; it has its width and its depth once each."""
    wrong = [side for side, mm in stated.items() if not _size_agrees(figures, side, mm, slack)]
    level = [side for side in HORIZONTAL_SIDES if side in stated]
    if not wrong and len(level) == 2 and figures.stands_on_floor:
        across, deep, _ = figures.size
        if abs(stated[level[0]] - stated[level[1]]) <= slack < abs(across - deep) - slack:
            wrong.append(level[1])
    return wrong


def _size_agrees(figures: PieceDimensions, side: str, mm: float, slack: float) -> bool:
    extents = figures.widths if side in HORIZONTAL_SIDES else figures.heights
    if figures.stands_on_floor or min(figures.size) <= CLOSING_TOLERANCE:     # or it is folded flat
        return any(abs(extent - mm) <= slack for extent in extents)
    return extents[0] - slack <= mm <= extents[-1] + slack


def _differing_largest(stated: Mapping[str, float], pieces: Sequence[PieceDimensions],
                       slack: float) -> list[str]:
    """The stated sides that several pieces do not have: each is that of the largest, however it lies."""
    largest = [max(sides) for sides in zip(*(sorted(p.size, reverse=True) for p in pieces), strict=True)]
    if len(stated) < len(largest):
        return [side for side, mm in stated.items() if all(abs(mm - each) > slack for each in largest)]
    order = sorted(stated, key=lambda side: -stated[side])
    wrong = [side for side, mm in zip(order, largest, strict=True) if abs(stated[side] - mm) > slack]
    # the base of a tall box may be higher than it is deep, its lid not: level sides are then compared apart
    if not all(p.stands_on_floor for p in pieces):
        return wrong
    level = [max(sides) for sides in zip(*(sorted(p.size[:2], reverse=True) for p in pieces), strict=True)]
    order = sorted(HORIZONTAL_SIDES, key=lambda side: -stated[side])
    standing = {**dict(zip(order, level, strict=True)), "height": max(p.size[2] for p in pieces)}
    return [side for side in wrong if abs(stated[side] - standing[side]) > slack]


def _size_finding(plan: Plan, side: str, stated: Quantity, name: str, figures: PieceDimensions) -> Finding:
    size = solid_size(figures.size, plan.system)
    nearest = min((size.across, size.deep or size.across, size.high or size.across),
                  key=lambda each: abs(float(each) - float(stated)))
    text, near = distinct_texts((stated, nearest), plan.system)
    usual = text == as_text(display_measure(stated, plan.system))
    return finding("finish-differs", plan.finish_at[side],
                   f"the finished {side} is said to be {text}, and folded '{name}' measures "
                   f"{size_text(size, plan.system) if usual else f'{near} there'}",
                   "look at the sum behind it, or at the folds")


def ribbon_findings(front: FrontMatter, plan: Plan, folded: FoldedPlan) -> Iterator[Finding]:
    """A warning for each ribbon that is too short."""
    # the usual bow is no promise of the author's
    bow = front.bow[plan.system] if front.bow is not BOW_RIBBON else None
    for number, mm in ribbon_path_lengths(folded).items():
        act, way = plan.acts[number], folded_length(mm, plan.system)
        needed = way + (length(SHORTEST_TIE) if bow is None else bow)
        ribbon = act.detail.ribbon if isinstance(act.detail, Thread) else None
        if ribbon is not None and ribbon.below(needed):
            given, least = distinct_texts((ribbon, needed), plan.system)
            takes = (f"its way through the holes takes {least} with "
                     f"{'a small bow' if bow is None else 'the bow'}")
            yield finding("ribbon-short", act.span, f"this ribbon is {given} long, and {takes}",
                          "take a longer one")
    for act in plan.acts:
        detail = act.detail
        if isinstance(detail, Thread) and len(detail.marks) == 1 and detail.ribbon is not None \
                and detail.ribbon.below(length(SHORTEST_LOOP)):
            given, least = distinct_texts((detail.ribbon, length(SHORTEST_LOOP)), plan.system)
            yield finding("ribbon-short", act.span,
                          f"this ribbon is {given} long, and a loop with its knot takes {least}",
                          "take a longer one")
    yield from _tie_findings(plan, folded, length(SHORTEST_TIE) if bow is None else bow)


def _tie_findings(plan: Plan, folded: FoldedPlan, end: Quantity) -> Iterator[Finding]:
    """A warning for each ribbon that does not go round what it is tied round, and ``end`` for its bow.

    Of boxes that stand together each takes at least its shorter side of it.
    """
    for tie in plan.ties:
        sizes = [piece.dimensions.size for piece in folded.pieces
                 if piece.piece in tie.pieces and piece.dimensions is not None]
        if not sizes:
            continue
        wide, deep, high = (max(sides) for sides in zip(*sizes, strict=True))
        boxes = next(info.boxes for info in plan.pieces if info.id == tie.ribbon)
        way = (boxes * min(wide, deep) if boxes > 1 else
               2 * (wide + deep) + (4 * high if tie.crosswise else 0))
        needed, ribbon = folded_length(way, plan.system) + end, plan.final_state(tie.ribbon).width
        if ribbon.below(needed):
            given, least = distinct_texts((ribbon, needed), plan.system)
            yield finding("ribbon-short", tie.span,
                          f"this ribbon is {given} long, and once round with its bow takes {least}",
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
    elif not fits_inside(piece.dimensions, content.size, content.soft):
        yield finding("content-large", content.span,
                      *too_large_text(piece.name, piece.dimensions, content.size, system,
                                      content.what, content.soft))


@dataclass(frozen=True, slots=True)
class FoldedEditions(FrozenRecord):
    """The folded box of every edition, by system; none where something is wrong with the plans."""

    plans: Mapping[str, FoldedPlan] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()


def fold_editions(front: FrontMatter, plans: Mapping[str, Plan],
                  cache: MutableMapping[str, bytes] | None = None) -> FoldedEditions:
    """Fold both editions; what takes long is kept in ``cache``. A finding of both is reported once.

    Where one fold in the wrong direction explains what is found, that fold is named in place of it.
    """
    done = {system: fold(plan) if cache is None else
            stored(cache, _silent_fold, plan, keeps=_moves_with_text)(plan, cache)
            for system, plan in plans.items()}
    drawn = front.drawn_in
    found = {system: box_findings(front, plans[system], done[system]) for system in (drawn, front.other)}
    judge = partial(_judged, front)
    shapeless = _unknown_shapes(plans[drawn], done[drawn])
    cause = (wrong_way_fold(plans[drawn], [*found[drawn], *shapeless], lambda plan: judge(plan)[1])
             or wrong_angle_fold(plans[drawn], found[drawn], judge, done[drawn].tilts))
    if cause is not None:
        found = {system: explained(rows, cause) for system, rows in found.items()}
    return FoldedEditions(done, merge_findings(*found.items()))


def _silent_fold(plan: Plan, cache: MutableMapping[str, bytes]) -> FoldedPlan:
    """The folded plan without its facts: they quote lines of the source, and no page tells them."""
    return replace(fold(plan, cache), facts=())


def _moves_with_text(folded: FoldedPlan) -> bool:
    """Whether it stays true when what is written stands in other lines: findings may quote them."""
    return not folded.findings and not any(piece.flat.findings for piece in (*folded.pieces, *folded.sheets))


def board_findings(front: FrontMatter, plan: Plan) -> Iterator[Finding]:
    """One for each paper that is folded and too thick to fold along a score."""
    folded = {info.paper for info in plan.pieces
              if (state := plan.state(info.id)) is not None and state.folds and info.paper is not None}
    for paper in sorted(folded, key=lambda each: each.name):
        if paper_thickness(paper) > THICKEST_CARD:
            yield finding("board-thick", front.spans[paper.name],
                          f"'{paper.name}' is {paper_thickness(paper):g} mm thick: more than {THICKEST_CARD} "
                          "mm "
                          "is board, which breaks along a score",
                          "take a thinner card; board is cut apart and hinged with paper")


def _judged(front: FrontMatter, plan: Plan) -> tuple[FoldedPlan, tuple[Finding, ...]]:
    folded = fold(plan)
    return folded, (*box_findings(front, plan, folded), *_unknown_shapes(plan, folded))


def _unknown_shapes(plan: Plan, folded: FoldedPlan) -> Iterator[Finding]:
    """One for each piece beside whose curved folds the paper finds no shape: a sign that a fold is wrong."""
    for piece in folded.pieces:
        if piece.why_not_bent:
            yield finding("fold-unknown", plan.pieces[piece.piece].span, piece.why_not_bent)


def box_findings(front: FrontMatter, plan: Plan, folded: FoldedPlan) -> tuple[Finding, ...]:
    """What folding finds in one edition, and what is said of the box that is not so."""
    return (*folded.findings, *board_findings(front, plan), *finish_findings(plan, folded),
            *content_findings(front.holds, folded, plan.system), *ribbon_findings(front, plan, folded))


def check_folded(front: FrontMatter, plan: Plan) -> tuple[Finding, ...]:
    """What folding finds in one plan: what regauging asks of each choice."""
    return box_findings(front, plan, fold(plan))
