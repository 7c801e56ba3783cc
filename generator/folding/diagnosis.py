"""Which fold is to blame when a box does not close: try each of them the other way round.

What does not close shows at the glue, at the stated size or at the contents, far from the fold that is wrong.
Folding is quick enough to ask: with which single fold turned does everything close? And with the angle of
which one left to be found?
"""
from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

import numpy as np

from generator.findings import Finding, finding
from generator.folding.records import FoldedPlan
from generator.paper.records import Act, Fold, FoldDirection, Plan

# what a fold in the wrong direction shows as
CONSEQUENCES = frozenset({
    "folds-contradict", "seam-open", "glue-apart", "floor-open", "panels-collide", "finish-differs",
    "crown-window",
    "curve-stretches", "ends-open", "ring-short", "tab-sticks-out", "flat-layers", "flap-outside", "lid-open",
    "fold-unknown", "content-large", "layers-circle", "tab-outside",
    "band-short", "closing-open"})
# of these, what may as well be stated wrong
STATED = frozenset({"finish-differs", "content-large", "fold-unknown", "panels-collide"})
# what folds by another angle leave open
OPEN = frozenset({"folds-contradict", "seam-open", "glue-apart", "crown-window"})
# and what a measure explains, so that no fold is asked about it
MEASURED = frozenset({"crown-window", "curve-stretches", "ends-open", "content-large"})
# what turns a box inside out as well
OUTSIDE = frozenset({"tab-outside", "flap-outside"})
EQUAL_ANGLES = 0.1      # degrees; folds that one statement makes alike
MAX_TRIED = 12          # folds; with more of them nobody waits for the answer
# runs of folds of a plan; beyond it one folding takes too long to be done again and again
MAX_TRIED_HINGES = 150

OPPOSITE = {FoldDirection.MOUNTAIN: FoldDirection.VALLEY, FoldDirection.VALLEY: FoldDirection.MOUNTAIN}


def wrong_way_fold(plan: Plan, found: Sequence[Finding],
                   judge: Callable[[Plan], Sequence[Finding]]) -> Finding | None:
    """The finding of the one fold that, turned, leaves nothing of what was found; None where there is none.

    ``judge`` finds what is wrong with a plan; ``found`` is what it found of this one. Where several folds
    would do, the last one is named: what is folded before it was right so far. A tab or flap outside alone is
    found where it is made, unless the whole box is folded with the print inside.
    """
    consequences = {each.code for each in found} & CONSEQUENCES
    if not consequences - MEASURED:
        return None
    acts = [act for act in plan.acts if _folds(act)]
    if consequences <= OUTSIDE:
        acts = [act for act in acts if _folds(act)[0].direction is FoldDirection.VALLEY]
    if _are_too_many(acts):
        return None
    for act in reversed(acts):
        if not any(each.code in CONSEQUENCES for each in judge(_changed(plan, act, _turned_fold))):
            as_drawn, other = _folds(act)[0].direction, OPPOSITE[_folds(act)[0].direction]
            return finding("fold-backwards", act.span,
                           f"{_fold_name(act)} goes the wrong way: folded as a {as_drawn} the box does not "
                           "close",
                           f"fold it as a {other}, and everything comes to lie where it belongs")
    return None


def wrong_angle_fold(plan: Plan, found: Sequence[Finding],
                     judge: Callable[[Plan], tuple[FoldedPlan, Sequence[Finding]]],
                     tilts: Sequence[float] = ()) -> Finding | None:
    """The finding of the one fold that by another angle leaves nothing of what was found.

    Its angle is left to be found, changed by one of the ``tilts`` in degrees at which what closes the box
    stands, or made that of another fold. All its lines must be folded by one angle: unequal walls close too,
    if each may lean.
    """
    if not {each.code for each in found} & CONSEQUENCES - MEASURED:
        return None
    acts = [act for act in plan.acts if any(fold.angle is not None for fold in _folds(act))]
    if _are_too_many(acts):
        return None
    angles_of = {act.number: _folds(act)[0].angle or 0.0 for act in acts}
    for act in reversed(acts):
        given = angles_of[act.number]
        near = {given + way * tilt for tilt in tilts for way in (-1, 1)} or set(angles_of.values())
        for angle in sorted({round(each, 6) for each in near} - {round(given, 6)}):
            if 0 < angle <= 180 and not any(
                    each.code in CONSEQUENCES for each in judge(_changed(plan, act, partial(_by, angle)))[1]):
                return _by_finding(act, angle)
    if not {each.code for each in found} & OPEN:
        return None
    for act in reversed(acts):
        folded, left = judge(_changed(plan, act, _freed_fold))
        angles = [float(np.degrees(piece.angles[h.id])) for piece in folded.pieces for h in piece.flat.hinges
                  if h.bend.act == act.number and piece.judged]
        if angles and np.ptp(angles) < EQUAL_ANGLES and not any(each.code in CONSEQUENCES for each in left):
            return _by_finding(act, angles[0])
    return None


def _by_finding(act: Act, angle: float) -> Finding:
    return finding("fold-angle", act.span,
                   f"{_fold_name(act)} goes by {_folds(act)[0].angle:.3g}°, and so the box does not close",
                   f"fold it by {angle:.3g}°; with by= left out the angle is found from what must meet")


def explained(found: Sequence[Finding], cause: Finding) -> tuple[Finding, ...]:
    """What is found, with the fold that explains it in place of what follows from it.

    A stated size that differs stays beside it: with that alone nobody can tell which of the two is wrong.
    """
    consequences = {each.code for each in found} & CONSEQUENCES
    hidden = CONSEQUENCES - STATED if consequences <= STATED else CONSEQUENCES
    return cause, *(each for each in found if each.code not in hidden)


def _are_too_many(acts: Sequence[Act]) -> bool:
    return (len(acts) > MAX_TRIED
            or sum(len(fold.runs) for act in acts for fold in _folds(act)) > MAX_TRIED_HINGES)


def _folds(act: Act) -> tuple[Fold, ...]:
    detail = act.detail
    return detail if isinstance(detail, tuple) else ()


def _fold_name(act: Act) -> str:
    return f"'{act.name}'" if act.name else "this fold"


def _changed(plan: Plan, act: Act, change: Callable[[Fold], Fold]) -> Plan:
    """The plan with every fold of one act changed."""
    states = {piece: tuple((number, replace(state, folds=tuple(
        change(fold) if fold.act == act.number else fold for fold in state.folds)))
        for number, state in history) for piece, history in plan.states.items()}
    acts = tuple(replace(each, detail=tuple(change(fold) for fold in _folds(each)))
                 if each.number == act.number else each for each in plan.acts)
    return replace(plan, states=states, acts=acts)


def _turned_fold(fold: Fold) -> Fold:
    return replace(fold, direction=OPPOSITE[fold.direction])


def _freed_fold(fold: Fold) -> Fold:
    return replace(fold, angle=None)


def _by(angle: float, fold: Fold) -> Fold:
    return replace(fold, angle=angle)
