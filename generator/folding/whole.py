"""Fold every piece of a plan, judge what comes of it, and put the pieces beside each other as they belong.

What is glued together lies in its place, a lid over its base.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import replace

import numpy as np
import shapely

from generator.findings import Finding, Severity, finding, has_errors
from generator.folding.bending.domes import DomeCache, RecentAnswers, bent_top
from generator.folding.bending.pouch_plan import pouch_measures, pouch_plan
from generator.folding.bending.pouches import pouch_surface
from generator.folding.checks.assembly import (
    closing_findings,
    joint_findings,
    joint_residuals,
    order_findings,
)
from generator.folding.checks.closures import (
    band_findings,
    closing_tilts,
    closure_findings,
    loose_fold_findings,
    own_lid_findings,
    tuck_findings,
)
from generator.folding.checks.collisions import collision_findings
from generator.folding.checks.flat_layers import flat_layer_findings
from generator.folding.checks.flat_plan import curve_findings, slit_findings
from generator.folding.checks.floors_and_lids import (
    floor_covered,
    floor_facts,
    floor_findings,
    lid_facts,
    lid_findings,
    sleeve_findings,
)
from generator.folding.checks.inserts import insert_findings
from generator.folding.checks.layer_orders import layer_findings, layer_order_findings
from generator.folding.checks.openings import (
    covering_findings,
    fold_clearance_findings,
    hole_findings,
    layer_agreement_findings,
)
from generator.folding.checks.tabs_and_rings import ring_findings, tab_findings
from generator.folding.checks.threading import hole_behind_findings, threading_findings
from generator.folding.checks.tops_and_pouches import (
    crown_findings,
    dome_facts,
    dome_findings,
    pouch_facts,
    pouch_findings,
    ungathered_findings,
)
from generator.folding.checks.tucked_corners import tucked_corner_findings
from generator.folding.closing_solver import MAX_PLAN_PANELS, WorkBudget
from generator.folding.closings import glued_pairs
from generator.folding.dimensions import dimensions_of, pouch_dimensions
from generator.folding.features.joints import PiecePlacement
from generator.folding.features.lids import lid_pairs
from generator.folding.features.placements import piece_placements
from generator.folding.features.ribbons import ribbon_lengths
from generator.folding.features.tops import top_of
from generator.folding.kinematics import linkage
from generator.folding.piece_context import PieceContext
from generator.folding.planar_map import flat_map
from generator.folding.records import FlatMap, FoldedPiece, FoldedPlan
from generator.folding.rigid_folding import TOO_MANY, fold_piece
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import CLOSING_TOLERANCE, EQUAL_LENGTHS
from generator.paper.records import Glue, PieceInfo, PieceState, Plan
from generator.paper.work_kinds import Effect


def placed_pieces(contexts: Sequence[PieceContext], fits: Mapping[int, PiecePlacement]) -> list[FoldedPiece]:
    """Folded pieces in place: glued ones where they are held, lids on their bases, others as they are."""
    result = {context.info.id: _placed_piece(context, fits.get(k)) for k, context in enumerate(contexts)}
    for lid, base in lid_pairs(contexts):
        if fits.get(next(k for k, c in enumerate(contexts) if c
                         is lid)) is None or not _is_joined(contexts, fits, lid):
            result[lid.info.id] = replace(result[lid.info.id],
                                        placement=result[base.info.id].placement @ _lid_motion(lid, base))
    return [result[context.info.id] for context in contexts]


def _is_joined(contexts: Sequence[PieceContext], fits: Mapping[int, PiecePlacement],
               context: PieceContext) -> bool:
    fit = next((f for k, f in fits.items() if contexts[k] is context), None)
    return fit is not None and bool(fit.meetings or fit.plates)


def _placed_piece(context: PieceContext, fit: PiecePlacement | None) -> FoldedPiece:
    if fit is None:
        return context.folded
    folded = replace(context.folded, placement=fit.placement)
    if fit.angles is None:
        return folded
    return replace(folded, angles=fit.angles, frames=context.link.frames(context.signs * fit.angles))


def _lid_motion(lid: PieceContext, base: PieceContext) -> FloatArray:
    """The motion that brings a lid upside down onto the rim of its base, long side along long side."""
    floor, height = _floor_frame(base)
    roof, _ = _floor_frame(lid)
    flip = np.diag((1.0, -1.0, -1.0, 1.0))
    lift = np.eye(4)
    lift[2, 3] = height + (lid.thickness + base.thickness) / 2
    return floor @ lift @ flip @ np.linalg.inv(roof)


def _floor_frame(context: PieceContext) -> tuple[FloatArray, float]:
    """A frame (4 × 4) in the floor's middle, x along its longer side, z up the walls; their height (mm)."""
    folded, root = context.folded, context.link.root
    frame, panel = folded.frames[root], folded.flat.panels[root].polygon
    points = np.concatenate([folded.corners(k) for k in range(len(folded.flat.panels))
                             if context.is_rigid(k)])
    middle = np.array((*shapely.box(*panel.bounds).centroid.coords[0], 0.0, 1.0))
    up = frame[:3, 2]
    rise = (points - (frame @ middle)[:3]) @ up
    up = up if rise.max() >= -rise.min() - EQUAL_LENGTHS else -up
    wide, high = np.ptp(shapely.get_coordinates(panel), axis=0)
    x = frame[:3, 0] if wide >= high else frame[:3, 1]
    result = np.eye(4)
    result[:3, :3] = np.stack([x, np.cross(up, x), up], axis=1)
    result[:3, 3] = (frame @ middle)[:3]
    return result, float(np.abs(rise).max())


