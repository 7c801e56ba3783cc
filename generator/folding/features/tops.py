"""What gathering a top asks of its folds: that the peaks of its petals meet."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from generator.folding.closings import Closing, is_rigid_closing
from generator.folding.kinematics import Arm, Linkage, PointsMeet
from generator.geometry import Circle
from generator.geometry.arrays import FloatArray
from generator.paper.records import Act, PieceState, Plan, Thread
from generator.paper.work_kinds import Effect


def gather_closings(plan: Plan, state: PieceState, link: Linkage) -> list[Closing]:
    """For each gathered top: every petal's peak meets that of the first."""
    made: list[Closing] = []
    for act in plan.acts:
        if act.effect is Effect.GATHER and act.pieces[:1] == (state.piece,):
            made += _peak_closings(link, act, petals(plan, state, link))
    return [c for c in made if is_rigid_closing(link, c)]


def _peak_closings(link: Linkage, act: Act, found: Sequence[int]) -> Iterator[Closing]:
    arms = {arm.panel: arm for arm in link.arms}
    known = [k for k in found if k in arms and not link.flat.panels[k].soft]
    if len(known) < 3:
        return
    first = peak(link, arms[known[0]])
    for index, k in enumerate(known[1:], start=1):
        yield Closing("gather", act.number, index, act.span, k, known[0],
                      (PointsMeet(k, peak(link, arms[k]), known[0], first),))


def petals(plan: Plan, state: PieceState, link: Linkage) -> list[int]:
    """The panels that carry the ribbon's holes, or else those that touch the paper's edge at a point only."""
    laced = {mark for act in plan.acts if isinstance(act.detail, Thread) for mark in act.detail.marks}
    holes = [hole.center for mark in state.marks if mark.id in laced
             if isinstance(hole := mark.whole[0], Circle)]
    if holes:
        points = shapely.points([(float(c.x), float(c.y)) for c in holes])
        return [p.id for p in link.flat.panels if shapely.contains(p.polygon, points).any()]
    edged = {edge.panel for edge in link.flat.edges}
    return [p.id for p in link.flat.panels if p.id not in edged and not p.soft]


def peak(link: Linkage, arm: Arm) -> FloatArray:
    """The corner of a petal that lies farthest from the hinge it hangs on."""
    xy = np.asarray(link.flat.panels[arm.panel].polygon.exterior.coords)[:-1]
    aside = np.abs((xy - arm.origin[:2]) @ np.array((-arm.axis[1], arm.axis[0])))
    result: FloatArray = xy[np.argmax(aside)]
    return result
