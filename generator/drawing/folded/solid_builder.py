"""From folded pieces to solids that can be drawn: panels, bent sheets, edges, folds and ribbons in space."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString, Point

from generator.dataclass import dataclass, replace
from generator.drawing.folded.attachments import Attachments
from generator.drawing.folded.bent_sheets import bent_lines, bent_parts, points_on_surface, surface_borders
from generator.drawing.folded.camera import BentPart, Facet, LineKind, SpaceLine
from generator.drawing.folded.layer_order import LayerOrder
from generator.drawing.folded.ribbons import RIBBON_OFFSET, ribbon_line
from generator.folding import BentSurface, FoldedPiece
from generator.folding.piece_context import final_state
from generator.folding.records import placed_points
from generator.folding.stages import FoldMotion, FoldStage
from generator.geometry import Circle
from generator.geometry.arrays import FloatArray
from generator.geometry.strokes import polyline
from generator.geometry.ties import first_smallest, snapped
from generator.geometry.tolerances import (
    EQUAL_LENGTHS,
    MIN_BORDER_LENGTH,
    MIN_DRAWN_FOLD,
    PLACE_TOLERANCE,
)
from generator.paper.records import PieceInfo, Plan, Thread
from generator.paper.work_kinds import Effect

RIBBON_STEP = 3.0           # mm of ribbon between two of its points
TIGHT_RIBBON_OFFSET = 1.5   # … where it is pulled tight over a gathered top
USUAL_RIBBON = 400.0        # mm, where nobody says how long it is
HOLE_CORNERS = 12           # corners of a punched hole
FLAT_HEIGHT_SHARE = 0.05    # of its width: what is lower lies flat

UPRIGHT_NOTE = "upright"    # a note: the paper beside curved folds stands as it did before it was gathered


@dataclass(frozen=True, slots=True, eq=False)
class PieceShape:
    """One piece at one stage, on the table, its centre at the origin; ``ribbons`` are lines (n × 3)."""

    info: PieceInfo
    parts: tuple[Facet | BentPart, ...]
    lines: tuple[SpaceLine, ...]
    ribbons: tuple[FloatArray, ...]
    notes: tuple[str, ...] = ()

    def points(self) -> FloatArray:
        """Every corner of its paper, n × 3."""
        return np.concatenate([part.points for part in self.parts])

    def moved(self, turn: FloatArray, shift: FloatArray, first: int = 0) -> PieceShape:
        """Turned (3 × 3), shifted, and with the numbers of its parts counted from ``first``."""
        def move(points: FloatArray) -> FloatArray:
            return snapped(points @ turn.T + shift)     # the same on every processor, to the bit
        parts = tuple(replace(p, corners=move(p.corners), holes=tuple(map(move, p.holes)))
                      if isinstance(p, Facet) else replace(p, points=move(p.points)) for p in self.parts)
        lines = tuple(replace(line, points=move(line.points), parts=tuple(k + first for k in line.parts))
                      for line in self.lines)
        return replace(self, parts=parts, lines=lines, ribbons=tuple(map(move, self.ribbons)))


class SolidBuilder:
    """Makes the shapes of one piece. ``turn`` takes its coordinates to the table's: x right, y away, z up."""

    def __init__(self, plan: Plan, piece: FoldedPiece) -> None:
        self.plan, self.piece = plan, piece
        self.info = next(p for p in plan.pieces if p.id == piece.piece)
        self.motion = FoldMotion(plan, piece)
        self.surface: BentSurface | None = piece.surface
        self.layers = LayerOrder(self.motion, self.info.up == "printed")
        self.attachments = Attachments(plan, piece, self.info)
        self._substitutes, self._polygons = _substitute_panels(piece), [p.polygon for p in piece.flat.panels]
        self.turn = self._turn()
        self._shapes: dict[int, PieceShape] = {}

    @property
    def stages(self) -> tuple[FoldStage, ...]:
        """The stages of its folding, in order."""
        return self.motion.stages

    def shape(self, stage: FoldStage) -> PieceShape:
        """The piece as it stands then, on the table, its centre at the origin."""
        if not any(stage is known for known in self.stages):
            return self._shape(stage)       # between two stages
        if stage.step not in self._shapes:
            self._shapes[stage.step] = self._shape(stage)
        return self._shapes[stage.step]

    def _shape(self, stage: FoldStage) -> PieceShape:
        surface = stage.surface
        covered = frozenset(surface.panel.tolist() if surface is not None else ())
        panels = [p.id for p in self.piece.flat.panels if p.id not in covered
                  and self.carrier(p.id) is not None]
        firm = [k for k in panels if self.is_firm(k)]
        lifts = self.layers.lifts(stage, firm)
        number = {k: place for place, k in enumerate(panels)}
        parts: list[Facet | BentPart] = [self._facet(stage, k, lifts.get(k, 0.0)) for k in panels]
        lines = [*self._hinges(stage, number), *self._edges(stage, number), *self._soft_lines(stage, number),
                 *self._hole_rims(stage, number)]
        if surface is not None:
            parts += bent_parts(surface, self.info)
            lines += [*bent_lines(surface), *self._bent_hole_rims(stage, surface),
                      *surface_borders(surface, stage.frames,
                                       [p for p in self.piece.flat.panels if self.is_firm(p.id)])]
        for part, bounds in self.attachments.until(stage, lifts, firm):
            lines += [replace(line, parts=(len(parts),)) for line in bounds]
            parts.append(part)
        upright = surface is None and len(firm) < len(panels)
        notes = ((UPRIGHT_NOTE,) if upright else ()) + self.attachments.notes(stage)
        shape = PieceShape(self.info, tuple(parts), tuple(lines), tuple(self.ribbons(stage)), notes)
        turned = shape.moved(self.turn, np.zeros(3))
        points = turned.points()
        low, high = points.min(axis=0), points.max(axis=0)
        return turned.moved(np.eye(3), -np.array((*(low + high)[:2] / 2, low[2])))

    # -- where panels are ---------------------------------------------------

    def is_firm(self, panel: int) -> bool:
        """Whether a panel stays flat and has a place of its own."""
        return self.piece.placed[panel] and not self.piece.flat.panels[panel].soft

    def carrier(self, panel: int) -> int | None:
        """The panel whose frame a panel has: itself, or, beside a curved fold, the nearest firm one."""
        return panel if self.is_firm(panel) else self._substitutes.get(panel)

    def _frame(self, stage: FoldStage, panel: int) -> FloatArray:
        """Where a panel lies (4 × 4), that of its carrier. Raises KeyError for one that has none."""
        frame: FloatArray = stage.frames[panel if self.is_firm(panel) else self._substitutes[panel]]
        return frame

    def _turn(self) -> FloatArray:
        figures = self.piece.dimensions
        axes = figures.axes if figures is not None else None
        turn = np.array(axes) if axes is not None else self.piece.frames[self.motion.link.root][
            :3, :3].T.copy()
        firm = [p.id for p in self.piece.flat.panels if self.is_firm(p.id)]
        if not self.stages or not firm:
            return turn
        points = np.concatenate([self.piece.corners(k) for k in firm]) @ turn.T
        if np.ptp(points[:, 2]) < FLAT_HEIGHT_SHARE * np.ptp(points[:, :2], axis=0).max():
            return self._turn_lying(self.stages[-1], firm, turn)
        return turn

    def _turn_lying(self, last: FoldStage, firm: Sequence[int], turn: FloatArray) -> FloatArray:
        """Flat on the table with its flaps up, the last of them hinged at the far side."""
        lifts = self.layers.lifts(last, firm)
        if sum(lift * (turn[2] @ last.frames[k][:3, 2]) for k, lift in lifts.items()) < -PLACE_TOLERANCE:
            turn = np.diag((1.0, -1.0, -1.0)) @ turn
        top = max(lifts, key=lambda k: (abs(lifts[k]), -k), default=None)
        arm = next((arm for arm in self.motion.link.arms if arm.panel == top), None)
        if arm is None:
            return turn
        hinge = self.piece.flat.hinges[arm.hinge]
        ends = placed_points(last.frames[arm.parent], np.array((hinge.start, hinge.end))) @ turn.T
        centre = np.concatenate([self.piece.corners(k) for k in firm]).mean(axis=0) @ turn.T
        along = (ends[1] - ends[0])[:2]
        if np.hypot(*along) <= EQUAL_LENGTHS:   # it is hinged upright, so no side is the far one
            return turn
        away = np.array((-along[1], along[0])) / np.hypot(*along)
        away = away if away @ (ends.mean(axis=0) - centre)[:2] >= -EQUAL_LENGTHS else -away
        lying: FloatArray = np.array(((away[1], -away[0], 0.0), (away[0], away[1], 0.0),
                                      (0.0, 0.0, 1.0))) @ turn
        return lying

    # -- parts and lines ----------------------------------------------------

    def _facet(self, stage: FoldStage, panel: int, lift: float) -> Facet:
        polygon = shapely.orient_polygons(self.piece.flat.panels[panel].polygon)
        flat = [np.asarray(ring.coords)[:-1] for ring in (polygon.exterior, *polygon.interiors)]
        rings = [placed_points(self._frame(stage, panel), xy) for xy in (*flat, *self._punched(stage, panel))]
        return Facet(rings[0], self.info.up, tuple(rings[1:]), lift, self.info)

    def _punched(self, stage: FoldStage, panel: int) -> list[FloatArray]:
        """The rims of the holes that are punched in a panel by then, as polygons of the flat plan."""
        return [xy for step, where, xy in self.punches if where == panel and step <= stage.step]

    @cached_property
    def _holes(self) -> dict[int, tuple[int, Circle]]:
        """Mark → step and circle of every punched hole."""
        return {mark.id: (mark.step, hole) for mark in final_state(self.plan, self.piece.piece).marks
                if mark.kind.is_hole and isinstance(hole := mark.whole[0], Circle)}

    @cached_property
    def punches(self) -> list[tuple[int, int, FloatArray]]:
        """(step, panel, rim) of every punched hole; the panel is -1 where it lies in several."""
        shapes = np.array([p.polygon for p in self.piece.flat.panels], dtype=object)
        punches = []
        for step, hole in self._holes.values():
            xy = _circle_corners(hole)
            within = np.flatnonzero(shapely.contains_properly(shapes, shapely.Polygon(xy)))
            punches.append((step, int(within[0]) if len(within) else -1, xy))
        return punches

    def _hole_rims(self, stage: FoldStage, number: Mapping[int, int]) -> Iterator[SpaceLine]:
        for panel, place in number.items():
            for xy in self._punched(stage, panel):
                yield SpaceLine(LineKind.HOLE, placed_points(self._frame(stage, panel), closed_ring(xy)),
                                (place,), True)

    def _hinges(self, stage: FoldStage, number: Mapping[int, int]) -> Iterator[SpaceLine]:
        for hinge in self.piece.flat.hinges:
            sides = [k for k in (hinge.left, hinge.right) if k in number]
            if sides:
                creased = any(bend.step <= stage.step for bend in hinge.bends)
                folded = creased or abs(stage.angles[hinge.id]) > MIN_DRAWN_FOLD
                kind = LineKind.FOLD if folded else LineKind.MARK
                ends = placed_points(self._frame(stage, sides[0]), np.array((hinge.start, hinge.end)))
                yield SpaceLine(kind, ends, tuple(number[k] for k in sides))

    def _edges(self, stage: FoldStage, number: Mapping[int, int]) -> Iterator[SpaceLine]:
        for edge in self.piece.flat.edges:
            if edge.panel in number:
                ends = np.array((edge.start, edge.end))
                curved = bool(np.hypot(*(ends[1] - ends[0])) < RIBBON_STEP)
                yield SpaceLine(LineKind.EDGE, placed_points(self._frame(stage, edge.panel), ends),
                                (number[edge.panel],), curved)

    def _soft_lines(self, stage: FoldStage, number: Mapping[int, int]) -> Iterator[SpaceLine]:
        """Lines between panels beside a curved fold: scores, and where the paper turns a corner."""
        for i, j, xy in self.borders:
            if i in number and j in number:
                one, other = self._frame(stage, i), self._frame(stage, j)
                flat = abs(one[:3, 2] @ other[:3, 2]) >= 1 - MIN_DRAWN_FOLD ** 2
                scored = flat and not self._is_creased(xy, stage.step)
                yield SpaceLine(LineKind.MARK if scored else LineKind.FOLD, placed_points(one, xy),
                                (number[i], number[j]), len(xy) > 2)

    def _is_creased(self, xy: FloatArray, step: int) -> bool:
        """Whether a fold made until then runs along a line of the flat plan."""
        middle = LineString(xy).interpolate(0.5, normalized=True)
        return any(made <= step and run.dwithin(middle, MIN_BORDER_LENGTH) for made, run in self._creases)

    @cached_property
    def _creases(self) -> list[tuple[int, LineString]]:
        """(step, line) of each run of every fold."""
        return [(fold.step, LineString(polyline(run)))
                for fold in final_state(self.plan, self.piece.piece).folds for run in fold.runs]

    @cached_property
    def borders(self) -> list[tuple[int, int, FloatArray]]:
        """(panel, panel, line of the flat plan) wherever a panel that is not firm meets another."""
        panels = self.piece.flat.panels
        soft = [p for p in panels if not self.is_firm(p.id)]
        if not soft:
            return []
        tree = shapely.STRtree([p.polygon for p in panels])
        borders = []
        for a, j in sorted(tree.query([p.polygon for p in soft], predicate="intersects").T.tolist()):
            i = soft[a].id
            if i == j or (not self.is_firm(j) and j < i):
                continue
            common = panels[i].polygon.exterior.intersection(panels[j].polygon.exterior)
            merged = shapely.line_merge(common) if "Line" in common.geom_type else common
            borders += [(i, j, shapely.get_coordinates(line)) for line in shapely.get_parts(merged)
                        if isinstance(line, LineString) and line.length > MIN_BORDER_LENGTH]
        return borders

    def _bent_hole_rims(self, stage: FoldStage, surface: BentSurface) -> Iterator[SpaceLine]:
        for step, rim in self.holes_in(surface.flat[surface.triangles]):
            if step <= stage.step:
                yield SpaceLine(LineKind.HOLE, points_on_surface(surface, rim, 0.0), (), True)

    def holes_in(self, triangles: FloatArray) -> Iterator[tuple[int, FloatArray]]:
        """(step, closed rim) of the punched holes that triangles of the flat plan (m × 3 × 2) cover."""
        cover = shapely.coverage_union_all(np.asarray(shapely.polygons(triangles), dtype=object))
        for step, _, xy in self.punches:
            if cover.contains(Point(xy.mean(axis=0))):
                yield step, closed_ring(xy)

    def ribbons(self, stage: FoldStage) -> Iterator[FloatArray]:
        """Every ribbon (n × 3) that is threaded by then, tied in a bow unless it gathers something later."""
        surface = stage.surface
        tied = stage.gathered or not any(act.effect is Effect.GATHER and self.piece.piece in act.pieces
                                         for act in self.plan.acts)
        for act in self.plan.acts:
            if act.step <= stage.step and isinstance(act.detail, Thread):
                ends = [self._hole_centres(act.detail)[k] for k in (0, -1) if self._hole_centres(act.detail)]
                ways = list(self.ribbon_stretches(act.detail, surface is not None))
                if ends and all(surface is not None or self.carrier(self.nearest(xy)) is not None
                                for xy in (*ends, *(p for flat, _ in ways for p in flat))):
                    outside = 1.0 if self.info.up == "printed" else -1.0
                    low, high = (self._lifted(stage, surface, np.array(ends), h) for h in (0.0, outside))
                    exits = [(a + RIBBON_OFFSET * (b - a), b - a) for a, b in zip(low, high, strict=True)]
                    length = float(act.detail.ribbon.value) if act.detail.ribbon else USUAL_RIBBON
                    yield ribbon_line((exits[0], exits[1]), [self._lifted(stage, surface, *w) for w in ways],
                                      length, -self.turn[2], tied)

    def _lifted(self, stage: FoldStage, surface: BentSurface | None, flat: FloatArray,
                offset: float) -> FloatArray:
        """Points of the flat plan (n × 2) in space (n × 3), ``offset`` mm off the paper."""
        if surface is not None:
            return points_on_surface(surface, flat, offset)
        frames = [self._frame(stage, self.nearest(xy)) for xy in flat]
        return np.array([placed_points(frame, xy[None])[0] + offset * frame[:3, 2]
                         for frame, xy in zip(frames, flat, strict=True)])

    def _hole_centres(self, thread: Thread) -> list[FloatArray]:
        """Where the holes of a ribbon are in the flat plan, in their order."""
        circles = [self._holes[k][1] for k in thread.marks if k in self._holes]
        return [np.array((float(circle.center.x), float(circle.center.y))) for circle in circles]

    def ribbon_stretches(self, thread: Thread, bent: bool) -> Iterator[tuple[FloatArray, float]]:
        """From hole to hole of a ribbon: points of the flat plan (n × 2), and mm off it towards +z."""
        holes = self._hole_centres(thread)
        outside = 1.0 if self.info.up == "printed" else -1.0
        offset = TIGHT_RIBBON_OFFSET if bent else RIBBON_OFFSET
        for place, (a, b) in enumerate(pairwise(holes)):
            # it starts outside, goes in at the first hole and out at the next
            side = outside if place % 2 else -outside
            count = int(np.hypot(*(b - a)) / RIBBON_STEP) + 1 if not bent and self._lies_on_paper(a, b) else 2
            yield a + np.linspace(0, 1, max(2, count))[:, None] * (b - a), side * offset

    def _lies_on_paper(self, a: FloatArray, b: FloatArray) -> bool:
        """Whether two holes lie in one panel or in two that a fold joins; else a ribbon is straight."""
        ends = {self._substitutes.get(k, k) for k in map(self.nearest, (a, b))}
        return len(ends) == 1 or any(ends == {h.left, h.right} for h in self.piece.flat.hinges)

    def nearest(self, xy: FloatArray) -> int:
        """The panel in or by which a point of the flat plan lies."""
        return first_smallest(shapely.distance(self._polygons, Point(xy)).tolist())


def closed_ring(xy: FloatArray) -> FloatArray:
    """The corners of a polygon (n × 2), the first of them again at the end."""
    return np.append(xy, xy[:1], axis=0)


def _substitute_panels(piece: FoldedPiece) -> dict[int, int]:
    """Panel without a place → the firm panel nearest to its middle in the flat plan, of equals the first."""
    firm = [p for p in piece.flat.panels if piece.placed[p.id] and not p.soft]
    substitutes = {}
    for panel in piece.flat.panels:
        if firm and (panel.soft or not piece.placed[panel.id]):
            middle = panel.polygon.representative_point()
            substitutes[panel.id] = min(firm, key=lambda p: (round(p.polygon.distance(middle), 3), p.id)).id
    return substitutes


def _circle_corners(circle: Circle) -> FloatArray:
    angles = np.linspace(0, 2 * np.pi, HOLE_CORNERS, endpoint=False)
    centre = np.array((float(circle.center.x), float(circle.center.y)))
    corners: FloatArray = centre + float(circle.radius) * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    return corners
