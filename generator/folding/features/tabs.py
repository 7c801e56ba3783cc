"""Glued tabs: how far they reach beyond what they lie on."""
from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from generator.folding.closings import GluedFace, face_polygon
from generator.folding.piece_context import PieceContext
from generator.folding.rigid_folding import in_frame_of
from generator.geometry.tolerances import NEGLIGIBLE_AREA


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
