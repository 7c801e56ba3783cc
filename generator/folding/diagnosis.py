"""Which fold is to blame when a box does not close: try each of them the other way round.

What does not close shows at the glue, at the stated size or at the contents, far from the fold that is wrong.
Folding is quick enough to ask: with which single fold turned does everything close?
"""
from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from generator.findings import Finding, finding
from generator.paper.records import Act, Fold, FoldDirection, PieceState, Plan

# what a fold in the wrong direction shows as
CONSEQUENCES = frozenset({
    "folds-contradict", "seam-open", "glue-apart", "floor-open", "panels-collide", "finish-differs",
    "crown-window",
    "curve-stretches", "ends-open", "ring-short", "tab-sticks-out", "flat-layers", "flap-outside", "lid-open",
    "fold-unknown", "content-large", "layers-circle", "tab-outside",
    "band-short", "closing-open"})
# of these, what may as well be stated wrong
STATED = frozenset({"finish-differs", "content-large", "fold-unknown", "panels-collide"})
# and what a measure explains, so that no fold is asked about it
MEASURED = frozenset({"crown-window", "curve-stretches", "ends-open"})
# what turns a box inside out as well
OUTSIDE = frozenset({"tab-outside", "flap-outside"})
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
    if len(acts) > MAX_TRIED or sum(len(fold.runs) for act in acts
                                    for fold in _folds(act)) > MAX_TRIED_HINGES:
        return None
    for act in reversed(acts):
        if not any(each.code in CONSEQUENCES for each in judge(_turned(plan, act))):
            as_drawn, other = _folds(act)[0].direction, OPPOSITE[_folds(act)[0].direction]
            name = f"'{act.name}'" if act.name else "this fold"
            return finding("fold-backwards", act.span,
                           f"{name} goes the wrong way: folded as a {as_drawn} the box does not close",
                           f"fold it as a {other}, and everything comes to lie where it belongs")
    return None


def explained(found: Sequence[Finding], cause: Finding) -> tuple[Finding, ...]:
    """What is found, with the fold that explains it in place of what follows from it.

    A stated size that differs stays beside it: with that alone nobody can tell which of the two is wrong.
    """
    consequences = {each.code for each in found} & CONSEQUENCES
    hidden = CONSEQUENCES - STATED if consequences <= STATED else CONSEQUENCES
    return cause, *(each for each in found if each.code not in hidden)


def _folds(act: Act) -> tuple[Fold, ...]:
    detail = act.detail
    return detail if isinstance(detail, tuple) else ()


def _turned(plan: Plan, act: Act) -> Plan:
    """The plan with every fold of one act in the other direction."""
    states = {piece: tuple((number, _turned_state(state, act.number)) for number, state in history)
              for piece, history in plan.states.items()}
    acts = tuple(replace(each, detail=tuple(_turned_fold(fold) for fold in _folds(each)))
                 if each.number == act.number else each for each in plan.acts)
    return replace(plan, states=states, acts=acts)


def _turned_state(state: PieceState, number: int) -> PieceState:
    return replace(state, folds=tuple(_turned_fold(fold) if fold.act == number else fold
                                      for fold in state.folds))


def _turned_fold(fold: Fold) -> Fold:
    return replace(fold, direction=OPPOSITE[fold.direction])
