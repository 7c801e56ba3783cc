"""Closing and assembly: seams meet, glued faces reach their targets, folds and the order of steps agree.

Three questions: whether one piece closes; whether pieces that are glued or seamed to each other fit; and
whether the order of the steps is possible, nothing scored once it is glued, no glued joint folded later.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from generator.findings import Finding, finding
from generator.folding.closings import face_polygon
from generator.folding.features.joints import EdgeMeeting, GluedJoint, PiecePlacement
from generator.folding.features.placements import face_over_target, plate_ground
from generator.folding.features.tabs_and_rings import opening_below, overhang
from generator.folding.piece_context import PieceContext
from generator.folding.planar_map import piece_polygon
from generator.folding.records import Residual
from generator.folding.rigid_folding import MIN_FOLD_ANGLE, overlap_share, parallel_ring
from generator.geometry.arrays import FloatArray
from generator.geometry.noding import DisjointSets
from generator.geometry.tolerances import (
    CLOSING_TOLERANCE,
    EQUAL_LENGTHS,
    FLAT_FOLD_ANGLE,
    MAX_EASE,
    MAX_LINER_OVERHANG,
    MAX_OVERHANG,
    MAX_PRESS_FIT,
    WITHIN_PANEL_SHARE,
)
from generator.paper.records import Act, Band, Glue
from generator.paper.work_kinds import Effect

ECHO_SHARE = 0.5     # of the largest gap: smaller ones are its echo, since least squares share a misfit out
CODE_OF_CLOSING = {"seam": "seam-open", "edge": "seam-open", "glue": "glue-apart", "loop": "folds-contradict"}
MIN_COVER_SHARE = 0.1             # of the smaller panel; less of it does not hide the other


def closing_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each statement whose edges or faces stay apart by more than 0.1 mm."""
    if not context.folded.judged:
        return
    worst: dict[tuple[str, int], Residual] = {}
    for residual in context.folded.residuals:
        if residual.kind in CODE_OF_CLOSING:
            key = CODE_OF_CLOSING[residual.kind], residual.act
            if key not in worst or residual.gap > worst[key].gap + EQUAL_LENGTHS:
                worst[key] = residual
    most = max((r.gap for r in worst.values()), default=0.0)
    for (code, _), residual in sorted(worst.items(), key=lambda item: item[0][1]):
        if residual.gap > max(CLOSING_TOLERANCE, ECHO_SHARE * most + EQUAL_LENGTHS):
            yield _closing_finding(context, code, residual)
    if most <= CLOSING_TOLERANCE:
        yield from _unfolded_findings(context)


def _unfolded_findings(context: PieceContext) -> Iterator[Finding]:
    """Folds that must stay flat for the rest to close: one finding for each statement."""
    flat = {h.bend.act: h.bend for h in context.folded.flat.hinges
            if context.folded.angles[h.id] < MIN_FOLD_ANGLE
            and context.is_rigid(h.left) and context.is_rigid(h.right)}
    for bend in flat.values():
        yield finding("folds-contradict", bend.span,
                      "for all else to close, some of these folds would have to stay flat",
                      "look at the directions of all folds round them: mountain and valley may be exchanged")


def _closing_finding(context: PieceContext, code: str, residual: Residual) -> Finding:
    gap = context.length_text(residual.gap)
    if code == "seam-open":
        which = f"pair {residual.index}" if residual.kind == "seam" else f"tab {residual.index}"
        return finding(code, residual.span, f"folded, the edges of {which} stay {gap} apart",
                       "look at the panels between them: one is too long, too short, or folded too far")
    if code == "glue-apart":
        return finding(code, residual.span,
                       f"folded, face {residual.index} stays {gap} away from what it is glued to",
                       "look at the angles of the folds between them, and at the panels' lengths")
    return finding(code, residual.span,
                   f"these folds cannot all be made at once; the paper would be torn by {gap}",
                   "look at the directions and angles of all folds that meet in a point")


RankedFinding = tuple[Finding, float]


