"""Glued tabs and the rings that they close.

A tab lies on its panel, not on the one it hangs on, does not stick out and is wide enough to hold. No panel
is left out of a ring, and none is wider than its twin by a slip.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from generator.findings import Finding, Severity, finding
from generator.folding.closings import GluedFace, face_polygon, glued_faces
from generator.folding.features.tabs_and_rings import (
    PanelRing,
    panel_outside,
    panel_rings,
    tab_opening,
    tab_overhang,
)
from generator.folding.piece_context import PieceContext, face_name, outward, printed_normal
from generator.folding.rigid_folding import faces_off_target, in_frame_of
from generator.geometry.tolerances import (
    EQUAL_LENGTHS,
    FLAT_FOLD_ANGLE,
    MAX_EASE,
    MAX_OVERHANG,
    MAX_SLIP,
    MIN_TAB_WIDTH,
    WIDTH_TOLERANCE,
)

SQUARE = 4                     # panels of a ring with four corners
MIN_SHARED_AREA = 4.0         # mm²; tabs that share less only touch
MAX_TAB_SHARE = 0.5          # of what it is glued to; a larger face is a flap that closes something


def tab_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each glue statement, for the tab that reaches farthest."""
    yield from _glued_to_own_panel(context)
    yield from _flaps_behind(context)
    yield from _narrow_tabs(context)
    if not context.closes():
        return
    yield from _tabs_outside(context)
    yield from _tabs_on_each_other(context)
    off = {each.act.number: each
           for each in reversed(faces_off_target(context.folded.flat, context.folded.frames, context.glued))}
    for each in off.values():
        yield finding("glue-apart", each.act.span,
                      f"{face_name(each.face)} comes to lie beside what it is glued to, not on it",
                      "look at the directions of the folds between them, and at what it is glued to")
    worst: dict[int, tuple[float, GluedFace]] = {}
    for each in context.glued:
        if each.paired and each.panel != each.target_panel and each.act.number not in off:
            far = tab_overhang(context, each)
            if far > MAX_OVERHANG and far > worst.get(each.act.number, (0.0, each))[0] + EQUAL_LENGTHS:
                worst[each.act.number] = far, each
    for far, each in worst.values():
        if opened := tab_opening(context, each):
            yield finding("tab-sticks-out", opened,
                          f"{face_name(each.face)} reaches {context.length_text(far)} into this opening",
                          "move the opening away from where it is glued, or make the other smaller")
            continue
        yield finding("tab-sticks-out", each.act.span,
                      f"{face_name(each.face)} reaches {context.length_text(far)} beyond the panel it is "
                      "glued "
                      "to", "make it smaller, or taper its ends")


def _tabs_on_each_other(context: PieceContext) -> Iterator[Finding]:
    """Tabs that share a place behind one panel: one finding for each statement that glues the later one."""
    flat, frames = context.folded.flat, context.folded.frames
    placed = [(each, in_frame_of(flat, frames, each.panel, each.target_panel, face_polygon(each.face)))
              for each in context.glued if each.paired and each.panel != each.target_panel]
    reported = set()
    for k, (each, shape) in enumerate(placed):
        for before, other in placed[:k]:
            if (before.target_panel == each.target_panel and before.over == each.over
                    and before.panel != each.panel and each.act.number not in reported
                    and shape.intersection(other).area > MIN_SHARED_AREA):
                reported.add(each.act.number)
                yield finding("tabs-overlap", each.act.span,
                              f"{face_name(each.face)} comes to lie on {face_name(before.face)}, behind the "
                              "same "
                              "panel",
                              "make one of them shorter, so that they lie side by side")


def _tabs_outside(context: PieceContext) -> Iterator[Finding]:
    """Tabs that come to lie on the outside of their wall: under is its plain side, over its printed one."""
    reported = set()
    for each in context.glued:
        panels = context.folded.flat.panels
        if (not each.paired or each.panel == each.target_panel or each.act.number in reported
                or any(context.folded.angles[h.id] > FLAT_FOLD_ANGLE
                       for h in context.folded.flat.hinges_of(each.panel))
                or panels[each.panel].polygon.area > MAX_TAB_SHARE * panels[each.target_panel].polygon.area):
            continue
        side = printed_normal(context, each.target_panel) * (1 if each.over else -1)
        if side @ outward(context, each.target_panel) > 0:
            reported.add(each.act.number)
            yield finding("tab-outside", each.act.span,
                          f"{face_name(each.face)} comes to lie outside, where everybody sees it",
                          "glue it on the other side, with under in place of over, or look at the directions "
                          "of the folds")


def _glued_to_own_panel(context: PieceContext) -> Iterator[Finding]:
    """Tabs glued to the panel they hang on, unless that is folded flat on purpose."""
    reported = set()
    for each in glued_faces(context.plan, context.info.id, context.locator):
        hung = [h for h in context.folded.flat.hinges_of(each.panel)
                if h.other(each.panel) == each.target_panel]
        flat = hung and all(h.bend.angle is not None and h.bend.angle > FLAT_FOLD_ANGLE for h in hung)
        hangs = bool(hung) or context.folded.pouch is not None and _lies_beside(context, each)
        if each.paired and not flat and (hangs or each.panel
                                         == each.target_panel) and each.act.number not in reported:
            reported.add(each.act.number)
            where = "the panel that it hangs on" if hangs else "the very panel that it is part of"
            yield finding("glue-own", each.act.span, f"{face_name(each.face)} is glued to {where}",
                          "name the panel that it shall hold"
                          + ("; a hem is folded by=180 deg" if hung else ""))


