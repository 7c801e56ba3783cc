"""A ribbon goes through every hole of the rows that it is threaded through, and no panel is in its way."""
from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from generator.findings import Finding, finding
from generator.folding.piece_context import PieceContext, hole_name, pressed_together
from generator.folding.rigid_folding import in_frame_of
from generator.geometry import Circle
from generator.geometry.plane import floats
from generator.geometry.strokes import ring_points
from generator.geometry.tolerances import CHORD_TOLERANCE, EQUAL_LENGTHS
from generator.paper.records import Mark, Thread

MIN_COVERED_SHARE = 0.5         # of a hole; what covers more of it stops a ribbon
NEAR_DIAMETERS = 5.0    # holes nearer to those of a ribbon than so many of their widths are of its row


def threading_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each ribbon that leaves out holes of a row it goes through, which no other takes.

    A like row that lies beside it, hole by hole, counts as the same.
    """
    threads = [(act, act.detail.marks) for act in context.plan.acts if isinstance(act.detail, Thread)]
    taken = {mark for _, marks in threads for mark in marks}
    for act, marks in threads:
        own = [mark for mark in context.state.marks if mark.id in marks]
        rows = {mark.act for mark in own}
        left = [mark for mark in context.state.marks if mark.id not in taken
                and (mark.act in rows or any(_is_twin(mark, each) for each in own))]
        if left:
            name = f"'{left[0].name}'" if left[0].name else "this row"
            yield finding("hole-unthreaded", act.span,
                          f"this ribbon misses {len(left)} of {left[0].count} holes of {name}",
                          "thread it through all of them, or punch the others in a row of their own")


def _is_twin(mark: Mark, other: Mark) -> bool:
    """Whether a hole lies beside another one, as large and of as long a row."""
    one, two = mark.whole[0], other.whole[0]
    return (isinstance(one, Circle) and isinstance(two, Circle) and mark.count == other.count > 1
            and abs(float(one.radius) - float(two.radius)) < EQUAL_LENGTHS
            and math.dist(floats(one.center), floats(two.center)) < NEAR_DIAMETERS * 2 * float(one.radius))


def _disc(mark: Mark) -> shapely.Polygon:
    """The area of a hole."""
    return shapely.Polygon(ring_points(mark.whole, CHORD_TOLERANCE))


def hole_behind_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each statement whose hole for a ribbon is covered by a panel folded behind it."""
    threaded = {mark for act in context.plan.acts if isinstance(act.detail, Thread)
                for mark in act.detail.marks}
    holes = [mark for mark in context.state.marks if mark.id in threaded and mark.kind.is_hole]
    if not context.closes() or not holes:
        return
    flat, frames = context.folded.flat, context.folded.frames
    own = {mark.id: next((p.id for p in flat.panels if p.polygon.covers(_disc(mark).centroid)), None)
           for mark in holes}
    reported: set[int] = set()
    for mark in holes:
        for panel in flat.panels:
            at = own[mark.id]
            if (at is None or panel.id == at or mark.act in reported or not context.is_rigid(at)
                    or not context.is_rigid(panel.id) or not pressed_together(context, at, panel.id)):
                continue
            over = in_frame_of(flat, frames, at, panel.id, _disc(mark))
            free = shapely.union_all([_disc(each) for each in holes if own[each.id] == panel.id])
            if over.intersection(panel.polygon.difference(free)).area > MIN_COVERED_SHARE * over.area:
                reported.add(mark.act)
                yield finding("holes-apart", mark.span,
                              f"folded, {context.panel_name(panel.id)} lies behind {hole_name(mark)}, and "
                              "has no "
                              "hole there", "move the hole, make what lies behind it smaller, or punch both")
