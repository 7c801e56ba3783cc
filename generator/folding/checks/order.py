"""The order of the steps is possible: nothing is scored once it is glued, and no glued joint is folded later."""
from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from generator.findings import Finding, finding
from generator.folding.case import Case
from generator.folding.rigid import ring_of
from generator.paper.records import Act
from generator.paper.work_kinds import Effect


def order_findings(case: Case) -> Iterator[Finding]:
    """One finding for each statement that comes too late."""
    if not case.stuck:
        return
    first = min(each.act.number for each in case.stuck if each.panel != each.target_panel) \
        if any(each.panel != each.target_panel for each in case.stuck) else None
    if first is None:
        return
    glued = case.act(first)
    for act in case.plan.acts[first + 1:]:
        if case.info.id in act.pieces and act.kind.at_board:
            yield finding("step-order", act.span, f"this {act.verb} comes after the glue of line {glued.span.line}, when "
                          f"'{case.info.name}' no longer lies flat", f"{act.verb} before anything is glued")
        elif act.effect is Effect.FOLD and (joint := _held(case, act)) is not None:
            yield finding("step-order", act.span, f"this fold comes after the glue of line {joint.span.line}, which holds both "
                          "sides of it", "fold before you glue")
        elif act.effect is Effect.FOLD and (joint := _needs(case, act)) is not None:
            yield finding("step-order", act.span, f"this fold comes after the glue of line {joint.span.line}, and what is glued "
                          "there meets only once it is made", "fold before you glue")


def _needs(case: Case, act: Act) -> Act | None:
    """The glue whose faces lie apart until this act folds; a ring of parallel folds can be glued flat and opened later."""
    new = {h.id for h in case.folded.flat.hinges if h.bends[0].act == act.number}
    for each in case.stuck:
        way = set(np.flatnonzero(case.link.paths[each.panel] ^ case.link.paths[each.target_panel]))
        if each.paired and each.act.number < act.number and new & way and ring_of(case.link, each) is None:
            return each.act
    return None


def _held(case: Case, act: Act) -> Act | None:
    """The glue that already holds both panels of a hinge that this act folds for the first time."""
    cluster: dict[int, int] = {}

    def root(k: int) -> int:
        while cluster.get(k, k) != k:
            k = cluster[k]
        return k

    last = None
    for each in case.stuck:
        if each.act.number < act.number:
            cluster[root(each.panel)] = root(each.target_panel)
            last = each.act
    for hinge in case.folded.flat.hinges:
        if hinge.bends[0].act == act.number and root(hinge.left) == root(hinge.right):
            return last
    return None
