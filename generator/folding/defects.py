"""Defects of a box on which something is set wrong: their measures, and how much goes unseen."""
from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from generator.dataclass import dataclass
from generator.folding.features.crown import Crown
from generator.folding.features.floors import Floor, floor_of, floors
from generator.folding.features.lids import lid_clearances
from generator.folding.features.tabs_and_rings import tab_overhang
from generator.folding.features.tops import petals, top_of
from generator.folding.marking_errors import MapNodes
from generator.folding.piece_context import PieceContext
from generator.folding.records import Hinge
from generator.folding.rigid_folding import parallel_ring
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import (
    HINGE_END_TOLERANCE,
    MAX_LID_AIR,
    MAX_OVERHANG,
    MAX_UNSEEN_GAP,
    MAX_UNSEEN_LEAN,
    MAX_UNSEEN_TWIST,
    MIN_HOLE_DIAMETER,
)
from generator.paper.work_kinds import Effect

# defects, in the order in which they are told
DEFECT_KINDS = ("seam", "apart", "twist", "lean", "floor", "top-flat", "top-tall", "top-open", "lid-tight",
                "lid-loose", "tab")


@dataclass(frozen=True, slots=True)
class Defect:
    """One thing that may fail: it does when ``value`` passes ``limit`` (mm), upwards.

    ``piece`` and ``act`` say where; for what has room to spare the value is the spare room, negative, and the
    limit 0.
    """

    kind: str
    piece: int
    act: int
    value: float
    limit: float
    # what people see of it, in mm: how high a top rises, how much air a lid has; else the value
    seen: float = 0.0


class DefectMeter:
    """Measures the defects of one piece, as planned and as it comes out when something was set wrong."""

    def __init__(self, context: PieceContext, nodes: MapNodes,
                 lids: Sequence[tuple[PieceContext, PieceContext]] = ()) -> None:
        self.context, self.nodes = context, nodes
        self.floors = floors(context)
        self.lids = [pair for pair in lids if context.info.id in (pair[0].info.id, pair[1].info.id)]
        self.top = top_of(context)
        self.petals = _Petals(context, nodes) if self._gathers() else None
        self.tabs = [s for s in context.glued if s.paired
                     and s.panel != s.target_panel] if context.closes() else []
        self.rings = [row for row in (parallel_ring(context.link, s) for s in self.tabs) if row is not None
                      and len(row) > 2]
        self.walls = self._walls()

    def _gathers(self) -> bool:
        return any(a.effect is Effect.GATHER and a.pieces[:1] == (self.context.info.id,)
                   for a in self.context.plan.acts)

    def _walls(self) -> list[tuple[int, int, float]]:
        """(wall, what it stands on, how high it is) for walls that stand round a floor."""
        folded, root = self.context.folded, self.context.link.root
        bases = {k for floor in self.floors for k in floor.flaps} or {root}
        result = []
        for base in sorted(bases):
            for hinge in folded.flat.hinges_of(base):
                wall = hinge.other(base)
                settled = hinge.id not in folded.undetermined and hinge.bend.angle is None
                if wall not in bases and settled and self.context.is_rigid(wall) and self.context.is_rigid(
                        base):
                    result.append((wall, base, _depth_from_hinge(folded.flat.panels[wall].polygon, hinge)))
        return result if len(result) > 2 else []

    def defects(self, now: PieceContext, gaps: FloatArray, by: FloatArray) -> Iterator[Defect]:
        """Everything that may fail on the piece ``now``, its corners moved ``by`` (nodes × 2, mm)."""
        piece, moved = self.context.info.id, np.any(by != 0, axis=1)
        yield from self._closings(gaps)
        yield from self._twist(now)
        yield from self._lean(now)
        for floor in self.floors:
            there = floor_of(now, floor.act, floor.flaps, 8 * HINGE_END_TOLERANCE)
            if there is not None:
                wide = _largest_hole(there)
                yield Defect("floor", piece, floor.act.number, wide, MIN_HOLE_DIAMETER, wide)
        if self.petals is not None:
            yield from self.petals.defects(self.nodes.points + by, self.top is not None and self.top.tucked)
        yield from self._lids(now)
        yield from self._tabs(now, moved)

    def _closings(self, gaps: FloatArray) -> Iterator[Defect]:
        worst: dict[tuple[str, int], float] = {}
        for closing, gap in zip(self.context.closings, gaps, strict=True):
            kind = {"seam": "seam", "edge": "seam", "glue": "apart", "loop": "apart",
                    "gather": "top-open"}[closing.kind]
            if kind == "top-open" and self.petals is not None and self.petals.even:
                continue        # the closed form tells it better
            worst[kind, closing.act] = max(worst.get((kind, closing.act), 0.0), float(gap))
        for (kind, act), gap in worst.items():
            yield Defect(kind, self.context.info.id, act, gap, MAX_UNSEEN_GAP, gap)

    def _twist(self, now: PieceContext) -> Iterator[Defect]:
        for row, tab in zip(self.rings, self.tabs, strict=False):
            turns = np.abs(now.folded.angles[row] - self.context.folded.angles[row])
            wide = min(math.sqrt(self.context.folded.flat.panels[k].polygon.area)
                       for k in (tab.target_panel,))
            yield Defect("twist", self.context.info.id, tab.act.number, float(turns.max()) * wide,
                         MAX_UNSEEN_TWIST, float(turns.max()) * wide)

    def _lean(self, now: PieceContext) -> Iterator[Defect]:
        far = 0.0
        for wall, base, high in self.walls:
            before, after = (_dihedral_angle(c, wall, base) for c in (self.context, now))
            far = max(far, abs(after - before) * high)
        if self.walls:
            yield Defect("lean", self.context.info.id, self.context.info.act, far, MAX_UNSEEN_LEAN, far)

    def _lids(self, now: PieceContext) -> Iterator[Defect]:
        for lid, base in self.lids:
            pair = (now, base) if lid.info.id == now.info.id else (lid, now)
            air = [spare - needed for _, spare, needed in lid_clearances(*pair)]
            yield Defect("lid-tight", lid.info.id, lid.info.act, -min(air), 0.0, max(min(air), 0.0))
            yield Defect("lid-loose", lid.info.id, lid.info.act, max(air), MAX_LID_AIR, max(air))

    def _tabs(self, now: PieceContext, moved: FloatArray) -> Iterator[Defect]:
        worst: dict[int, float] = {}
        for each in self.tabs:
            if now is self.context or self._touched(each.panel,
                                                 moved) or self._touched(each.target_panel, moved):
                worst[each.act.number] = max(worst.get(each.act.number, 0.0), tab_overhang(now, each))
        for act, far in worst.items():
            yield Defect("tab", self.context.info.id, act, far, 2 * MAX_OVERHANG, far)

    def _touched(self, panel: int, moved: FloatArray) -> bool:
        return any(moved[ring].any() for ring in self.nodes.rings[panel])