MAX_STROKES = 3000   # strokes of one piece; beyond it nobody waits for the answer
MAX_PANELS = 400
# for whoever hands no cache in: the same box is folded again and again while it is worked on
RECENT_DOMES = RecentAnswers()

# what a box does not close with
OPEN_CODES = frozenset({"seam-open", "glue-apart", "folds-contradict", "crown-window"})
FLAT_CHECKS = (slit_findings, hole_findings, fold_clearance_findings, order_findings)
FOLDED_CHECKS = (closing_findings, tab_findings, ring_findings, floor_findings, layer_findings,
                 flat_layer_findings, layer_order_findings, layer_agreement_findings, own_lid_findings,
                 tuck_findings, tucked_corner_findings,
                 threading_findings, collision_findings, crown_findings, dome_findings, ungathered_findings,
                 pouch_findings, loose_fold_findings, hole_behind_findings)


def fold(plan: Plan, cache: DomeCache | None = None) -> FoldedPlan:
    """Every piece folded, with findings and facts; what takes long is stored in ``cache``.

    A plan that holds no fold gives no finding. The cache is a mapping that may outlive the program.
    """
    contexts: list[PieceContext] = []
    findings: list[Finding] = []
    facts: list[str] = []
    budget = WorkBudget()
    cache = RECENT_DOMES if cache is None else cache
    for info in plan.pieces:
        state = plan.state(info.id)
        if info.is_ribbon or state is None or not state.folds:
            continue
        context, found = _folded_context(plan, info, state, budget, cache)
        findings += found
        if context is not None:
            contexts.append(context)
            facts += _piece_facts(context, {f.code for f in found})
    if contexts:
        findings += [*_flat_hole_findings(plan), *covering_findings(plan), *band_findings(contexts),
                     *lid_findings(contexts), *sleeve_findings(contexts)]
    findings += insert_findings(plan, contexts)
    return _assembled(plan, contexts, findings, (*facts, *lid_facts(contexts)))


def _flat_hole_findings(plan: Plan) -> Iterator[Finding]:
    """What is wrong with holes in paper that is never folded, such as tags."""
    for info in plan.pieces:
        state = plan.state(info.id)
        if (state is not None and not info.is_ribbon and not state.folds and len(state.marks) <= MAX_PANELS
                and any(mark.kind.is_hole for mark in state.marks)):
            flat = flat_map(info, state)
            yield from hole_findings(PieceContext(plan, info, state, _flat_piece(info, flat)))


