"""Flat pieces glued on a folded one, and bands round it, as parts and lines of a solid."""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

import numpy as np
import shapely
from shapely import MultiPoint, Polygon

from generator.drawing.folded.camera import Facet, LineKind, SpaceLine
from generator.drawing.folded.layer_order import LAYER_DISTANCE
from generator.drawing.folded.projection import opposite_side
from generator.folding import FoldedPiece
from generator.folding.closings import PanelLocator
from generator.folding.records import placed_points
from generator.folding.stages import FoldStage
from generator.geometry.arrays import FloatArray
from generator.paper.glue_sides import LaidPiece, laid_pieces
from generator.paper.records import Band, PieceInfo, Plan

MIN_LAID_AREA = 2.0         # mm²; less of a piece on a panel is not drawn
PANEL_EDGE = 0.05           # mm from the edge of a panel to that of a piece that is folded with it
LAID_NOTE, BAND_NOTE = "laid", "band"
BAND_DISTANCE = 0.1         # mm from a box to the band round it

Attached = tuple[Facet | None, tuple[SpaceLine, ...]]       # a part, and lines that bound it as part 0


class Attachments:
    """What is glued on one piece or put round it."""

    def __init__(self, plan: Plan, piece: FoldedPiece, info: PieceInfo) -> None:
        self.plan, self.piece, self.info = plan, piece, info
        self.steps = {act.number: act.step for act in plan.acts}
        self.laid = [each for each in laid_pieces(plan) if each.host == piece.piece]

    def until(self, stage: FoldStage, lifts: Mapping[int, float], firm: list[int]) -> Iterator[Attached]:
        """Everything that is there after a stage."""
        for each in self.laid:
            if self.steps[each.act] <= stage.step:
                for panel in firm:
                    yield from self._laid(each, stage, panel, lifts.get(panel, 0.0))
        for act in self.plan.acts:
            if isinstance(act.detail, Band) and act.step <= stage.step:
                yield from self._band(act.pieces[0], act.detail, stage, firm)

    def notes(self, stage: FoldStage) -> tuple[str, ...]:
        """Keys of remarks on what is there after a stage."""
        laid = any(self.steps[each.act] <= stage.step for each in self.laid)
        banded = any(isinstance(act.detail, Band) and act.step <= stage.step for act in self.plan.acts)
        return ((LAID_NOTE,) if laid else ()) + ((BAND_NOTE,) if banded else ())

    def _laid(self, laid: LaidPiece, stage: FoldStage, panel: int, lift: float) -> Iterator[Attached]:
        """So much of a glued piece as lies on a panel: a part, or its edge alone where it covers a window."""
        shape = self.piece.flat.panels[panel].polygon
        window = laid.area.intersection(Polygon(shape.exterior)).difference(shape).area > MIN_LAID_AREA
        side = 1.0 if laid.on == self.info.up else -1.0
        for part in shapely.get_parts(laid.area.intersection(shape)):
            if not isinstance(part, Polygon) or part.area < MIN_LAID_AREA:
                continue
            part = shapely.orient_polygons(part)
            rings = [placed_points(stage.frames[panel], np.asarray(ring.coords)[:-1])
                     for ring in (part.exterior, *part.interiors)]
            own = shapely.line_merge(part.exterior.difference(shape.boundary.buffer(PANEL_EDGE)))
            lines = tuple(SpaceLine(LineKind.EDGE, placed_points(stage.frames[panel], xy), (0,))
                          for each in shapely.get_parts(own)
                          if len(xy := shapely.get_coordinates(each)) > 1)
            yield (None if window else
                   Facet(rings[0], laid.out if side > 0 else opposite_side(laid.out), tuple(rings[1:]),
                         lift + side * LAYER_DISTANCE / 2)), () if window else lines

    def _band(self, piece: int, band: Band, stage: FoldStage, firm: list[int]) -> Iterator[Attached]:
        """A strip drawn tight round the box, across the edges between the faces that it lies on."""
        locator = PanelLocator(self.piece.flat)
        normals = [stage.frames[locator.panel(face)][:3, 2] for face in band.faces
                   if face.piece == self.piece.piece]
        turns = [np.cross(a, b) for a, b in pairwise((*normals, *normals[:1]))]
        axis = np.sum(turns, axis=0)
        if not np.linalg.norm(axis):
            return
        axis = axis / np.linalg.norm(axis)
        across = np.linalg.svd(axis[None])[2][1:]
        points = np.concatenate([self.piece.corners(k) for k in firm])
        hull = MultiPoint(points @ across.T).convex_hull.buffer(BAND_DISTANCE, join_style="mitre")
        along, state = points @ axis, self.plan.final_state(piece)
        half = float(min(state.width.value, state.height.value)) / 2 * axis
        middle = (along.min() + along.max()) / 2 * axis
        ring = shapely.get_coordinates(shapely.orient_polygons(hull.simplify(PANEL_EDGE))) @ across + middle
        if np.linalg.det((*across, axis)) < 0:
            ring = ring[::-1]
        up = next(info.up for info in self.plan.pieces if info.id == piece)
        for a, b in pairwise(ring):
            corners: FloatArray = np.array((a - half, b - half, b + half, a + half))
            yield Facet(corners, up), tuple(
                SpaceLine(LineKind.EDGE if k % 2 == 0 else LineKind.FOLD, corners[[k, (k + 1) % 4]], (0,))
                for k in (0, 1, 2))