def joint_residuals(contexts: Sequence[PieceContext],
                    fits: Mapping[int, PiecePlacement]) -> tuple[Residual, ...]:
    """How far each edge that joins two pieces is from where it belongs, in mm."""
    return tuple(Residual("joint", m.act.number, m.index,
                          float(np.linalg.norm(_edge_offset(contexts, fit, m)[0])), 0.0, m.act.span)
                 for fit in fits.values() for m in fit.meetings)


def joint_findings(contexts: Sequence[PieceContext], fits: Mapping[int, PiecePlacement]) -> Iterator[Finding]:
    """The worst finding of each statement that joins two pieces."""
    worst: dict[tuple[str, int], RankedFinding] = {}
    for fit in fits.values():
        rows = [*_edge_findings(contexts, fit), *_tab_findings(contexts, fits, fit),
                *_plate_findings(contexts, fits, fit)]
        for found, far in rows:
            key = found.code, found.span.line
            if key not in worst or far > worst[key][1] + EQUAL_LENGTHS:
                worst[key] = found, far
    yield from (found for found, _ in worst.values())


def _edge_offset(contexts: Sequence[PieceContext], fit: PiecePlacement,
                 m: EdgeMeeting) -> tuple[FloatArray, bool]:
    """From an edge's middle to where it belongs, across it; and whether it reaches too far."""
    mine = m.mine @ fit.placement[:3, :3].T + fit.placement[:3, 3]
    along = (m.theirs[1] - m.theirs[0]) / np.linalg.norm(m.theirs[1] - m.theirs[0])
    apart = mine.mean(axis=0) - m.theirs.mean(axis=0)
    across = apart if m.ordered else apart - (apart @ along) * along
    context = contexts[fit.piece]
    middle = np.concatenate([context.folded.corners(k) for k in range(len(context.folded.flat.panels))
                             if context.is_rigid(k)]).mean(axis=0)
    centre = fit.placement[:3, :3] @ middle + fit.placement[:3, 3]
    return across, bool(across @ (m.theirs.mean(axis=0) - centre) > 0)


def _edge_findings(contexts: Sequence[PieceContext], fit: PiecePlacement) -> Iterator[RankedFinding]:
    context = contexts[fit.piece]
    for m in fit.meetings:
        across, outside = _edge_offset(contexts, fit, m)
        far = float(np.linalg.norm(across))
        if m.joint is None and far > MAX_PRESS_FIT:
            yield finding("seam-open", m.act.span,
                          f"put together, the edges of pair {m.index} stay {context.length_text(far)} apart",
                          "look at the panels of both pieces: one is too long or too short"), far
        elif m.joint is not None and far > (MAX_PRESS_FIT if outside else MAX_EASE):
            how = "too large for" if outside else "too small for"
            yield finding("glue-apart", m.act.span,
                          f"'{context.info.name}' is {how} what it is glued to: at face {m.index} it "
                          f"stands {context.length_text(far)} {'beyond' if outside else 'short of'} the edge",
                          f"make '{context.info.name}' {'smaller' if outside else 'larger'}; half a "
                          f"millimetre of ease is enough"), far


def _tab_findings(contexts: Sequence[PieceContext], fits: Mapping[int, PiecePlacement],
                  fit: PiecePlacement) -> Iterator[RankedFinding]:
    """Tabs that do not lie along what they are glued to, or reach beyond it."""
    context = contexts[fit.piece]
    for m in fit.meetings:
        if m.joint is None:
            continue
        shape, height = face_over_target(contexts, fits, fit, m.joint)
        panel = contexts[m.joint.other].folded.flat.panels[m.joint.target_panel].polygon
        off = float(np.abs(height - height.mean()).max())
        if off > MAX_OVERHANG:
            yield finding("glue-apart", m.act.span,
                          f"face {m.index} of '{context.info.name}' does not lie along what it is glued to: "
                          f"its end stands {context.length_text(2 * off)} away",
                          "look at the angle of its fold"), off
        elif (far := overhang(shape, panel)) > MAX_OVERHANG:
            yield finding("tab-sticks-out", m.act.span,
                          f"face {m.index} of '{context.info.name}' reaches {context.length_text(far)} "
                          "beyond the panel it is glued to", "make it smaller, or taper its ends"), far