def _assembled(plan: Plan, contexts: Sequence[PieceContext], findings: Sequence[Finding],
               facts: Sequence[str]) -> FoldedPlan:
    """The pieces beside each other, with what is wrong where one is glued or seamed to another."""
    sound = [context for context in contexts if context.folded.judged]
    joined = [*sound, *_glued_flat_pieces(plan, {context.info.id for context in contexts})] if sound else []
    fits = piece_placements(plan, joined)
    placed = {piece.piece: piece for piece in placed_pieces(joined, fits)}
    pieces = tuple(placed.get(context.info.id, context.folded) for context in contexts)
    return FoldedPlan(pieces, (*findings, *joint_findings(joined, fits),
                              *closure_findings(plan, joined, placed)),
                      (*facts, *_joint_facts(joined, fits)),
                      tuple(placed[context.info.id] for context in joined[len(sound):]),
                      joint_residuals(joined, fits), closing_tilts(plan, joined, placed))


def _glued_flat_pieces(plan: Plan, folded: Set[int]) -> Iterator[PieceContext]:
    """Pieces that stay flat and are glued to one that does not: liners, base plates."""
    glued = {face.piece for act in plan.acts if isinstance(act.detail, Glue)
             for pair in glued_pairs(act.detail)
             for face in pair[:2] if pair[0].piece != pair[1].piece}
    for info in plan.pieces:
        state = plan.state(info.id)
        if (info.id in glued - folded and state is not None and not state.folds
            and len(state.marks) <= MAX_PANELS):
            flat = flat_map(info, state)
            if not has_errors(flat.findings):
                yield PieceContext(plan, info, state,
                                   replace(_flat_piece(info, flat), judged=True, why_not_judged=""))


def _joint_facts(contexts: Sequence[PieceContext], fits: Mapping[int, PiecePlacement]) -> Iterator[str]:
    for fit in fits.values():
        if fit.meetings:
            far = max(r.gap for r in joint_residuals(contexts, {fit.piece: fit}))
            yield f"'{contexts[fit.piece].info.name}' fits what it is joined to within {far:.1f} mm"


def _folded_context(plan: Plan, info: PieceInfo, state: PieceState, budget: WorkBudget,
                    cache: DomeCache) -> tuple[PieceContext | None, list[Finding]]:
    lines = len(state.outline) + len(state.folds) + sum(len(mark.runs) for mark in state.marks)
    flat = flat_map(info, state) if lines <= MAX_STROKES else None
    budget.panels -= len(flat.panels) if flat is not None else 0
    if flat is None or len(flat.panels) > MAX_PANELS or budget.panels < 0:
        return None, [_too_much(info, f"it has more than {MAX_PANELS} panels" if budget.panels >= 0 else
                                f"all pieces together have more than {MAX_PLAN_PANELS} panels")]
    found = [f for f in flat.findings if f.code != "score-unfolded" or _has_joints(plan, info)]
    if has_errors(found):       # a piece in two parts, or with folds that end nowhere, has no shape to judge
        context = PieceContext(plan, info, state, _flat_piece(info, flat))
        return context, [*found, *(f for check in FLAT_CHECKS for f in check(context))]
    curves = curve_findings(plan, state)
    found += curves
    rigid = fold_piece(plan, info, state, flat, budget)
    context = PieceContext(plan, info, state, rigid if curves else _bent_pouch(plan, info, state, rigid)
                           or _bent_top(plan, info, state, rigid, cache))
    found += [_too_much(info, TOO_MANY)] if context.folded.why_not_judged == TOO_MANY else []
    found += [f for check in (*FLAT_CHECKS, *FOLDED_CHECKS) for f in check(context)]
    if any(f.code == "glue-own" for f in found):    # it alone lays the panels flat that then find no order
        found = [f for f in found if f.code != "flat-layers"]
    top = top_of(context)
    dimensions = dimensions_of(context) if context.folded.pouch is None else pouch_dimensions(
        context.folded.pouch)
    return replace(context, folded=replace(context.folded, dimensions=dimensions,
                                           ribbon_lengths=ribbon_lengths(context),
                                           tops=() if top is None else (top,))), found