def _lies_beside(context: PieceContext, each: GluedFace) -> bool:
    """Whether a face shares an edge in the flat plan with what it is glued to: bent paper has no hinges."""
    panels = context.folded.flat.panels
    shared = panels[each.panel].polygon.intersection(panels[each.target_panel].polygon)
    return bool(shared.length > MIN_TAB_WIDTH)


def _flaps_behind(context: PieceContext) -> Iterator[Finding]:
    """Flaps folded flat on one panel and glued on each other, of which one lies on its other side."""
    groups: dict[int, set[int]] = {}
    for each in context.glued:
        if not each.paired:
            groups.setdefault(each.act.number, {each.target_panel}).add(each.panel)
    for flaps in groups.values():
        hung = [(h, h.other(k)) for k in sorted(flaps) for h in context.folded.flat.hinges_of(k)
                if h.other(k) not in flaps and context.folded.angles[h.id] > FLAT_FOLD_ANGLE]
        for base in {other for _, other in hung}:
            row = [h for h, other in hung if other == base]
            usual = 1 if sum(h.bend.sign for h in row) >= 0 else -1
            odd = [h for h in row if h.bend.sign != usual]
            if odd and len(row) > 2:
                yield finding("folds-contradict", odd[0].bend.span,
                              "this takes a flap behind the panel that it hangs on, and those "
                              "it is glued to lie before it",
                              "look at its direction: mountain and valley may be exchanged")


def _narrow_tabs(context: PieceContext) -> Iterator[Finding]:
    """Tabs with hardly any room for glue: one finding for each statement that makes them."""
    reported = set()
    for each in glued_faces(context.plan, context.info.id, context.locator):
        wide = _breadth(face_polygon(each.face))
        if (each.paired and each.panel != each.target_panel and wide < MIN_TAB_WIDTH - 1e-3
            and each.face.act not in reported):
            reported.add(each.face.act)
            given, least = context.length_texts(wide, MIN_TAB_WIDTH)
            yield finding("tab-narrow", each.face.span,
                          f"{face_name(each.face)} is {given} wide, and holds badly",
                          f"give it {least} or more",
                          Severity.WARNING)


def _breadth(shape: BaseGeometry) -> float:
    """The shorter side of the smallest rectangle about a shape, in mm."""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shape))
    return float(np.hypot(*np.diff(corners[:3], axis=0).T).min()) if len(corners) > 3 else 0.0


def ring_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each tab whose ring leaves a panel outside, and one for each ring with an odd panel."""
    for ring in panel_rings(context):
        left = panel_outside(context, ring)
        if left is not None:
            yield finding("ring-short", ring.tab.act.span,
                          f"this closes a ring of {len(ring.hinges)} panels and leaves "
                          f"{context.panel_name(left)} outside",
                          "glue it to the panel at the end of the row; where a panel shall "
                          "hang over, say how far it is folded (by=…)")
        elif (odd := _odd_panel(ring.widths) or _mixed_panel(ring)) is not None:
            k, usual = odd
            hinge = ring.hinges[max(k - 1, 0)]
            span = next((m.span for m in context.state.marks if m.id == hinge.mark), context.info.span)
            own, others = context.length_texts(ring.widths[k], usual)
            yield finding("panels-uneven", span,
                          f"panel {k + 1} of the ring that these folds make is {own} wide, its like {others}",
                          "make them the same; half a millimetre less is left as an ease",
                          Severity.WARNING)


def _mixed_panel(ring: PanelRing) -> tuple[int, float] | None:
    """The first panel of four at right angles that is unlike its opposite, and the width of that."""
    angles = [hinge.bend.angle for hinge in ring.hinges]
    if len(ring.widths) != SQUARE or any(a is None or abs(a - np.pi / 2) > EQUAL_LENGTHS for a in angles):
        return None
    apart = np.abs(np.array(ring.widths[:2]) - ring.widths[2:])
    return (2 + int(apart.argmax()), ring.widths[int(apart.argmax())]) if apart.max() > MAX_SLIP else None


def _odd_panel(widths: Sequence[float]) -> tuple[int, float] | None:
    """The one panel that differs a little from all others, or from its opposite; and their width."""
    w = np.array(widths)
    if len(w) == 4:
        gaps = w[:2] - w[2:]
        for k in (0, 1):
            if abs(gaps[1 - k]) <= WIDTH_TOLERANCE and MAX_EASE < abs(gaps[k]) <= MAX_SLIP:
                wide = k if gaps[k] > 0 else k + 2
                return wide, float(w[(wide + 2) % 4])
        return None
    usual = float(np.median(w))
    off = np.flatnonzero(np.abs(w - usual) > WIDTH_TOLERANCE)
    return (int(off[0]),
            usual) if len(w) > 4 and len(off) == 1 and MAX_EASE < abs(w[off[0]] - usual) <= MAX_SLIP else None
