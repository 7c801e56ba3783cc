"""Fold every piece of a plan and judge what comes of it."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import replace

import numpy as np

from generator.findings import Finding, Severity, finding, has_errors
from generator.folding.case import Case
from generator.folding.checks.closing import closing_findings
from generator.folding.checks.crowns import crown_findings, top_of
from generator.folding.checks.curves import curve_findings
from generator.folding.checks.domes import dome_facts, dome_findings
from generator.folding.checks.floors import floor_covered, floor_facts, floor_findings
from generator.folding.checks.holes import hole_findings
from generator.folding.checks.joints import joint_findings, joint_residuals
from generator.folding.checks.layers import layer_findings
from generator.folding.checks.lids import lid_facts, lid_findings
from generator.folding.checks.order import order_findings
from generator.folding.checks.piercing import piercing_findings
from generator.folding.checks.pouches import pouch_facts, pouch_figures, pouch_findings
from generator.folding.checks.rings import ring_findings
from generator.folding.checks.sleeves import sleeve_findings
from generator.folding.checks.slits import slit_findings
from generator.folding.checks.tabs import tab_findings
from generator.folding.closings import glued_pairs
from generator.folding.faces import flat_map
from generator.folding.figures import figures_of, ribbon_ways
from generator.folding.joints import Fitting, fittings
from generator.folding.linkage import linkage
from generator.folding.placing import placed_pieces
from generator.folding.records import MEET, FlatMap, Folded, FoldedPiece
from generator.folding.rigid import TOO_MANY, fold_piece
from generator.folding.solve import ALL_PANELS, Budget
from generator.folding.thin.dome import Cache, domed
from generator.folding.thin.pouch import bent, pouch_of, tube_of
from generator.folding.thin.recent import Recent
from generator.paper.records import Glue, PieceInfo, PieceState, Plan
from generator.paper.work_kinds import Effect

MOST_LINES = 3000   # strokes of one piece; beyond it nobody waits for the answer
MOST_PANELS = 400
RECENT = Recent()   # for whoever hands no cache in: the same box is folded again and again while it is worked on

OPEN = frozenset({"seam-open", "glue-apart", "folds-contradict", "crown-window"})     # what a box does not close with
ON_PAPER = (slit_findings, hole_findings, order_findings)
ON_THE_BOX = (closing_findings, tab_findings, ring_findings, floor_findings, layer_findings, piercing_findings, crown_findings,
              dome_findings, pouch_findings)


def fold(plan: Plan, cache: Cache | None = None) -> Folded:
    """Every piece folded, with what is wrong and what there is to tell. A plan that holds no fold gives no finding.

    What takes long is kept in ``cache``, a mapping that may outlive the program.
    """
    cases, findings, facts, budget = [], [], [], Budget()
    kept = RECENT if cache is None else cache
    for info in plan.pieces:
        state = plan.state(info.id)
        if info.is_ribbon or state is None or not state.folds:
            continue
        case, found = _case(plan, info, state, budget, kept)
        findings += found
        if case is not None:
            cases.append(case)
            facts += _facts(case, {f.code for f in found})
    findings += [*lid_findings(cases), *sleeve_findings(cases)]
    return _together(plan, cases, findings, (*facts, *lid_facts(cases)))


def _together(plan: Plan, cases: Sequence[Case], findings: Sequence[Finding], facts: Sequence[str]) -> Folded:
    """The pieces beside each other, with what is wrong where one is glued or seamed to another."""
    sound = [case for case in cases if case.folded.judged]
    joined = [*sound, *_sheets(plan, {case.info.id for case in cases})] if sound else []
    fits = fittings(plan, joined)
    placed = {piece.piece: piece for piece in placed_pieces(joined, fits)}
    pieces = tuple(placed.get(case.info.id, case.folded) for case in cases)
    return Folded(pieces, (*findings, *joint_findings(joined, fits)), (*facts, *_joined(joined, fits)),
                  tuple(placed[case.info.id] for case in joined[len(sound):]), joint_residuals(joined, fits))


def _sheets(plan: Plan, folded: Set[int]) -> Iterator[Case]:
    """Pieces that stay flat and are glued to one that does not: liners, base plates."""
    glued = {face.piece for act in plan.acts if isinstance(act.detail, Glue) for pair in glued_pairs(act.detail)
             for face in pair[:2] if pair[0].piece != pair[1].piece}
    for info in plan.pieces:
        state = plan.state(info.id)
        if info.id in glued - folded and state is not None and not state.folds and len(state.marks) <= MOST_PANELS:
            flat = flat_map(info, state)
            if not has_errors(flat.findings):
                yield Case(plan, info, state, replace(_flat_piece(info, flat), judged=True, why_not=""))


def _joined(cases: Sequence[Case], fits: Mapping[int, Fitting]) -> Iterator[str]:
    for fit in fits.values():
        if fit.meetings:
            far = max(r.gap for r in joint_residuals(cases, {fit.piece: fit}))
            yield f"'{cases[fit.piece].info.name}' fits what it is joined to within {far:.1f} mm"


def _case(plan: Plan, info: PieceInfo, state: PieceState, budget: Budget, kept: Cache) -> tuple[Case | None, list[Finding]]:
    lines = len(state.outline) + len(state.folds) + sum(len(mark.runs) for mark in state.marks)
    flat = flat_map(info, state) if lines <= MOST_LINES else None
    budget.panels -= len(flat.panels) if flat is not None else 0
    if flat is None or len(flat.panels) > MOST_PANELS or budget.panels < 0:
        return None, [_too_much(info, f"it has more than {MOST_PANELS} panels" if budget.panels >= 0 else
                                f"all pieces together have more than {ALL_PANELS} panels")]
    found = [f for f in flat.findings if f.code != "score-unfolded" or _is_closed(plan, info)]
    if has_errors(found):       # a piece in two parts, or with folds that end nowhere, has no shape to judge
        case = Case(plan, info, state, _flat_piece(info, flat))
        return case, [*found, *(f for check in ON_PAPER for f in check(case))]
    curves = curve_findings(plan, info, state)
    found += curves
    rigid = fold_piece(plan, info, state, flat, budget)
    case = Case(plan, info, state, rigid if curves else _pouch(plan, info, state, rigid) or _bent(plan, info, state, rigid, kept))
    found += [_too_much(info, TOO_MANY)] if case.folded.why_not == TOO_MANY else []
    found += [f for check in (*ON_PAPER, *ON_THE_BOX) for f in check(case)]
    top = top_of(case)
    figures = figures_of(case) if case.folded.pouch is None else pouch_figures(case.folded.pouch)
    return replace(case, folded=replace(case.folded, figures=figures, ways=ribbon_ways(case),
                                        tops=() if top is None else (top,))), found


def _pouch(plan: Plan, info: PieceInfo, state: PieceState, folded: FoldedPiece) -> FoldedPiece | None:
    """A piece that is a pouch, bent; None for any other."""
    tube = tube_of(plan, info, state) if folded.flat.soft_folds else None
    if tube is None:
        return None
    pouch = pouch_of(tube, state)
    skin = bent(tube, state, folded.flat) if pouch.steep <= 1 and not pouch.outward else None
    return replace(folded, judged=True, why_not="", pouch=pouch, skin=skin, placed=(False,) * len(folded.placed), residuals=(), loose=())


def _bent(plan: Plan, info: PieceInfo, state: PieceState, folded: FoldedPiece, kept: Cache) -> FoldedPiece:
    """A piece with what lies beside its curved folds bent, where that can be worked out."""
    if not folded.flat.soft_folds or not folded.judged or any(r.gap > MEET for r in folded.residuals):
        return folded
    made = domed(plan, info, state, folded, kept)
    return replace(folded, unbent=made) if isinstance(made, str) else replace(folded, skin=made[0], dome=made[1])


def _is_closed(plan: Plan, info: PieceInfo) -> bool:
    """Whether anything on a piece is glued, seamed or gathered; before that a design is not finished."""
    return any(act.effect in (Effect.GLUE, Effect.SEAM, Effect.GATHER) and info.id in act.pieces for act in plan.acts)


def _too_much(info: PieceInfo, why: str) -> Finding:
    return finding("too-much", info.span, f"'{info.name}' is not checked by folding: {why}",
                   "the page is made all the same; fewer folds, or angles that are said (by=…), would let it be checked",
                   Severity.WARNING)


def _flat_piece(info: PieceInfo, flat: FlatMap) -> FoldedPiece:
    link, angles = linkage(flat), np.zeros(len(flat.hinges))
    return FoldedPiece(info.id, info.name, flat, angles, link.frames(angles), tuple(bool(p) for p in link.placed),
                       judged=False, why_not="its lines must be mended first")


def _facts(case: Case, found: Set[str]) -> Iterator[str]:
    folded, name = case.folded, case.info.name
    if not folded.judged:
        yield f"'{name}' is not judged: {folded.why_not}"
        return
    yield f"'{name}' {_closes(case, bool(found & OPEN))}"
    if folded.flat.soft_folds and folded.skin is None:
        yield f"'{name}' has curved folds; what lies beside them is not judged, since it does not stay flat"
    yield from _tops(case)
    yield from _open_folds(case)
    yield from floor_facts(case)


def _tops(case: Case) -> Iterator[str]:
    for top in case.folded.tops:
        if top.closes:
            yield f"its top gathers to a point, with the gussets {'tucked in' if top.tucked else 'standing outside'}"
    yield from dome_facts(case)
    yield from pouch_facts(case)
    crowns = [top.crown for top in (*case.folded.tops, case.folded.dome) if top is not None and top.closes and top.tucked]
    for crown in crowns[:1]:
        yield f"on the way its gussets snap inward while the petals lean outward by about {max(round(np.degrees(crown.snap_angle)), 1)}°"


def _closes(case: Case, is_open: bool) -> str:
    gaps = {kind: max((r.gap for r in case.folded.residuals if r.kind in kinds), default=None) for kind, kinds in
            (("seams", ("seam", "edge", "gather")), ("glued faces", ("glue",)), ("folds", ("loop",)))}
    told = [f"{kind} within {gap:.1f} mm" for kind, gap in gaps.items() if gap is not None]
    if floor_covered(case):
        told.append("floor covered")
    return ("does not close" if is_open else "closes") + "".join(f"; {part}" for part in told)


def _open_folds(case: Case) -> Iterator[str]:
    rows: Sequence[int] = sorted({case.folded.flat.hinges[k].bend.span.line for k in case.folded.loose})
    if rows:
        which = ", ".join(map(str, rows))
        yield f"nothing settles the angle of every fold of line{'s' if len(rows) > 1 else ''} {which}; they are taken as " \
              "even as they can be (by=… would settle them)"
