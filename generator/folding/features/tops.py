"""Gathered tops: their petals, what must close for the peaks to meet, and the crown of a regular one."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from generator.folding.closings import Closing, is_rigid_closing
from generator.folding.features.crown import Crown
from generator.folding.kinematics import Arm, Linkage, PointsMeet
from generator.folding.piece_context import PieceContext, feature
from generator.folding.records import GatheredTop
from generator.geometry import Circle
from generator.geometry.arrays import FloatArray
from generator.geometry.plane import floats
from generator.geometry.ties import first_largest
from generator.geometry.tolerances import EQUAL_TOLERANCE
from generator.paper.records import Act, PieceState, Plan, Thread
from generator.paper.work_kinds import Effect


def gather_closings(plan: Plan, state: PieceState, link: Linkage) -> list[Closing]:
    """For each gathered top: every petal's peak meets that of the first."""
    result: list[Closing] = []
    for act in plan.acts:
        if act.effect is Effect.GATHER and act.pieces[:1] == (state.piece,):
            result += _peak_closings(link, act, petals(plan, state, link))
    return [c for c in result if is_rigid_closing(link, c)]


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
        points = shapely.points([floats(c) for c in holes])
        return [p.id for p in link.flat.panels if shapely.contains(p.polygon, points).any()]
    edged = {edge.panel for edge in link.flat.edges}
    return [p.id for p in link.flat.panels if p.id not in edged and not p.soft]


def peak(link: Linkage, arm: Arm) -> FloatArray:
    """The corner of a petal that lies farthest from the hinge it hangs on."""
    xy = np.asarray(link.flat.panels[arm.panel].polygon.exterior.coords)[:-1]
    aside = np.abs((xy - arm.origin[:2]) @ np.array((-arm.axis[1], arm.axis[0])))
    result: FloatArray = xy[first_largest(aside)]
    return result


@feature
def top_of(context: PieceContext) -> GatheredTop | None:
    """The gathered top of a piece; None unless it is regular and straight."""
    act = next((a for a in context.plan.acts if a.effect is Effect.GATHER
                and a.pieces[:1] == (context.info.id,)),
               None)
    if act is None:
        return None
    link = context.link
    arms = {arm.panel: arm for arm in link.arms}
    found = [arms[k] for k in petals(context.plan, context.state, link) if k in arms and context.is_rigid(k)]
    if len(found) < 3:
        return None
    widths = np.array([link.flat.hinges[arm.hinge].length for arm in found])
    heights = np.array([abs((peak(link, arm) - arm.origin[:2]) @ np.array((-arm.axis[1], arm.axis[0])))
                        for arm in found])
    if np.ptp(widths) > EQUAL_TOLERANCE * widths[0] or np.ptp(heights) > EQUAL_TOLERANCE * widths[0]:
        return None
    signs = {link.flat.hinges[arm.hinge].bend.sign for arm in found}
    tucked = _is_tucked(link, {arm.panel for arm in found}, signs.pop())
    return GatheredTop(act.number, Crown(len(found), float(widths[0]), float(heights[0])), tucked)


def _is_tucked(link: Linkage, found: set[int], sign: int) -> bool:
    """Whether the fold in the middle of a gusset bends the other way than the petals do."""
    edged = {arm.parent for arm in link.arms if arm.panel in found}
    middles = [h for h in link.flat.hinges if not {h.left, h.right} & (found | edged)
               and any(h2.other(k) in found for k in (h.left, h.right) for h2 in link.flat.hinges_of(k))]
    return not middles or any(h.bend.sign != sign for h in middles)
