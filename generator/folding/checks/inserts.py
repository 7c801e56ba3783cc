"""What stands in a box fits between its walls and below its rim, and dividers that cross go slot into slot.

Two halved pieces cross on one level where the slots are together as deep as the piece is high whose slot
opens above, each as wide as the other's paper (a cross-halving joint; common practice, no source).
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import permutations, product

import numpy as np
import shapely

from generator.findings import Finding, Severity, finding
from generator.folding.features.slots import Divider, Slot, divider_of
from generator.folding.piece_context import PieceContext, length_texts, paper_thickness
from generator.folding.records import PieceDimensions
from generator.geometry.tolerances import CLEARANCE_TOLERANCE, MAX_OVERHANG, MAX_PLAY, MAX_PRESS_FIT
from generator.paper.records import Insertion, PieceInfo, Plan

MAX_SLIT_PAPER = 0.5        # mm; thicker card needs a slot with a width (common practice, no source)
RECTANGLE_SHARE = 0.99      # of the rectangle round a floor that it fills, for its sides to be its room
MAX_SHIFT = 0.5             # mm by which slots may lie beside each other, as paper gives


def insert_findings(plan: Plan, contexts: Sequence[PieceContext]) -> Iterator[Finding]:
    """For each statement of what stands in a box: slots that do not meet, pieces too large or too loose."""
    known = {context.info.id: context for context in contexts}
    for each in plan.insertions:
        flat = {k: divider_of(plan.final_state(k)) for k in (*each.pieces, *each.crossing)
                if not plan.final_state(k).folds}
        if each.crossing and len(flat) == len(each.pieces) + len(each.crossing):
            yield from _Crossing(plan, each, flat).findings()
        host = known.get(each.into)
        if host is None or not host.closes():
            continue
        if host.folded.dimensions is None or host.folded.dimensions.inside is None:
            yield finding("fold-unknown", each.span,
                          f"nothing is known of the inside of '{host.info.name}', so nobody can tell whether "
                          "this goes in", "name a piece that is folded up round a floor", Severity.WARNING)
            continue
        yield from _room_findings(plan, each, flat, host.folded.dimensions)
        for k in (*each.pieces, *each.crossing):
            if k in known and known[k].folded.dimensions is not None:
                yield from _folded_findings(known[k], each, host.folded.dimensions)


class _Crossing:
    """Dividers that cross each other, each flat."""

    def __init__(self, plan: Plan, stated: Insertion, flat: dict[int, Divider]) -> None:
        self.plan, self.stated, self.flat = plan, stated, flat
        self.sides = stated.pieces, stated.crossing

    def findings(self) -> Iterator[Finding]:
        """The first that keeps them apart, in the order in which somebody would notice it."""
        for found in (self._lacking(), self._same_edge(), self._narrow(), self._beside(), self._depths()):
            rows = list(found)
            if rows:
                yield from rows
                return

    def _info(self, piece: int) -> PieceInfo:
        return self.plan.pieces[piece]

    def _lacking(self) -> Iterator[Finding]:
        for side, others in (self.sides, self.sides[::-1]):
            for k in side:
                slots = self.flat[k].slots
                if len(slots) < len(others):
                    yield finding("slots-apart", slots[0].span if slots else self.stated.span,
                                  f"'{self._info(k).name}' has {_count(len(slots))}, and crosses "
                                  f"{len(others)} pieces", "cut a slot for each piece that it crosses")

    def _same_edge(self) -> Iterator[Finding]:
        one, other = ({slot.above for k in side for slot in self.flat[k].slots} for side in self.sides)
        if one == other and len(one) == 1:
            k = self.sides[1][0]
            edge = "upper" if True in one else "lower"
            yield finding("slots-apart", self.flat[k].slots[0].span,
                          f"the slots of '{self._info(k).name}' open at the {edge} edge, as do those of "
                          f"'{self._info(self.sides[0][0]).name}', so that neither goes on to the other",
                          "open the slots of one at its other edge")

    def _narrow(self) -> Iterator[Finding]:
        for side, others in (self.sides, self.sides[::-1]):
            thick = max(paper_thickness(self._info(k).paper) for k in others)
            for k, slot in ((k, self.flat[k].slots[0]) for k in side):
                room = slot.width or MAX_SLIT_PAPER
                if room < thick - CLEARANCE_TOLERANCE:
                    given, needed = length_texts(self.plan, slot.width, thick)
                    how = f"{given} wide" if slot.width else "slit, and no wider than a blade"
                    yield finding("slots-apart", slot.span,
                                  f"the slots of '{self._info(k).name}' are {how}, and the paper that goes "
                                  f"in is {needed} thick", "make them a hair wider than the paper")
                elif slot.width > thick + MAX_PLAY:
                    given, needed = length_texts(self.plan, slot.width, thick)
                    yield _loose(slot, f"the slots of '{self._info(k).name}' are {given} wide, and the paper "
                                 f"that goes in is {needed} thick", "make them narrower")

    def _beside(self) -> Iterator[Finding]:
        """Slots of parallel dividers that would hold what crosses them askew."""
        for side, others in (self.sides, self.sides[::-1]):
            rows = [self.flat[k] for k in side]
            if any(len(row.slots) != len(others) for row in rows):
                continue    # slots to choose from
            first = np.diff([slot.place for slot in rows[0].slots])
            for k, row in zip(side[1:], rows[1:], strict=True):
                steps = np.diff([slot.place for slot in row.slots])
                off = min(np.abs(way - first).max(initial=0.0) for way in (steps, steps[::-1]))
                if off > MAX_SHIFT:
                    yield finding("slots-apart", row.slots[0].span,
                                  f"the slots of '{self._info(k).name}' lie "
                                  f"{length_texts(self.plan, float(off))[0]} beside those of "
                                  f"'{self._info(side[0]).name}', so that what crosses both stands askew",
                                  "set the slots of parallel pieces at the same places")

    def _depths(self) -> Iterator[Finding]:
        one, other = self.sides
        told: set[int] = set()
        for a, b in product(one, other):
            mine, theirs = self.flat[a].slots[0], self.flat[b].slots[0]
            upper, height = (mine, self.flat[a].height) if mine.above else (theirs, self.flat[b].height)
            lower = theirs if upper is mine else mine
            if upper.above == lower.above:
                continue
            spare = upper.depth + lower.depth - height
            worst = max((theirs, mine), key=lambda slot: round(abs(slot.depth - height / 2), 3))
            if worst.span.line in told or -MAX_OVERHANG <= spare <= MAX_PLAY:
                continue
            told.add(worst.span.line)
            deep, high = length_texts(self.plan, upper.depth + lower.depth, height)
            text = (f"the slots of '{self._info(a).name}' and '{self._info(b).name}' are together {deep} "
                    f"deep, and where they cross the paper is {high} high")
            if spare < 0:
                yield finding("slots-apart", worst.span, f"{text}: one stands up on the other",
                              "make each half as deep as the pieces are high")
            else:
                yield _loose(worst, text, "make each half as deep as the pieces are high")


def _loose(slot: Slot, text: str, hint: str) -> Finding:
    return finding("insert-loose", slot.span, f"{text}: they wobble", hint)


def _count(slots: int) -> str:
    return {0: "no slot", 1: "one slot"}.get(slots, f"{slots} slots")


def _room_findings(plan: Plan, stated: Insertion, flat: dict[int, Divider],
                   figures: PieceDimensions) -> Iterator[Finding]:
    """Flat pieces too long for the room between the walls, too high for it, or too short to be held."""
    assert figures.inside is not None and figures.floor is not None
    across, deep, high = figures.inside
    box = shapely.minimum_rotated_rectangle(figures.floor)
    if figures.floor.area < RECTANGLE_SHARE * box.area:
        across = deep = float(shapely.length(shapely.minimum_bounding_circle(figures.floor)) / np.pi)
    upright = max(figures.size[:2]) - max(figures.inside[:2]) < MAX_PLAY and not figures.slopes
    sides = [[k for k in side if k in flat] for side in (stated.pieces, stated.crossing)]

    def over(ways: tuple[float, float]) -> float:
        return max(((flat[k].length if upright else flat[k].foot) - way
                    for side, way in zip(sides, ways, strict=True) for k in side), default=0.0)

    ways = [(across, deep), (deep, across)]
    fitting = [way for way in ways if over(way) <= MAX_PRESS_FIT]
    # of two ways in which they go in the tighter one is meant
    chosen = max(fitting, key=over) if fitting else min(ways, key=over)
    for side, room in zip(sides, chosen, strict=True):
        for k in side:
            long = flat[k].length if upright else flat[k].foot
            name, span, lone = plan.pieces[k].name, plan.pieces[k].span, not stated.crossing
            given, between = length_texts(plan, long, room)
            if long > room + MAX_PRESS_FIT:
                yield finding("insert-large", span,
                              f"'{name}' is {given} long, and between the walls of "
                              f"'{plan.pieces[stated.into].name}' are {between}",
                              "make it shorter; half a millimetre of ease is enough")
            elif lone and upright and long < room - MAX_PLAY:
                yield finding("insert-loose", span,
                              f"'{name}' is {given} long, and between the walls of "
                              f"'{plan.pieces[stated.into].name}' are {between}, so that nothing holds it",
                              "make it longer, or let another piece cross it")
            if flat[k].height > high + MAX_OVERHANG:
                yield _above_rim(plan, stated, k, flat[k].height, high)


def _above_rim(plan: Plan, stated: Insertion, piece: int, tall: float, room: float) -> Finding:
    given, below = length_texts(plan, tall, room)
    return finding("insert-large", plan.pieces[piece].span,
                   f"'{plan.pieces[piece].name}' is {given} high and stands above the rim of "
                   f"'{plan.pieces[stated.into].name}', inside which are {below}", "make it lower")


def _folded_findings(context: PieceContext, stated: Insertion, figures: PieceDimensions) -> Iterator[Finding]:
    """A folded insert that does not go in whichever way it lies, or upright where it has a floor."""
    own = context.folded.dimensions
    assert own is not None and figures.inside is not None
    paper = context.thickness
    ways = [own.size] if own.stands_on_floor else list(permutations(own.size))
    room = figures.inside

    def over(size: Sequence[float]) -> tuple[float, float]:
        level = min(max(size[0] - one, size[1] - other) for one, other in (room[:2], room[1::-1]))
        return level + paper - MAX_PRESS_FIT, size[2] + paper / 2 - room[2] - MAX_OVERHANG

    best = min(map(over, ways), key=max)
    name, host = context.info.name, context.plan.pieces[stated.into].name
    if best[0] > 0:
        far = context.length_text(best[0] + MAX_PRESS_FIT)
        yield finding("insert-large", context.info.span,
                      f"'{name}' does not go between the walls of '{host}': it is {far} too large",
                      "make it smaller; half a millimetre of ease is enough")
    elif best[1] > 0:
        yield finding("insert-large", context.info.span,
                      f"'{name}' stands {context.length_text(best[1] + MAX_OVERHANG)} above the rim of "
                      f"'{host}'", "make it lower")