def _bent_pouch(plan: Plan, info: PieceInfo, state: PieceState, folded: FoldedPiece) -> FoldedPiece | None:
    """A piece that is a pouch, bent; None for any other."""
    tube = pouch_plan(plan, info, state) if folded.flat.soft_folds else None
    if tube is None:
        return None
    pouch = pouch_measures(tube, state)
    surface = pouch_surface(tube, state, folded.flat) if pouch.steep <= 1 and not pouch.outward else None
    return replace(folded, judged=True, why_not_judged="", pouch=pouch, surface=surface,
                   placed=(False,) * len(folded.placed), residuals=(), undetermined=())


def _bent_top(plan: Plan, info: PieceInfo, state: PieceState, folded: FoldedPiece,
              cache: DomeCache) -> FoldedPiece:
    """A piece with what lies beside its curved folds bent, where that can be worked out."""
    if not folded.flat.soft_folds or not folded.judged or any(r.gap > CLOSING_TOLERANCE
                                                              for r in folded.residuals):
        return folded
    result = bent_top(plan, info, state, folded, cache)
    if isinstance(result, str):
        return replace(folded, why_not_bent=result)
    return replace(folded, surface=result[0], dome=result[1])


def _has_joints(plan: Plan, info: PieceInfo) -> bool:
    """Whether anything on a piece is glued, seamed or gathered; before that a design is not finished."""
    return any(act.effect in (Effect.GLUE, Effect.SEAM, Effect.GATHER) and info.id in act.pieces
               for act in plan.acts)


def _too_much(info: PieceInfo, why: str) -> Finding:
    return finding("too-much", info.span, f"'{info.name}' is not checked by folding: {why}",
                   "the page is made all the same; fewer folds, or angles that are said (by=…), would let "
                   "it be checked", Severity.WARNING)


def _flat_piece(info: PieceInfo, flat: FlatMap) -> FoldedPiece:
    link, angles = linkage(flat), np.zeros(len(flat.hinges))
    return FoldedPiece(info.id, info.name, flat, angles, link.frames(angles),
                       tuple(bool(p) for p in link.placed),
                       judged=False, why_not_judged="its lines must be mended first")


def _piece_facts(context: PieceContext, found: Set[str]) -> Iterator[str]:
    folded, name = context.folded, context.info.name
    if not folded.judged:
        yield f"'{name}' is not judged: {folded.why_not_judged}"
        return
    yield f"'{name}' {_closing_fact(context, bool(found & OPEN_CODES))}"
    if folded.flat.soft_folds and folded.surface is None:
        yield f"'{name}' has curved folds; what lies beside them is not judged, since it does not stay flat"
    yield from _top_facts(context)
    yield from _undetermined_facts(context)
    yield from floor_facts(context)


def _top_facts(context: PieceContext) -> Iterator[str]:
    for top in context.folded.tops:
        if top.closes:
            yield (f"its top gathers to a point, with the gussets "
                   f"{'tucked in' if top.tucked else 'standing outside'}")
    yield from dome_facts(context)
    yield from pouch_facts(context)
    crowns = [top.crown for top in (*context.folded.tops, context.folded.dome) if top is not None
              and top.closes
              and top.tucked]
    for crown in crowns[:1]:
        yield (f"on the way its gussets snap inward while the petals lean outward by about "
               f"{max(round(np.degrees(crown.snap_angle)), 1)}°")


def _closing_fact(context: PieceContext, is_open: bool) -> str:
    gaps = {kind: max((r.gap for r in context.folded.residuals if r.kind in kinds), default=None) for kind,
            kinds in
            (("seams", ("seam", "edge", "gather")), ("glued faces", ("glue",)), ("folds", ("loop",)))}
    parts = [f"{kind} within {gap:.1f} mm" for kind, gap in gaps.items() if gap is not None]
    if floor_covered(context):
        parts.append("floor covered")
    return ("does not close" if is_open else "closes") + "".join(f"; {part}" for part in parts)


def _undetermined_facts(context: PieceContext) -> Iterator[str]:
    rows: Sequence[int] = sorted({context.folded.flat.hinges[k].bend.span.line
                                  for k in context.folded.undetermined})
    if rows:
        which = ", ".join(map(str, rows))
        yield (f"nothing settles the angle of every fold of line{'s' if len(rows) > 1 else ''} {which}; "
               "they are taken as even as they can be (by=… would settle them)")