def _plate_findings(contexts: Sequence[PieceContext], fits: Mapping[int, PiecePlacement],
                    fit: PiecePlacement) -> Iterator[RankedFinding]:
    """Liners and base plates that reach beyond what they lie on."""
    context = contexts[fit.piece]
    for joint in fit.plates if not fit.meetings else ():
        shape, _ = face_over_target(contexts, fits, fit, joint)
        ground = _plate_area(contexts[joint.other], joint, fit.plates)
        far = overhang(shape, ground)
        if far > MAX_LINER_OVERHANG and (opened := opening_below(contexts[joint.other], ground, shape)):
            yield finding("tab-sticks-out", opened,
                          f"'{context.info.name}' reaches {context.length_text(far)} into this opening",
                          "move the opening away from where it is glued, or make the other smaller"), far
        elif far > MAX_LINER_OVERHANG:
            yield finding("tab-sticks-out", joint.act.span,
                          f"'{context.info.name}' reaches {context.length_text(far)} beyond what it is "
                          "glued to",
                          "make it smaller; a border of a millimetre or two keeps it clear of the folds"), far


def _plate_area(host: PieceContext, joint: GluedJoint, plates: Sequence[GluedJoint]) -> BaseGeometry:
    """Where a plate may lie: a floor, its target's panel, or all the paper if the target is larger."""
    ground = plate_ground(host, joint, plates)
    target = face_polygon(joint.target)
    # a film lies over its window
    panel = Polygon(host.folded.flat.panels[joint.target_panel].polygon.exterior)
    if not ground.equals(target):
        return ground
    return (panel if target.intersection(panel).area >= WITHIN_PANEL_SHARE * target.area
            else piece_polygon(host.state))


