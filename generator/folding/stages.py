"""How a piece stands after each step, and on the way from one step to the next.

A fold that a later seam, glue or gathering holds does not stay where it will end: until then paper springs
back. How far is common practice, no source: by about a fifth, and a flap that will lie under others but a
little, those glued first the most. A tab is bent all the way, so that it comes to lie within the panel that
it will be glued to.

Round a point at which folds meet paper closes only at certain angles: there folds spring back all together
or not at all, and a fold goes on along the score that continues it.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from generator.folding.closings import Closing, PanelLocator, closings, glued_faces
from generator.folding.features.tops import gather_closings
from generator.folding.kinematics import ConditionRows, Linkage, linkage
from generator.folding.piece_context import final_state
from generator.folding.piercing import PiercingCheck
from generator.folding.records import FoldedPiece, Hinge
from generator.folding.rigid_folding import in_frame_of
from generator.geometry.arrays import BoolArray, FloatArray, ReadOnlyArrays
from generator.geometry.tolerances import CLOSING_TOLERANCE, MAX_TEAR
from generator.paper.records import Act, Face, Glue, Plan
from generator.paper.work_kinds import Effect

SPRINGBACK_SHARE = 0.8       # of its angle, where a fold rests that is held later
COVERING_SHARE = 0.5         # … where it is folded over others that are held later: it stands upright
FIRST_FLAP_SHARE = 0.4       # of its angle, for the first flap of a pile; the last one hangs as it is


@dataclass(frozen=True, slots=True, eq=False)
class FoldStage(ReadOnlyArrays):
    """One piece after a step.

    Signed ``angles`` of its hinges (radians, + towards +z) and the ``frames`` of its panels.

    ``gathered`` is True from the step on that gathers its top.
    """

    step: int
    angles: FloatArray
    frames: FloatArray
    gathered: bool


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
        return FoldStage(other.step, angles, self.link.frames(angles),
                         (other if share >= 1 else one).gathered)

    # -- steps --------------------------------------------------------------

    def _steps(self) -> list[int]:
        if self.piece.pouch is not None:
            return sorted({act.step for act in self._gathers()} if self.piece.surface is not None else ())
        folds = {bend.step for hinge in self.piece.flat.hinges for bend in hinge.bends}
        if not folds:
            return []
        acts = {act.step for act in self.plan.acts if act.kind.joins
                and self.piece.piece in act.pieces and act.step >= min(folds)}
        return sorted(folds | acts)

    def _stage(self, step: int) -> FoldStage:
        final = self._angles(step)
        gathered = any(act.step <= step for act in self._gathers())
        sprung = np.array([angle * self._share(hinge.id, step) for hinge,
                           angle in zip(self.piece.flat.hinges, final, strict=False)])
        hanging = self._without_piercing(self._closed(sprung, final), step)
        return FoldStage(step, hanging, self.link.frames(hanging), gathered)

    def _closed(self, sprung: FloatArray, final: FloatArray) -> FloatArray:
        """The angles of a stage at which the paper hangs together round each point.

        Folds round a point spring back all together or not at all. Where what is folded does not close by
        itself, a fold goes on along the score that continues it.
        """
        held = np.where(self.in_loops, final, sprung)
        return next((angles for angles in (sprung, held, self._continued(held))
                     if self._torn(angles) <= MAX_TEAR), held)

    def _continued(self, angles: FloatArray) -> FloatArray:
        """Angles where a fold goes on straight past a point, along a score that is not folded yet."""
        result = angles.copy()
        for hinge in self.piece.flat.hinges:
            for other in self.piece.flat.hinges if not angles[hinge.id] else ():
                if angles[other.id] and _continues(hinge, other):
                    result[hinge.id] = angles[other.id]
        return result

    def _torn(self, angles: FloatArray) -> float:
        """How far panels come apart at folds that close a loop, in mm."""
        return float(np.abs(self.loops.gaps(angles)).max(initial=0.0))

    @cached_property
    def in_loops(self) -> BoolArray:
        """Which hinges meet others round a point."""
        none = np.zeros(len(self.piece.flat.hinges), bool)
        result: BoolArray = np.logical_or.reduce([none, *self.loop_hinges])
        return result

    @cached_property
    def loop_hinges(self) -> list[BoolArray]:
        """The hinges of each loop (bool)."""
        numbers = np.arange(len(self.piece.flat.hinges))
        return [(self.link.paths[hinge.left] ^ self.link.paths[hinge.right]) | (numbers == hinge.id)
                for hinge in self.link.spare]

    def _without_piercing(self, angles: FloatArray, step: int) -> FloatArray:
        """Flaps that will lie on each other hang as far as they can; else they stand open, the last first."""
        hung = sorted((k for k, share in self._piled.items()
                       if share < 1 and self._share(k, step) < 1 and not self.in_loops[k]),
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
    def loops(self) -> ConditionRows:
        """What keeps the paper together round points at which folds meet."""
        return ConditionRows(self.link, [row for closing in self.closings if closing.kind == "loop"
                                         for row in closing.conditions])

    def _gathers(self) -> list[Act]:
        """The acts that bend paper beside curved folds: gathering; of a pouch its last fold or glue."""
        if self.piece.pouch is not None:
            return [act for act in self.plan.acts if act.effect in (Effect.FOLD, Effect.GLUE)
                    and self.piece.piece in act.pieces][-1:]
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
        """Hinge → the first step whose seam, glue or gathering lies on it, directly or round a ring."""
        found: dict[int, int] = {}
        steps = {act.number: act.step for act in self.plan.acts}
        for closing in self.closings:
            if closing.kind != "loop":
                for hinge in np.flatnonzero(self.link.paths[closing.one] ^ self.link.paths[closing.other]):
                    step = steps[closing.act]
                    found[int(hinge)] = min(step, found.get(int(hinge), step))
        return found

    def pile_place(self, hinge: int) -> float:
        """Where in a pile of glued flaps the flap at a hinge comes, from the first (0) to the last (1)."""
        return 1 - self._piled.get(hinge, FIRST_FLAP_SHARE) / FIRST_FLAP_SHARE

    @cached_property
    def _covered(self) -> Mapping[int, Sequence[int]]:
        """Hinge of a flap folded right over → those of the flaps below it, which were folded before it."""
        flat = self.piece.flat
        flaps = {arm.hinge: arm for arm in self.link.arms
                 if self.piece.angles[arm.hinge] > np.pi - FLAT_FOLD_MARGIN and not self.in_loops[arm.hinge]}
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
                faces = [f for f in _in_gluing_order(act.detail) if f.piece == self.piece.piece]
                for place, face in enumerate(faces):
                    hinge = arms.get(locator.panel(face))
                    if hinge is not None:
                        found[hinge] = FIRST_FLAP_SHARE * (1 - (place + 0.9) / len(faces))
        return found


def _in_gluing_order(glue: Glue) -> Sequence[Face]:
    return [glue.faces[k - 1] for k in glue.order] or list(glue.faces)


def _continues(one: Hinge, other: Hinge) -> bool:
    """Whether two folds lie on one line and meet in a point."""
    gap = min(float(np.hypot(*(p - q))) for p in (one.start, one.end) for q in (other.start, other.end))
    return gap < CLOSING_TOLERANCE and abs(float(one.direction @ other.normal)) < MAX_CONTINUED_SINE


FLAT_FOLD_MARGIN = 0.01          # radians; a fold this close to half a turn is folded right over
MIN_COVERED_AREA = 2.0     # mm²
MAX_CONTINUED_SINE = 1e-6
MAX_NEWTON_STEPS = 20
LOOP_TOLERANCE = 1e-6          # mm
MIN_SINGULAR_RATIO = 1e-4         # of the strongest; directions that close less are left alone


def closed_angles(loops: ConditionRows, angles: FloatArray, free: BoolArray) -> FloatArray | None:
    """The nearest signed angles (radians) at which loops close; None where Newton's method finds none.

    Only ``free`` hinges turn.
    """
    if not loops.conditions:
        return angles
    for _ in range(MAX_NEWTON_STEPS):
        gaps, slopes = loops.slopes(angles)
        if np.abs(gaps).max() < LOOP_TOLERANCE:
            return angles
        angles = angles - np.linalg.lstsq(slopes * free, gaps, rcond=MIN_SINGULAR_RATIO)[0]
    return None
