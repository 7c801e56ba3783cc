"""Glued tabs: the rings of panels that they close, and how far they reach beyond what they lie on."""
from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from generator.folding.closings import GluedFace, face_polygon
from generator.folding.piece_context import PieceContext, feature
from generator.folding.records import Hinge
from generator.folding.rigid_folding import in_frame_of, parallel_ring
from generator.geometry.tolerances import NEGLIGIBLE_AREA

MIN_RING_PANELS = 3          # panels that make a ring


@dataclass(frozen=True, slots=True, eq=False)
class PanelRing:
    """A row of panels closed by a tab: hinges from the target's to the tab's own, panel widths (mm)."""

    tab: GluedFace
    hinges: tuple[Hinge, ...]
    widths: tuple[float, ...]


@feature
def panel_rings(context: PieceContext) -> tuple[PanelRing, ...]:
    """Every ring of panels that a tab of the piece closes, in the order of gluing."""
    return tuple(ring for each in context.glued if (ring := panel_ring(context, each)) is not None)


def leaves_panel_out(context: PieceContext) -> bool:
    """Whether a tab closes a ring that leaves a panel outside."""
    return any(panel_outside(context, ring) is not None for ring in panel_rings(context))


def panel_ring(context: PieceContext, each: GluedFace) -> PanelRing | None:
    """The ring of panels that a glued face closes; None where it closes none."""
    row = parallel_ring(context.link, each)
    if row is None or len(row) < MIN_RING_PANELS or each.panel == each.target_panel:
        return None
    hinges = [context.folded.flat.hinges[k] for k in row]
    across = hinges[0].normal
    places = np.array([h.start @ across for h in hinges])
    start = context.folded.flat.panels[each.target_panel].polygon
    ends = np.asarray(start.exterior.coords) @ across
    order = np.argsort(places)
    if abs(places - ends.mean()).argmin() == order[-1]:
        order = order[::-1]
    rows = np.concatenate([[ends.min() if places[order[0]] > ends.mean() else ends.max()], places[order]])
    return PanelRing(each, tuple(hinges[k] for k in order), tuple(map(float, np.abs(np.diff(rows)))))


def panel_outside(context: PieceContext, ring: PanelRing) -> int | None:
    """The panel on the far side of what a tab is glued to, whose fold is neither given nor held."""
    held = {k for s in context.glued if s.paired for k in (s.panel, s.target_panel)}
    inside = {k for hinge in ring.hinges for k in (hinge.left, hinge.right)}
    for hinge in context.folded.flat.hinges_of(ring.tab.target_panel):
        other = hinge.other(ring.tab.target_panel)
        aside = abs(ring.hinges[0].normal @ hinge.direction)
        if other not in inside and aside < 1e-6 and other not in held and hinge.bend.angle is None:
            return other
    return None


def tab_overhang(context: PieceContext, each: GluedFace) -> float:
    """How far, in mm, a glued face reaches beyond its target's panel."""
    flat, frames = context.folded.flat, context.folded.frames
    whole = face_polygon(each.face).intersection(flat.panels[each.panel].polygon)
    shape, panel = in_frame_of(flat, frames, each.panel, each.target_panel,
                               whole), flat.panels[each.target_panel].polygon
    return overhang(shape, panel)


def overhang(shape: BaseGeometry, panel: BaseGeometry) -> float:
    """How far, in mm, a shape reaches beyond a panel; less than :data:`NEGLIGIBLE_AREA` is nothing."""
    out = shape.difference(panel)
    if out.area < NEGLIGIBLE_AREA:
        return 0.0
    return float(shapely.distance(panel, shapely.points(shapely.get_coordinates(out))).max())