def order_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each statement that comes too late."""
    first = min((each.act.number for each in context.glued if each.panel != each.target_panel), default=None)
    yield from _scored_when_folded(context, first)
    if first is None:
        return
    glued = context.act(first)
    for act in context.plan.acts:
        if act.number < first and act.effect is not Effect.GATHER:
            continue
        if context.info.id in act.pieces and act.kind.at_board:
            yield finding("step-order", act.span,
                          f"this {act.verb} comes after the glue of line {glued.span.line}, when "
                          f"'{context.info.name}' no longer lies flat",
                          f"{act.verb} before anything is glued")
        elif (ring := _ring_closed_later(context, act)) is not None:
            yield finding("step-order", act.span,
                          f"this comes before the glue of line {ring.span.line}, which closes the ring of "
                          "panels that it needs", "close the ring first")
        elif isinstance(act.detail, Band) and (bend := _folded_after(context, act)) is not None:
            yield finding("step-order", act.span,
                          f"this band goes round before the fold of line {bend.span.line}, which brings the "
                          "faces to their places", "fold before you put the band round")
        elif act.effect is Effect.THREAD and (gathered := _gathered_before(context, act)) is not None:
            yield finding("step-order", gathered.span,
                          f"this gathers before line {act.span.line} threads the ribbon that pulls it "
                          "together",
                          "thread the ribbon first")
        elif (joint := _glue_covering_target(context, act)) is not None:
            yield finding("step-order", act.span,
                          f"what this is glued to lies behind what line {joint.span.line} has glued down "
                          "already",
                          "glue this before the flaps are closed over it")
        elif act.effect is Effect.FOLD and (joint := _glue_holding_fold(context, act)) is not None:
            yield finding("step-order", act.span,
                          f"this fold comes after the glue of line {joint.span.line}, which holds both "
                          "sides of it", "fold before you glue")
        elif act.effect is Effect.FOLD and (joint := _glue_before_fold(context, act)) is not None:
            yield finding("step-order", act.span,
                          f"this fold comes after the glue of line {joint.span.line}, and what is glued "
                          "there meets only once it is made", "fold before you glue")


def _scored_when_folded(context: PieceContext, glued: int | None) -> Iterator[Finding]:
    """Scores on a piece that is folded already, made before act number ``glued``; scissors still cut it."""
    own = [act for act in context.plan.acts[:glued] if context.info.id in act.pieces]
    bent = next((act for act in own if act.effect is Effect.FOLD), None)
    scored = {mark.act for mark in context.state.marks if mark.kind.folds}
    for act in own:
        if bent and act.kind.at_board and act.number > bent.number and act.number in scored:
            yield finding("step-order", act.span,
                          f"this {act.verb} comes after the fold of line {bent.span.line}, when "
                          f"'{context.info.name}' no longer lies flat",
                          f"{act.verb} before anything is folded")


def _folded_after(context: PieceContext, act: Act) -> Act | None:
    """The last fold after this act, of a piece round whose faces a band goes."""
    assert isinstance(act.detail, Band)
    if not any(face.piece == context.info.id for face in act.detail.faces):
        return None
    return next((each for each in reversed(context.plan.acts) if each.number > act.number
                 and each.effect is Effect.FOLD and context.info.id in each.pieces), None)


def _gathered_before(context: PieceContext, act: Act) -> Act | None:
    """The gathering of this piece by a ribbon that goes through its holes only in this later act."""
    return next((each for each in context.plan.acts if each.number < act.number
                 and each.effect is Effect.GATHER and each.pieces[:1] == (context.info.id,)
                 and set(each.pieces[1:]) <= set(act.pieces)), None)


def _ring_closed_later(context: PieceContext, act: Act) -> Act | None:
    """The glue that closes a ring of panels only after this gathers its top or closes a floor of it."""
    floor = (isinstance(act.detail, Glue) and not act.detail.target and len(act.detail.faces) > 2
             and act.detail.faces[0].piece == context.info.id)
    if not floor and not (act.effect is Effect.GATHER and act.pieces[:1] == (context.info.id,)):
        return None
    return next((each.act for each in context.glued if each.act.number > act.number and each.paired
                 and each.panel != each.target_panel and parallel_ring(context.link, each) is not None), None)


def _glue_covering_target(context: PieceContext, act: Act) -> Act | None:
    """The glue that holds flaps down flat over what another piece is glued to by this act."""
    if not isinstance(act.detail,
                      Glue) or act.detail.faces[0].piece == context.info.id or not context.closes():
        return None
    flat, frames = context.folded.flat, context.folded.frames
    down = {k for h in flat.hinges if context.folded.angles[h.id] > FLAT_FOLD_ANGLE
            for k in (h.left, h.right)}
    for target in act.detail.target:
        if target.piece != context.info.id:
            continue
        own = context.locator.panel(target)
        for each in context.glued:
            if each.act.number < act.number and own in down:
                for k in {each.panel, each.target_panel} & down - {own}:
                    if overlap_share(flat, frames, k, own) > MIN_COVER_SHARE:
                        return each.act
    return None


def _glue_before_fold(context: PieceContext, act: Act) -> Act | None:
    """The glue whose faces lie apart until this act folds.

    A ring of parallel folds can be glued flat and opened later.
    """
    new = {h.id for h in context.folded.flat.hinges if h.bends[0].act == act.number}
    for each in context.glued:
        way = set(np.flatnonzero(context.link.paths[each.panel] ^ context.link.paths[each.target_panel]))
        if (each.paired and each.act.number < act.number and new & way
            and parallel_ring(context.link, each) is None):
            return each.act
    return None


def _glue_holding_fold(context: PieceContext, act: Act) -> Act | None:
    """The glue that already holds both panels of a hinge that this act folds for the first time."""
    sets, last = DisjointSets(len(context.folded.flat.panels)), None
    for each in context.glued:
        if each.act.number < act.number:
            sets.join(each.panel, each.target_panel)
            last = each.act
    for hinge in context.folded.flat.hinges:
        if hinge.bends[0].act == act.number and sets.root(hinge.left) == sets.root(hinge.right):
            return last
    return None