def _largest_hole(floor: Floor) -> float:
    """The diameter of the largest hole in a floor, in mm, however small."""
    parts = [g for g in getattr(floor.open, "geoms", [floor.open]) if g.geom_type == "Polygon"
             and g.area > 0.05]
    return max((2 * shapely.maximum_inscribed_circle(part).length for part in parts), default=0.0)


def _depth_from_hinge(polygon: shapely.Polygon, hinge: Hinge) -> float:
    return float(np.abs((shapely.get_coordinates(polygon) - hinge.start) @ hinge.normal).max())


def _dihedral_angle(context: PieceContext, wall: int, base: int) -> float:
    """The angle between a wall and what it stands on, in radians."""
    return math.acos(float(np.clip(context.folded.normal(wall) @ context.folded.normal(base), -1, 1)))


class _Petals:
    """The petals of a gathered top, straight or curved: the two ends of each one's foot, and its peak."""

    def __init__(self, context: PieceContext, nodes: MapNodes) -> None:
        self.context = context
        self.act = next(a for a in context.plan.acts if a.effect is Effect.GATHER
                        and a.pieces[:1] == (context.info.id,))
        found = petals(context.plan, context.state, context.link)
        walls = {k for k in range(len(nodes.rings)) if k not in found and context.is_rigid(k)}
        self.rows = [row for k in found if (row := self._foot(nodes, k, walls)) is not None]
        widths, heights = self._sizes(nodes.points)
        self.even = len(self.rows) > 2 and float(np.ptp(widths) + np.ptp(heights)) < 1e-3
        self.straight = all(context.is_rigid(k) for k in found)

    def _foot(self, nodes: MapNodes, petal: int, walls: set[int]) -> tuple[int, int, int] | None:
        """The corners shared with one wall, the ends of the foot, and the one farthest from them."""
        ring = nodes.rings[petal][0]
        peak_of = None
        for wall in walls:
            shared = [n for n in ring if n in nodes.rings[wall][0]]
            if len(shared) != 2:
                continue
            a, b = nodes.points[shared]
            step = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
            far = np.abs((nodes.points[ring] - a) @ np.array((-step[1], step[0])))
            middle = abs((nodes.points[ring[far.argmax()]] - (a + b) / 2) @ step)
            if middle < 0.1 * np.hypot(*(b - a)):
                peak_of = (int(shared[0]), int(shared[1]), int(ring[far.argmax()]))
        return peak_of

    def _sizes(self, places: FloatArray) -> tuple[FloatArray, FloatArray]:
        if not self.rows:
            return np.zeros(0), np.zeros(0)
        a, b, peak = (places[[row[k] for row in self.rows]] for k in range(3))
        step = b - a
        wide = np.hypot(*step.T)
        reach = peak - a
        return wide, np.abs(reach[:, 0] * step[:, 1] - reach[:, 1] * step[:, 0]) / np.maximum(wide, 1e-9)

    def crown(self, places: FloatArray) -> tuple[Crown, Crown] | None:
        """The lowest and the highest petal as crowns; None where they are not planned alike."""
        if not self.even:
            return None
        wide, high = self._sizes(places)
        return (Crown(len(wide), float(wide.mean()), float(high.min())),
                Crown(len(wide), float(wide.mean()), float(high.max())))

    def defects(self, places: FloatArray, tucked: bool) -> Iterator[Defect]:
        crowns = self.crown(places)
        if crowns is None:
            return
        low, high = crowns
        yield Defect("top-flat", self.context.info.id, self.act.number, low.apothem - low.height, 0.0,
                     low.rise or 0.0)
        if tucked and self.straight:
            room = high.circumradius - high.height
            yield Defect("top-tall", self.context.info.id, self.act.number, -room, 0.0, max(room, 0.0))
