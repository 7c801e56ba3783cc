"""From folded pieces to solids that can be drawn: panels, bent sheets, edges, folds and ribbons in space."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely

from generator.drawing.folded.camera import BentPart, Facet, LineKind, RibbonPath, SpaceLine
from generator.drawing.folded.layer_order import LayerOrder
from generator.folding import FoldedPiece
from generator.folding.records import placed_points
from generator.folding.stages import FoldMotion, FoldStage
from generator.geometry.ties import first_largest, first_smallest, snapped
from generator.geometry.tolerances import EQUAL_LENGTHS
from generator.paper.records import PieceInfo, Plan, Thread

MIN_FOLD_ANGLE = 0.02       # radians; a fold by less is a line on flat paper
SMOOTH_COSINE = 0.97         # cosine; a sheet that goes on flatter than this does so without a fold
RIBBON_STEP = 3.0          # mm of ribbon between two of its points
TIGHT_RIBBON_STEP = 1.5          # … where it is pulled tight over a gathered top
RIBBON_CLEARANCE = 0.5         # mm by which a ribbon lies off the paper
HOLE_CORNERS = 12          # corners of a punched hole
SHARED_EDGE = 1e-9  # of a triangle; a point on the edge of two of them is taken to lie in the first
EVEN_LIFTS = 1e-6   # mm; flaps lifted as much to either side, all together, leave a piece as it lies
FLAT_HEIGHT_SHARE = 0.05        # of its width: what is lower lies flat

UPRIGHT_NOTE = "upright"     # a note: the paper beside curved folds stands as it did before it was gathered


@dataclass(frozen=True, slots=True, eq=False)
class PieceShape:
    """One piece at one stage, standing on the table in the middle of its own coordinates."""

    info: PieceInfo
    parts: tuple[Facet | BentPart, ...]
    courses: tuple[SpaceLine, ...]
    ribbons: tuple[RibbonPath, ...]
    notes: tuple[str, ...] = ()

    def points(self) -> np.ndarray:
        """Every corner of its paper, n × 3."""
        return np.concatenate([part.points for part in self.parts])

    def moved(self, turn: np.ndarray, shift: np.ndarray, first: int = 0) -> "PieceShape":
        """Turned, shifted, and with the numbers of its parts counted from ``first``."""
        def put(points: np.ndarray) -> np.ndarray:
            return snapped(points @ turn.T + shift)     # the same on every processor, to the bit
        parts = tuple(replace(p, corners=put(p.corners), holes=tuple(map(put, p.holes))) if isinstance(p, Facet)
                      else replace(p, points=put(p.points)) for p in self.parts)
        courses = tuple(replace(c, points=put(c.points), parts=tuple(k + first for k in c.parts)) for c in self.courses)
        return replace(self, parts=parts, courses=courses, ribbons=tuple(replace(r, points=put(r.points)) for r in self.ribbons))


class SolidBuilder:
    """Makes the shapes of one piece. ``turn`` takes its coordinates to the table's: x right, y away, z up."""

    def __init__(self, plan: Plan, piece: FoldedPiece) -> None:
        self.plan, self.piece = plan, piece
        self.info = next(p for p in plan.pieces if p.id == piece.piece)
        self.way = FoldMotion(plan, piece)
        self.skin = getattr(piece, "skin", None)
        self.layers = LayerOrder(self.way, self.info.up == "printed")
        self._stand_in = _substitute_panels(piece)
        self.turn = self._turn()
        self._made: dict[int, PieceShape] = {}

    @property
    def stages(self) -> tuple[FoldStage, ...]:
        return self.way.stages

    def shape(self, stage: FoldStage) -> PieceShape:
        """The piece as it stands then, on the table, in the middle."""
        if not any(stage is known for known in self.stages):
            return self._shape(stage)       # one on the way between two
        if stage.step not in self._made:
            self._made[stage.step] = self._shape(stage)
        return self._made[stage.step]

    def corners(self, stage: FoldStage) -> tuple[np.ndarray, ...]:
        """The outer corners of every panel, at a stage or on the way between two (:meth:`Way.between`), z upward.

        In the order of the panels, without those that have no place; nothing is moved to the middle, so that
        frames of one way follow each other without a jump. Where a top is gathered bent parts are in the skin.
        """
        frames = ((panel, self._frame(stage, panel.id)) for panel in self.piece.flat.panels)
        return tuple(placed_points(frame, np.asarray(panel.polygon.exterior.coords)[:-1]) @ self.turn.T
                     for panel, frame in frames if frame is not None)

    def _shape(self, stage: FoldStage) -> PieceShape:
        bent = self.skin is not None and stage.gathered
        covered = frozenset(self.skin.panel.tolist()) if bent else frozenset()
        panels = [p.id for p in self.piece.flat.panels if p.id not in covered and self._frame(stage, p.id) is not None]
        firm = [k for k in panels if self.is_firm(k)]
        lifts = self.layers.lifts(stage, firm)
        number = {k: place for place, k in enumerate(panels)}
        parts = [self._facet(stage, k, lifts.get(k, 0.0)) for k in panels]
        courses = [*self._hinges(stage, number), *self._edges(stage, number), *self._soft_lines(stage, number),
                   *self._rims(stage, number)]
        if bent:
            parts += _bent_parts(self.skin, self.info.up)
            courses += [*_bent_lines(self.skin), *self._bent_rims(stage), *self._brims(stage)]
        notes = () if bent or len(firm) == len(panels) else (UPRIGHT_NOTE,)
        raw = PieceShape(self.info, tuple(parts), tuple(courses), tuple(self._ribbons(stage, bent)), notes)
        turned = raw.moved(self.turn, np.zeros(3))
        points = turned.points()
        low, high = points.min(axis=0), points.max(axis=0)
        return turned.moved(np.eye(3), -np.array((*(low + high)[:2] / 2, low[2])))

    # -- where panels are ---------------------------------------------------

    def is_firm(self, panel: int) -> bool:
        """Whether a panel stays flat and has a place of its own."""
        return self.piece.placed[panel] and not self.piece.flat.panels[panel].soft

    def rides(self, panel: int) -> int | None:
        """Whose frame a panel has: its own, or, beside a curved fold, that of the nearest panel with a place; None without any."""
        return panel if self.is_firm(panel) else self._stand_in.get(panel)

    def _frame(self, stage: FoldStage, panel: int) -> np.ndarray | None:
        """Where a panel lies; one beside a curved fold is taken as flat and going on from the nearest that has a place."""
        near = self.rides(panel)
        return None if near is None else stage.frames[near]

    def _turn(self) -> np.ndarray:
        figures = self.piece.figures
        axes = getattr(figures, "axes", None)
        if axes is None:
            axes = self.piece.frames[self.way.link.root][:3, :3].T
        turn = np.array(axes)
        firm = [p.id for p in self.piece.flat.panels if self.is_firm(p.id)]
        if not self.stages or not firm:
            return turn
        last = self.stages[-1]
        points = np.concatenate([self.piece.corners(k) for k in firm]) @ turn.T
        if np.ptp(points[:, 2]) < FLAT_HEIGHT_SHARE * np.ptp(points[:, :2], axis=0).max():
            return self._lying(last, firm, turn)
        return turn

    def _lying(self, last: FoldStage, firm: Sequence[int], turn: np.ndarray) -> np.ndarray:
        """Flat on the table with its flaps up, the last of them hinged at the far side."""
        lifts = self.layers.lifts(last, firm)
        if sum(lift * (turn[2] @ last.frames[k][:3, 2]) for k, lift in lifts.items()) < -EVEN_LIFTS:
            turn = np.diag((1.0, -1.0, -1.0)) @ turn
        top = max(lifts, key=lambda k: (abs(lifts[k]), -k), default=None)
        arm = next((arm for arm in self.way.link.arms if arm.panel == top), None)
        if arm is None:
            return turn
        hinge = self.piece.flat.hinges[arm.hinge]
        ends = placed_points(last.frames[arm.parent], np.array((hinge.start, hinge.end))) @ turn.T
        middle = np.concatenate([self.piece.corners(k) for k in firm]).mean(axis=0) @ turn.T
        along = (ends[1] - ends[0])[:2] / np.hypot(*(ends[1] - ends[0])[:2])
        away = np.array((-along[1], along[0]))
        away = away if away @ (ends.mean(axis=0) - middle)[:2] >= -EQUAL_LENGTHS else -away
        return np.array(((away[1], -away[0], 0.0), (away[0], away[1], 0.0), (0.0, 0.0, 1.0))) @ turn

    # -- parts and lines ----------------------------------------------------

    def _facet(self, stage: FoldStage, panel: int, lift: float) -> Facet:
        frame, polygon = self._frame(stage, panel), shapely.orient_polygons(self.piece.flat.panels[panel].polygon)
        flat = [np.asarray(ring.coords)[:-1] for ring in (polygon.exterior, *polygon.interiors)]
        rings = [placed_points(frame, xy) for xy in (*flat, *self._punched(stage, panel))]
        return Facet(rings[0], self.info.up, tuple(rings[1:]), lift)

    def _punched(self, stage: FoldStage, panel: int) -> list[np.ndarray]:
        """The rims of the holes that are punched in a panel by then, as polygons of the flat plan."""
        return [xy for step, where, xy in self.punches if where == panel and step <= stage.step]

    @cached_property
    def punches(self) -> list[tuple[int, int, np.ndarray]]:
        """(step, panel, rim) of every punched hole; the panel is -1 where it lies in several."""
        shapes = np.array([p.polygon for p in self.piece.flat.panels], dtype=object)
        made = []
        for mark in self.plan.state(self.piece.piece).marks:
            if mark.kind.is_hole:
                xy = _circle(mark.whole[0])
                within = np.flatnonzero(shapely.contains_properly(shapes, shapely.polygons(xy)))
                made.append((mark.step, int(within[0]) if len(within) else -1, xy))
        return made

    def _rims(self, stage: FoldStage, number: Mapping[int, int]) -> Iterator[SpaceLine]:
        for panel, place in number.items():
            for xy in self._punched(stage, panel):
                yield SpaceLine(LineKind.HOLE, placed_points(self._frame(stage, panel), np.append(xy, xy[:1], axis=0)), (place,), True)

    def _hinges(self, stage: FoldStage, number: Mapping[int, int]) -> Iterator[SpaceLine]:
        for hinge in self.piece.flat.hinges:
            sides = [k for k in (hinge.left, hinge.right) if k in number]
            if sides:
                kind = LineKind.FOLD if abs(stage.angles[hinge.id]) > MIN_FOLD_ANGLE else LineKind.MARK
                ends = np.array((hinge.start, hinge.end))
                yield SpaceLine(kind, placed_points(self._frame(stage, sides[0]), ends), tuple(number[k] for k in sides))

    def _edges(self, stage: FoldStage, number: Mapping[int, int]) -> Iterator[SpaceLine]:
        for edge in self.piece.flat.edges:
            if edge.panel in number:
                ends = np.array((edge.start, edge.end))
                curved = np.hypot(*(ends[1] - ends[0])) < RIBBON_STEP
                yield SpaceLine(LineKind.EDGE, placed_points(self._frame(stage, edge.panel), ends), (number[edge.panel],), bool(curved))

    def _soft_lines(self, stage: FoldStage, number: Mapping[int, int]) -> Iterator[SpaceLine]:
        """Lines between panels beside a curved fold: what is scored there, and where the paper turns a corner."""
        for i, j, xy in self.borders:
            if i in number and j in number:
                one, other = self._frame(stage, i), self._frame(stage, j)
                kind = LineKind.FOLD if abs(one[:3, 2] @ other[:3, 2]) < 1 - MIN_FOLD_ANGLE ** 2 else LineKind.MARK
                yield SpaceLine(kind, placed_points(one, xy), (number[i], number[j]), len(xy) > 2)

    @cached_property
    def borders(self) -> list[tuple[int, int, np.ndarray]]:
        panels = self.piece.flat.panels
        soft = [p for p in panels if not self.is_firm(p.id)]
        shapes = np.array([p.polygon for p in panels], dtype=object)
        if not soft:
            return []
        one, other = shapely.STRtree(shapes).query([p.polygon for p in soft], predicate="intersects")
        made = []
        for a, j in sorted(zip(one.tolist(), other.tolist())):
            i = soft[a].id
            if i == j or (not self.is_firm(j) and j < i):
                continue
            met = shapely.intersection(shapes[i].exterior, shapes[j].exterior)
            lines = [g for g in shapely.get_parts(shapely.line_merge(met) if "Line" in met.geom_type else met) if g.geom_type == "LineString"]
            made += [(i, j, shapely.get_coordinates(line)) for line in lines if line.length > 0.5]
        return made

    def _brims(self, stage: FoldStage) -> Iterator[SpaceLine]:
        """Where a bent sheet goes on in flat panels, as far as it does so at an angle."""
        skin = self.skin
        sides = np.sort(skin.triangles[:, ((0, 1), (1, 2), (2, 0))].reshape(-1, 2), axis=1)
        kinds, first, count = np.unique(sides, axis=0, return_index=True, return_counts=True)
        known = {tuple(sorted(pair)) for line in skin.edges for pair in zip(line, line[1:])}
        firm = [p for p in self.piece.flat.panels if self.is_firm(p.id)]
        for (a, b), at in zip(kinds[count == 1].tolist(), first[count == 1].tolist()):
            spot = shapely.Point(skin.flat[[a, b]].mean(axis=0))
            panel = firm[first_smallest(p.polygon.distance(spot) for p in firm)] if firm else None
            if panel is not None and (a, b) not in known and panel.polygon.distance(spot) < FLAT_HEIGHT_SHARE:
                corners = skin.points[skin.triangles[at // 3]]
                normal = np.cross(corners[1] - corners[0], corners[2] - corners[0])
                if abs(normal @ stage.frames[panel.id][:3, 2]) < SMOOTH_COSINE * np.linalg.norm(normal):
                    yield SpaceLine(LineKind.FOLD, skin.points[[a, b]], ())

    def _bent_rims(self, stage: FoldStage) -> Iterator[SpaceLine]:
        cover = shapely.coverage_union_all(shapely.polygons(self.skin.flat[self.skin.triangles]))
        for step, _, xy in self.punches:
            if step <= stage.step and cover.contains(shapely.Point(xy.mean(axis=0))):
                yield SpaceLine(LineKind.HOLE, _points_on_surface(self.skin, np.append(xy, xy[:1], axis=0), 0.0), (), True)

    # -- ribbons --------------------------------------------------------------

    def _ribbons(self, stage: FoldStage, bent: bool) -> Iterator[RibbonPath]:
        for act in self.plan.acts:
            if act.step <= stage.step and isinstance(act.detail, Thread):
                yield from (RibbonPath(self._on_paper(stage, flat, off, bent)) for flat, off in self.laces(act.detail, bent)
                            if bent or all(self.rides(self.nearest(xy)) is not None for xy in flat))

    def laces(self, thread: Thread, bent: bool) -> Iterator[tuple[np.ndarray, float]]:
        """The stretches of a ribbon from hole to hole: points of the flat plan (n × 2), and how far off the paper towards +z."""
        state = self.plan.state(self.piece.piece)
        centres = {m.id: (float(m.whole[0].center.x), float(m.whole[0].center.y)) for m in state.marks if m.kind.is_hole}
        holes = [np.array(centres[k]) for k in thread.marks if k in centres]
        out = 1.0 if self.info.up == "printed" else -1.0
        for place, (a, b) in enumerate(zip(holes, holes[1:])):
            side = out if place % 2 else -out       # it starts outside, goes in at the first hole and out at the next
            count = int(np.hypot(*(b - a)) / RIBBON_STEP) + 1 if not bent and self._go_on(a, b) else 2
            yield a + np.linspace(0, 1, max(2, count))[:, None] * (b - a), side * (TIGHT_RIBBON_STEP if bent else RIBBON_CLEARANCE)

    def _go_on(self, a: np.ndarray, b: np.ndarray) -> bool:
        """Whether two holes lie in one panel or in two that a fold joins: then the ribbon lies on the paper, else it is pulled straight."""
        ends = {self._stand_in.get(k, k) for k in map(self.nearest, (a, b))}
        return len(ends) == 1 or any(ends == {h.left, h.right} for h in self.piece.flat.hinges)

    def nearest(self, xy: np.ndarray) -> int:
        """The panel in or by which a point of the flat plan lies."""
        panels = [p.polygon for p in self.piece.flat.panels]
        return first_smallest(shapely.distance(panels, shapely.Point(xy)))

    def _on_paper(self, stage: FoldStage, flat: np.ndarray, off: float, bent: bool) -> np.ndarray:
        """Points of the flat plan in space, ``off`` mm from the paper towards its +z side."""
        if bent:
            return _points_on_surface(self.skin, flat, off)
        made = []
        for xy in flat:
            frame = self._frame(stage, self.nearest(xy))
            if frame is not None:
                made.append(placed_points(frame, xy[None])[0] + off * frame[:3, 2])
        return np.array(made)


def _substitute_panels(piece: FoldedPiece) -> dict[int, int]:
    """Panel without a place → the firm panel nearest to it in the flat plan, the middle of the panel decides between equals."""
    firm = [p for p in piece.flat.panels if piece.placed[p.id] and not p.soft]
    made = {}
    for panel in piece.flat.panels:
        if firm and (panel.soft or not piece.placed[panel.id]):
            spot = panel.polygon.representative_point()
            made[panel.id] = min(firm, key=lambda p: (round(p.polygon.distance(spot), 3), p.id)).id
    return made


def _circle(circle: object) -> np.ndarray:
    turn = np.linspace(0, 2 * np.pi, HOLE_CORNERS, endpoint=False)
    middle = np.array((float(circle.center.x), float(circle.center.y)))
    return middle + float(circle.radius) * np.stack([np.cos(turn), np.sin(turn)], axis=1)


# -- bent sheets --------------------------------------------------------------

def _bent_parts(skin: object, up: str) -> list[BentPart]:
    """One bent part for each patch of a skin."""
    made = []
    for patch in np.unique(skin.patch):
        triangles = _counter_clockwise(skin.flat, skin.triangles[skin.patch == patch])
        used, numbers = np.unique(triangles, return_inverse=True)
        made.append(BentPart(skin.points[used], numbers.reshape(-1, 3), up))
    return made


def _counter_clockwise(flat: np.ndarray, triangles: np.ndarray) -> np.ndarray:
    a, b, c = (flat[triangles[:, k]] for k in range(3))
    turn = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    return np.where((turn < 0)[:, None], triangles[:, [0, 2, 1]], triangles)


def _bent_lines(skin: object) -> Iterator[SpaceLine]:
    for kind, lines in ((LineKind.FOLD, skin.folds), (LineKind.EDGE, skin.edges)):
        for line in lines:
            yield SpaceLine(kind, skin.points[list(line)], (), len(line) > 2)


def _points_on_surface(skin: object, flat: np.ndarray, off: float) -> np.ndarray:
    """Points of the flat plan on a bent sheet, ``off`` mm above it; one beside the sheet goes to its nearest triangle."""
    triangles = _counter_clockwise(skin.flat, skin.triangles)
    a, b, c = (skin.flat[triangles[:, k]] for k in range(3))
    det = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    made = []
    for xy in flat:
        p = xy - a
        v = (p[:, 0] * (c - a)[:, 1] - p[:, 1] * (c - a)[:, 0]) / det
        w = ((b - a)[:, 0] * p[:, 1] - (b - a)[:, 1] * p[:, 0]) / det
        weights = np.stack([1 - v - w, v, w], axis=1)
        k = first_largest(weights.min(axis=1), SHARED_EDGE)
        corners = skin.points[triangles[k]]
        normal = np.cross(corners[1] - corners[0], corners[2] - corners[0])
        made.append(np.clip(weights[k], 0, 1) @ corners + off * normal / max(np.linalg.norm(normal), 1e-12))
    return np.array(made)
