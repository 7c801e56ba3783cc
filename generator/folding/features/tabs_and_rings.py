"""Glued tabs: the rings of panels that they close, and how far they reach beyond what they lie on."""
from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass
from generator.findings import Span
from generator.folding.closings import GluedFace, face_polygon
from generator.folding.piece_context import PieceContext, feature
from generator.folding.records import Hinge
from generator.folding.rigid_folding import in_frame_of, parallel_ring
from generator.geometry import Line
from generator.geometry.strokes import polyline
from generator.geometry.tolerances import CHORD_TOLERANCE, NEGLIGIBLE_AREA

RIM_STEP = 1.0               # mm from one place to the next of a shape whose reach is measured
MIN_RING_PANELS = 3          # panels that make a ring
MIN_GLUED_SHARE = 0.4        # of a flap; what is glued so far must lie on its target as a whole


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
    return overhang(_tab_on_target(context, each), context.folded.flat.panels[each.target_panel].polygon)


def _tab_on_target(context: PieceContext, each: GluedFace) -> BaseGeometry:
    """A glued face where it lies on its target, with the flap of which it is most."""
    flat, frames = context.folded.flat, context.folded.frames
    paper = flat.panels[each.panel].polygon
    shape = face_polygon(each.face).intersection(paper)
    if shape.area > MIN_GLUED_SHARE * paper.area and len(flat.hinges_of(each.panel)) == 1:
        shape = paper
    return in_frame_of(flat, frames, each.panel, each.target_panel, shape)


def opening_below(context: PieceContext, panel: BaseGeometry, shape: BaseGeometry) -> Span | None:
    """The statement that cut the opening into which a shape on a panel reaches; None where it reaches out.

    ``panel`` and ``shape`` lie in the flat plan of the piece. What lies beyond the corners of the panel
    reaches into an opening only where that is round.
    """
    out = max(shapely.get_parts(shape.difference(panel)), key=lambda part: _reach(part, panel))
    beyond = out.difference(panel.convex_hull).area >= NEGLIGIBLE_AREA
    near = out.boundary.buffer(CHORD_TOLERANCE)
    rims = [rim for loop in (context.state.outline, *context.state.holes) for rim in loop
            if rim.act != context.info.act and not (beyond and isinstance(rim.stroke, Line))
            and shapely.LineString(polyline(rim.stroke)).intersection(near).length > RIM_STEP]
    return max(rims, key=lambda rim: rim.act).span if rims else None


def tab_opening(context: PieceContext, each: GluedFace) -> Span | None:
    """The statement that cut the opening of its target into which a glued face reaches; else None."""
    panel = context.folded.flat.panels[each.target_panel].polygon
    return opening_below(context, panel, _tab_on_target(context, each))


def overhang(shape: BaseGeometry, panel: BaseGeometry) -> float:
    """How far, in mm, a shape reaches beyond a panel; less than :data:`NEGLIGIBLE_AREA` is nothing."""
    out = shape.difference(panel)
    if out.area < NEGLIGIBLE_AREA:
        return 0.0
    return _reach(out, panel)


def _reach(out: BaseGeometry, panel: BaseGeometry) -> float:
    rim = shapely.get_coordinates(shapely.segmentize(out, RIM_STEP))       # the middle of an edge may lie out
    return float(shapely.distance(panel, shapely.points(rim)).max())
