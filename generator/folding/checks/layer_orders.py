"""Four panels that folds bring onto each other have an order in which no paper passes through a crease.

Necessary conditions of a flat folding (J. Justin, Toward a mathematical theory of origami, 1997; told as
tacos and tortillas in E. Demaine, J. O'Rourke, Geometric Folding Algorithms, 2007; both from memory): no
panel that goes on across a crease lies between the two panels of it, and two creases in one place do not
interleave. And flaps that are glued on each other lie under each other in no circle.
"""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import combinations, permutations

import shapely
from shapely.geometry.base import BaseGeometry

from generator.findings import Finding, finding
from generator.folding.piece_context import PieceContext
from generator.folding.records import Hinge
from generator.folding.rigid_folding import in_frame_of, overlap_share
from generator.geometry.tolerances import ALIGNED_TOLERANCE, FLAT_FOLD_ANGLE, MIN_HOLE_AREA, MIN_OVERLAP_SHARE
from generator.paper.records import Act

MIN_CROSSING = 2.0      # mm of a crease beside which a panel goes on, to stand in its way
MAX_CHAINS = 2000       # rows of four panels; more of them nobody waits for


def layer_order_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each statement that folds four panels so that they can lie in no order at all."""
    if not context.closes():
        return
    flat = [h for h in context.folded.flat.hinges if context.folded.angles[h.id] >= FLAT_FOLD_ANGLE
            and context.is_rigid(h.left) and context.is_rigid(h.right)]
    reported: set[int] = set()
    for chain in list(_chains(flat))[:MAX_CHAINS]:
        shapes = _Stack(context, chain)
        if shapes.lie_on_each_other() and not shapes.has_order({}):
            mending = [h for h in chain if shapes.has_order({h.id: -1})]
            to_blame = max(mending or chain, key=lambda h: h.bend.act)
            if to_blame.bend.act not in reported:
                reported.add(to_blame.bend.act)
                yield finding("flat-layers", to_blame.bend.span,
                              "folded so, these panels would have to pass through each other: there is no "
                              "order in which they lie flat",
                              "fold it in the other direction" if mending else
                              "look at the directions of the folds beside it")


def _chains(hinges: Sequence[Hinge]) -> Iterator[tuple[Hinge, Hinge, Hinge]]:
    """Three folds one behind the other, which join four panels."""
    for middle in hinges:
        for one in hinges:
            for other in hinges:
                if (one.id < other.id and middle not in (one, other)
                        and middle.left in (one.left, one.right) + (other.left, other.right)
                        and middle.right in (one.left, one.right) + (other.left, other.right)
                        and len({k for h in (one, middle, other) for k in (h.left, h.right)}) == 4):
                    yield one, middle, other


class _Stack:
    """The four panels of a chain in the frame of one of them, and their creases."""

    def __init__(self, context: PieceContext, chain: Sequence[Hinge]) -> None:
        self.context, self.chain = context, chain
        self.base = chain[1].left
        flat, frames = context.folded.flat, context.folded.frames
        self.panels = {k: in_frame_of(flat, frames, k, self.base)
                       for k in dict.fromkeys(k for h in chain for k in (h.left, h.right))}
        self.creases: dict[int, BaseGeometry] = {
            h.id: in_frame_of(flat, frames, h.left, self.base, shapely.LineString([h.start, h.end]))
            for h in chain}
        inner = {k: shape.buffer(-ALIGNED_TOLERANCE) for k, shape in self.panels.items()}
        self.across = {(h.id, k) for h in chain for k, shape in inner.items() if k not in (h.left, h.right)
                       and self.creases[h.id].intersection(shape).length > MIN_CROSSING}
        self.together = [(one, other) for one, other in combinations(chain, 2)
                         if not {one.left, one.right} & {other.left, other.right}
                         and self.creases[one.id].buffer(ALIGNED_TOLERANCE).intersection(
                             self.creases[other.id]).length > MIN_CROSSING]

    def lie_on_each_other(self) -> bool:
        """Whether all four share a place."""
        return bool(shapely.intersection_all(list(self.panels.values())).area > MIN_HOLE_AREA)

    def has_order(self, turned: dict[int, int]) -> bool:
        """Whether the panels can lie on each other, with some folds turned."""
        return any(self._holds({k: place for place, k in enumerate(order)}, turned)
                   for order in permutations(self.panels))

    def _holds(self, at: dict[int, int], turned: dict[int, int]) -> bool:
        folded = self.context.folded
        for h in self.chain:
            up = folded.normal(h.left) @ folded.normal(self.base) * h.bend.sign * turned.get(h.id, 1)
            if (at[h.right] > at[h.left]) is not bool(up > 0):
                return False
        between = any(min(at[h.left], at[h.right]) < at[k] < max(at[h.left], at[h.right])
                      for h in self.chain for id_, k in self.across if id_ == h.id)
        return not between and not any(
            len({min(at[one.left], at[one.right]) < at[k] < max(at[one.left], at[one.right])
                 for k in (other.left, other.right)}) == 2 for one, other in self.together)


def layer_findings(context: PieceContext) -> Iterator[Finding]:
    """The first circle of faces of which each lies under the next."""
    if not context.closes():
        return
    above: dict[int, set[int]] = defaultdict(set)
    for low, high, act in _overlapping_pairs(context):
        if _is_reachable(above, high, low):
            yield finding("layers-circle", act.span,
                          f"here {context.panel_name(low)} and others lie under each other in a circle",
                          "glue them in an order in which the last one lies on top of all: order=in_turn or "
                          "opposite")
            return
        above[low].add(high)


def _overlapping_pairs(context: PieceContext) -> Iterator[tuple[int, int, Act]]:
    """(lower panel, upper panel, act) for faces that are glued on each other and lie so."""
    flat, frames = context.folded.flat, context.folded.frames
    before: dict[int, list[int]] = defaultdict(list)
    for each in context.glued:
        if each.paired:
            low, high = (each.target_panel, each.panel) if each.over else (each.panel, each.target_panel)
            if low != high and overlap_share(flat, frames, low, high) > MIN_OVERLAP_SHARE:
                yield low, high, each.act
            continue
        earlier = before[each.act.number] or [each.target_panel]
        for k in earlier:
            if k != each.panel and overlap_share(flat, frames, k, each.panel) > MIN_OVERLAP_SHARE:
                yield k, each.panel, each.act
        before[each.act.number] = [*earlier, each.panel]


def _is_reachable(above: dict[int, set[int]], start: int, goal: int) -> bool:
    seen, queue = {start}, [start]
    while queue:
        k = queue.pop()
        if k == goal:
            return True
        queue.extend(above[k] - seen)
        seen |= above[k]
    return False
