"""How a piece stands after each step, and on the way from one step to the next.

A fold that a later seam, glue or gathering holds does not stay where it will end: until then paper springs
back. How far is common practice, no source: by about a fifth, and a flap that will lie under others but a
little, those glued first the most. A tab is bent all the way, so that it comes to lie within the panel that
it will be glued to.

Round a point at which folds meet paper closes only at certain angles. What does not close alone, sprung back
as it is, is folded once and opened again until something holds it, seam, glue or ribbon; a fold goes on
along the score that continues it.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from itertools import pairwise

import numpy as np
from shapely import Point, Polygon

from generator.dataclass import dataclass
from generator.folding.bending.pouch_plan import PouchPlan, pouch_plan
from generator.folding.bending.pouches import PouchShape, pouch_after, pouch_course
from generator.folding.closings import Closing, PanelLocator, closings, glued_faces
from generator.folding.features.tops import gather_closings
from generator.folding.fold_loops import FoldLoops
from generator.folding.kinematics import ConditionRows, Linkage, linkage
from generator.folding.piece_context import final_state
from generator.folding.piercing import PiercingCheck
from generator.folding.records import BentSurface, FoldedPiece
from generator.folding.rigid_folding import in_frame_of
from generator.geometry import Circle
from generator.geometry.arrays import BoolArray, FloatArray, ReadOnlyArrays
from generator.geometry.plane import floats
from generator.geometry.tolerances import MAX_TEAR
from generator.paper.records import Act, Glue, Plan, Thread
from generator.paper.work_kinds import Effect

SPRINGBACK_SHARE = 0.8       # of its angle, where a fold rests that is held later
COVERING_SHARE = 0.5         # … where it is folded over others that are held later: it stands upright
FIRST_FLAP_SHARE = 0.4       # of its angle, for the first flap of a pile; the last one hangs as it is


@dataclass(frozen=True, slots=True, eq=False)
class FoldStage(ReadOnlyArrays):
    """One piece after a step.

    Signed ``angles`` of its hinges (radians, + towards +z) and the ``frames`` of its panels.

    ``gathered`` is True from the step on that gathers its top, or that first folds a pouch; ``surface`` is
    what is bent then.
    """

    step: int
    angles: FloatArray
    frames: FloatArray
    gathered: bool
    surface: BentSurface | None = None


class FoldMotion:
    """One piece from the flat sheet to its final shape; the panel with most hinges never moves."""

    def __init__(self, plan: Plan, piece: FoldedPiece) -> None:
        self.plan, self.piece = plan, piece
        self.link: Linkage = linkage(piece.flat)

    @cached_property
    def stages(self) -> tuple[FoldStage, ...]:
        """One for each step that works on the shape of the piece, in order; none if never folded."""
        return tuple(self._stage(step) for step in self._steps())

    @property
    def flat(self) -> FoldStage:
        """The sheet before its first fold."""
        angles = np.zeros(len(self.piece.flat.hinges))
        return FoldStage(0, angles, self.link.frames(angles), False)

    def between(self, one: FoldStage, other: FoldStage, share: float) -> FoldStage:
        """``share`` (0 to 1) of the way from one stage to another, every fold turning evenly."""
        angles = one.angles + share * (other.angles - one.angles)
        end = other if share >= 1 else one
        return FoldStage(other.step, angles, self.link.frames(angles), end.gathered, end.surface)

    # -- steps --------------------------------------------------------------

    def _steps(self) -> list[int]:
        if self.piece.pouch is not None:
            return [shape.step for shape in self._pouch[1]] if self._pouch is not None else []
        folds = {bend.step for hinge in self.piece.flat.hinges for bend in hinge.bends}
        if not folds:
            return []
        acts = {act.step for act in self.plan.acts if act.kind.joins
                and self.piece.piece in act.pieces and act.step >= min(folds)}
        return sorted(folds | acts | {step for _, _, step in self._closed_over()})

    def _stage(self, step: int) -> FoldStage:
        final = self._angles(step)
        gathered = any(act.step <= step for act in self._gathers())
        sprung = np.array([angle * self._share(hinge.id, step) for hinge,
                           angle in zip(self.piece.flat.hinges, final, strict=False)])
        hanging = self._without_piercing(self._closed(sprung, final, step), step)
        surface = self.piece.surface if gathered else None
        if surface is not None and self._pouch is not None:
            tube, course = self._pouch
            surface = pouch_after(tube, surface, next(each for each in course if each.step == step))
        return FoldStage(step, hanging, self.link.frames(hanging), gathered, surface)

    @cached_property
    def _pouch(self) -> tuple[PouchPlan, tuple[PouchShape, ...]] | None:
        """What a pouch is made of, and its shape after each step; None where the piece is none."""
        info, state = next(p for p in self.plan.pieces if p.id == self.piece.piece), final_state(
            self.plan, self.piece.piece)
        tube = pouch_plan(self.plan, info, state) if self.piece.pouch and self.piece.surface else None
        return None if tube is None else (tube, pouch_course(tube, self.plan, state))

    def _closed(self, sprung: FloatArray, final: FloatArray, step: int) -> FloatArray:
        """The angles of a stage at which the paper hangs together round each point."""
        if not self.loops.torn(sprung):
            return sprung
        meeting = self.loops.any_member
        tied = [self.link.between(one, other) for one, other, at in self._tied() if at <= step]
        angles = np.where(meeting & np.logical_or.reduce([~self._shut_later, *tied]), final,
                        self.loops.opened(sprung, step))
        for path, rows in self._joints(step):
            if np.abs(rows.gaps(self.loops.shut(angles, final))).max() > MAX_TEAR:
                angles = np.where(meeting & path, final, angles)
        return self._with_open_ends(self.loops.shut(angles, final), final, step)

    def _with_open_ends(self, angles: FloatArray, final: FloatArray, step: int) -> FloatArray:
        """Also open what goes with folds that were opened again: by the same act, or on the way to a tie."""
        opened = self.loops.any_member & (final != 0) & (angles == 0)
        acts = {self.piece.flat.hinges[k].bend.act for k in np.flatnonzero(opened)}
        ways = [way for one, other, at in self._tied() if at > step
                and (opened & (way := self.link.between(one, other))).any()]
        loose = np.logical_or.reduce([opened, *ways]) | [h.bends != () and h.bend.act in acts
                                                        for h in self.piece.flat.hinges]
        return np.where(loose & ~self.loops.any_member, 0.0, angles)

    def _joints(self, step: int) -> Iterator[tuple[BoolArray, ConditionRows]]:
        """The hinges round each seam and glued joint made by then, the fewest first, and what holds there."""
        steps = {act.number: act.step for act in self.plan.acts}
        done = [(self.link.between(each.one, each.other), ConditionRows(self.link, each.conditions))
                for each in self.closings if each.kind in ("seam", "glue") and steps[each.act] <= step]
        yield from sorted(done, key=lambda joint: int(joint[0].sum()))

    @cached_property
    def _shut_later(self) -> BoolArray:
        """Which hinges round points are as folded as they will be once all is held that something holds."""
        held = np.isin(np.arange(len(self.piece.flat.hinges)), list(self._held))
        final = self._angles(max(self._steps()))
        shut = self.loops.shut(np.where(held & self.loops.any_member, final, 0.0), final)
        result: BoolArray = self.loops.any_member & (shut == final)
        return result

    def _without_piercing(self, angles: FloatArray, step: int) -> FloatArray:
        """Flaps that will lie on each other hang as far as they can; else they stand open, the last first."""
        hung = sorted((k for k, share in self._piled.items()
                       if share < 1 and self._share(k, step) < 1 and not self.loops.any_member[k]),
                      key=lambda k: self._piled[k])
        result = angles.copy()
        while hung and self.piercing.pierced(self.link.frames(result)):
            result[hung.pop(0)] = 0.0
        return result

    @cached_property
    def piercing(self) -> PiercingCheck:
        """Which of its flat panels stand in each other."""
        return PiercingCheck(self.piece.flat, [p.id for p in self.piece.flat.panels
                                               if self.piece.placed[p.id] and not p.soft])

    @cached_property
    def loops(self) -> FoldLoops:
        """What keeps the paper together round points at which folds meet."""
        return FoldLoops(self.link, self.closings)

    def _gathers(self) -> list[Act]:
        """The acts that bend paper beside curved folds: gathering; of a pouch every fold and its glue."""
        if self.piece.pouch is not None:
            return [act for act in self.plan.acts if act.effect in (Effect.FOLD, Effect.GLUE)
                    and self.piece.piece in act.pieces]
        return [act for act in self.plan.acts if act.effect is Effect.GATHER
                and self.piece.piece in act.pieces]

    def _angles(self, step: int) -> FloatArray:
        """Signed angles of what is folded by then, as far as it will be folded."""
        result = np.zeros(len(self.piece.flat.hinges))
        for hinge in self.piece.flat.hinges:
            done = [bend for bend in hinge.bends if bend.step <= step]
            if done:
                given = done[-1].angle
                result[hinge.id] = done[-1].sign * (self.piece.angles[hinge.id] if given is None else given)
        return result

    def _share(self, hinge: int, step: int) -> float:
        held = self._held.get(hinge)
        if any(self._held[k] > step for k in self._covered.get(hinge, ())):
            return COVERING_SHARE
        if held is None or held <= step:
            return 1.0
        return self._piled.get(hinge, SPRINGBACK_SHARE)

    @cached_property
    def _held(self) -> Mapping[int, int]:
        """Hinge → the first step whose seam, glue, ribbon, gathering, closing holds it, also round a ring."""
        steps = {act.number: act.step for act in self.plan.acts}
        pairs = [(each.one, each.other, steps[each.act]) for each in self.closings if each.kind != "loop"]
        found: dict[int, int] = {}
        for one, other, step in (*pairs, *self._tied(), *self._closed_over()):
            for hinge in np.flatnonzero(self.link.between(one, other)):
                found[int(hinge)] = min(step, found.get(int(hinge), step))
        return found

    def _tied(self) -> Iterator[tuple[int, int, int]]:
        """(panel, panel, step) wherever a ribbon goes from a hole in one panel to a hole in another."""
        centres = {mark.id: floats(hole.center) for mark in final_state(self.plan, self.piece.piece).marks
                   if isinstance(hole := mark.whole[0], Circle)}
        for act in self.plan.acts:
            if isinstance(act.detail, Thread):
                panels = [k for mark in act.detail.marks if mark in centres
                          for k in self._panels_at(centres[mark])]
                yield from ((one, other, act.step) for one, other in pairwise(panels))

    def _closed_over(self) -> Iterator[tuple[int, int, int]]:
        """(panel, panel, step) for every flap of which the design says that it closes, and on what."""
        locator, own = PanelLocator(self.piece.flat), self.piece.piece
        for each in self.plan.closures:
            for flap, target in zip(each.faces, each.target * len(each.faces), strict=False):
                if flap.piece == target.piece == own:
                    yield locator.panel(flap), locator.panel(target), each.step

    def _panels_at(self, xy: tuple[float, float]) -> list[int]:
        """The panel with a place of its own in which a point of the flat plan lies, if one does."""
        return [p.id for p in self.piece.flat.panels if self.link.placed[p.id] and not p.soft
                and Polygon(p.polygon.exterior).contains(Point(xy))][:1]

    def pile_place(self, hinge: int) -> float:
        """Where in a pile of glued flaps the flap at a hinge comes, from the first (0) to the last (1)."""
        return 1 - self._piled.get(hinge, FIRST_FLAP_SHARE) / FIRST_FLAP_SHARE

    @cached_property
    def _covered(self) -> Mapping[int, Sequence[int]]:
        """Hinge of a flap folded right over → those of the flaps below it, which were folded before it."""
        flat = self.piece.flat
        flaps = {arm.hinge: arm for arm in self.link.arms
                 if self.piece.angles[arm.hinge] > np.pi - FLAT_FOLD_MARGIN
                 and not self.loops.any_member[arm.hinge]}
        found: dict[int, list[int]] = {}
        for over, under in ((a, b) for a in flaps.values() for b in flaps.values() if b.hinge in self._held):
            one, other = flat.hinges[over.hinge].bend, flat.hinges[under.hinge].bend
            if (over.parent == under.parent and one.sign == other.sign and one.act > other.act
                    and in_frame_of(flat, self.piece.frames, over.panel, under.panel).intersection(
                        flat.panels[under.panel].polygon).area > MIN_COVERED_AREA):
                found.setdefault(over.hinge, []).append(under.hinge)
        return found

    @cached_property
    def closings(self) -> Sequence[Closing]:
        """Everything on the piece that must close."""
        state = final_state(self.plan, self.piece.piece)
        locator = PanelLocator(self.piece.flat)
        glued = glued_faces(self.plan, self.piece.piece, locator)
        return (*closings(self.plan, state, self.link, glued, locator),
                *gather_closings(self.plan, state, self.link))

    @cached_property
    def _piled(self) -> Mapping[int, float]:
        """Hinges of tabs, and of flaps glued on each other → the share to which they spring back."""
        found: dict[int, float] = {}
        locator = PanelLocator(self.piece.flat)
        arms = {arm.panel: arm.hinge for arm in self.link.arms}
        for act in self.plan.acts:
            if isinstance(act.detail, Glue) and act.detail.target:
                tabs = {locator.panel(f) for f in act.detail.faces if f.piece == self.piece.piece}
                found |= {arms[panel]: 1.0 for panel in tabs if panel in arms}
            elif isinstance(act.detail, Glue):
                faces = [f for f in act.detail.ordered_faces if f.piece == self.piece.piece]
                for place, face in enumerate(faces):
                    hinge = arms.get(locator.panel(face))
                    if hinge is not None:
                        found[hinge] = FIRST_FLAP_SHARE * (1 - (place + 0.9) / len(faces))
        return found


FLAT_FOLD_MARGIN = 0.01          # radians; a fold this close to half a turn is folded right over
MIN_COVERED_AREA = 2.0     # mm²
