"""Flat pieces glued on a folded one, and bands round it, as parts and lines of a solid."""
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import pairwise

import numpy as np
import shapely
from shapely import MultiPoint, Polygon

from generator.dataclass import dataclass
from generator.drawing.folded.camera import Facet, LineKind, SpaceLine
from generator.drawing.folded.layer_order import LAYER_DISTANCE
from generator.drawing.folded.projection import opposite_side
from generator.folding import FoldedPiece
from generator.folding.closings import PanelLocator
from generator.folding.records import Panel, placed_points
from generator.folding.stages import FoldStage
from generator.geometry.arrays import FloatArray
from generator.paper.glue_sides import LaidPiece, laid_pieces
from generator.paper.records import Band, PieceInfo, Plan

MIN_LAID_AREA = 2.0         # mm²; less of a piece on a panel is not drawn
PANEL_EDGE = 0.05           # mm from the edge of a panel to that of a piece that is folded with it
LAID_NOTE, BAND_NOTE = "laid", "band"
BAND_DISTANCE = 0.1         # mm from a box to the band round it

Attached = tuple[Facet, tuple[SpaceLine, ...]]      # a part, and lines that bound it as part 0


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """So much of a glued piece as lies on a ``panel``, in the flat plan: its ``shape`` and its own ``edges``.

    ``side`` is +1 on the panel's +z side; ``up`` is the +z side of what is glued there, ``info`` its piece.
    """

    panel: int
    shape: Polygon
    edges: tuple[FloatArray, ...]
    side: float
    up: str
    info: PieceInfo


class Attachments:
    """What is glued on one piece or put round it."""

    def __init__(self, plan: Plan, piece: FoldedPiece, info: PieceInfo) -> None:
        self.plan, self.piece, self.info = plan, piece, info
        self.steps = {act.number: act.step for act in plan.acts}
        self.laid = [each for each in laid_pieces(plan) if each.host == piece.piece]

    def until(self, stage: FoldStage, lifts: Mapping[int, float], firm: list[int]) -> Iterator[Attached]:
        """Everything that is there after a stage."""
        for step, patch in self.patches(firm.__contains__):
            if step <= stage.step:
                frame = stage.frames[patch.panel]
                rings = [placed_points(frame, np.asarray(ring.coords)[:-1])
                         for ring in (patch.shape.exterior, *patch.shape.interiors)]
                lift = lifts.get(patch.panel, 0.0) + patch.side * LAYER_DISTANCE / 2
                yield Facet(rings[0], patch.up, tuple(rings[1:]), lift, patch.info), tuple(
                    SpaceLine(LineKind.EDGE, placed_points(frame, xy), (0,)) for xy in patch.edges)
        for step, facet, lines in self.bands(stage, firm.__contains__):
            if step <= stage.step:
                yield facet, lines

    def patches(self, is_firm: Callable[[int], bool]) -> Iterator[tuple[int, Patch]]:
        """What is glued on each flat panel, and the step in which."""
        for each in self.laid:
            for panel in self.piece.flat.panels:
                if is_firm(panel.id):
                    yield from ((self.steps[each.act], patch) for patch in self._laid(each, panel))

    def bands(self, stage: FoldStage, is_firm: Callable[[int], bool]
              ) -> Iterator[tuple[int, Facet, tuple[SpaceLine, ...]]]:
        """The sides of every band, as they lie at a stage, and the step in which it is put round."""
        firm = [panel.id for panel in self.piece.flat.panels if is_firm(panel.id)]
        for act in self.plan.acts:
            if isinstance(act.detail, Band):
                yield from ((act.step, *side) for side in self._band(act.pieces[0], act.detail, stage, firm))

    def notes(self, stage: FoldStage) -> tuple[str, ...]:
        """Keys of remarks on what is there after a stage."""
        laid = any(self.steps[each.act] <= stage.step for each in self.laid)
        banded = any(isinstance(act.detail, Band) and act.step <= stage.step for act in self.plan.acts)
        return ((LAID_NOTE,) if laid else ()) + ((BAND_NOTE,) if banded else ())

    def _laid(self, laid: LaidPiece, panel: Panel) -> Iterator[Patch]:
        """So much of a glued piece as lies on a panel; nothing of a film over a window, which is clear."""
        shape = panel.polygon
        if laid.area.intersection(Polygon(shape.exterior)).difference(shape).area > MIN_LAID_AREA:
            return
        side = 1.0 if laid.on == self.info.up else -1.0
        for part in shapely.get_parts(laid.area.intersection(shape)):
            if not isinstance(part, Polygon) or part.area < MIN_LAID_AREA:
                continue
            part = shapely.orient_polygons(part)
            own = shapely.line_merge(part.exterior.difference(shape.boundary.buffer(PANEL_EDGE)))
            edges = tuple(xy for each in shapely.get_parts(own)
                          if len(xy := shapely.get_coordinates(each)) > 1)
            yield Patch(panel.id, part, edges, side, laid.out if side > 0 else opposite_side(laid.out),
                        laid.info)

    def _band(self, piece: int, band: Band, stage: FoldStage,
              firm: list[int]) -> Iterator[tuple[Facet, tuple[SpaceLine, ...]]]:
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
        info = next(info for info in self.plan.pieces if info.id == piece)
        for a, b in pairwise(ring):
            corners: FloatArray = np.array((a - half, b - half, b + half, a + half))
            yield Facet(corners, info.up, info=info), tuple(
                SpaceLine(LineKind.EDGE if k % 2 == 0 else LineKind.FOLD, corners[[k, (k + 1) % 4]], (0,))
                for k in (0, 1, 2))
