"""How a piece stands after each step, and on the way from one step to the next.

A fold that a later seam, glue or gathering holds does not stay where it will end: until then paper springs
back. How far is common practice, no source: by about a fifth, and a flap that will lie under others but a
little, those glued first the most. A tab is bent all the way, so that it comes to lie within the panel that
it will be glued to.

Between two stages, where panels hang on each other like a tree, every fold may turn evenly. Round a point at
which folds meet they may not: turned evenly the paper would come apart. There the even turn is only where the
search for angles at which everything meets begins (Newton's method; of all steps the shortest).
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
from generator.folding.records import FoldedPiece, Hinge
from generator.geometry.arrays import FloatArray, ReadOnlyArrays
from generator.geometry.tolerances import MAX_LOOP_GAP
from generator.paper.records import Act, Face, Glue, Plan
from generator.paper.work_kinds import Effect

SPRINGBACK_SHARE = 0.8       # of its angle, where a fold rests that is held later
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
        frames = self.link.frames(sprung)
        if self._cracked(frames):
            sprung, frames = final, self.link.frames(final)
        return FoldStage(step, sprung, frames, gathered)

    def _gathers(self) -> list[Act]:
        """The acts that bend paper beside curved folds: gathering; of a pouch its last fold or glue."""
        if self.piece.pouch is not None:
            return [act for act in self.plan.acts if act.effect in (Effect.FOLD, Effect.GLUE)
                    and self.piece.piece in act.pieces][-1:]
        return [act for act in self.plan.acts if act.effect is Effect.GATHER
                and self.piece.piece in act.pieces]

    def _angles(self, step: int) -> FloatArray:
        """Signed angles of what is folded by then, as far as it will be folded."""
        made = np.zeros(len(self.piece.flat.hinges))
        for hinge in self.piece.flat.hinges:
            done = [bend for bend in hinge.bends if bend.step <= step]
            if done:
                given = done[-1].angle
                made[hinge.id] = done[-1].sign * (self.piece.angles[hinge.id] if given is None else given)
        return made

    def _share(self, hinge: int, step: int) -> float:
        held = self._held.get(hinge)
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

    def _cracked(self, frames: FloatArray) -> bool:
        """Whether a fold that closes a loop came apart: the two panels beside it no longer meet there."""
        return any(_gap_at_hinge(frames, hinge) > MAX_LOOP_GAP for hinge in self.link.spare)


def _in_gluing_order(glue: Glue) -> Sequence[Face]:
    return [glue.faces[k - 1] for k in glue.order] or list(glue.faces)


def _gap_at_hinge(frames: FloatArray, hinge: Hinge) -> float:
    ends = np.array([(*p, 0.0, 1.0) for p in (hinge.start, hinge.end)])
    return float(np.abs(ends @ (frames[hinge.left] - frames[hinge.right]).T).max())


MOTION_PARTS = 12          # of the way between two stages, where it is not even
MAX_NEWTON_STEPS = 20
LOOP_TOLERANCE = 1e-6          # mm
MIN_SINGULAR_RATIO = 1e-4         # of the strongest; directions that close less are left alone


def angles_between(way: FoldMotion, one: FoldStage, other: FoldStage) -> FloatArray:
    """Signed angles of all hinges (rows × hinges, radians) at even shares of the way, both stages among them.

    Two rows where folds turn evenly; between rows they always do.
    """
    loops = tuple(row for closing in way.closings if closing.kind == "loop" for row in closing.conditions)
    even = np.array((one.angles, other.angles))
    if not loops or np.allclose(*even):
        return even
    rows = ConditionRows(way.link, loops)
    shares = np.linspace(0, 1, MOTION_PARTS + 1)[1:-1]
    return np.array([one.angles, *(_closed_angles(rows, one.angles + u * (other.angles - one.angles))
                                   for u in shares), other.angles])


def _closed_angles(rows: ConditionRows, even: FloatArray) -> FloatArray:
    """The nearest angles at which loops close; those it began with where none are found."""
    angles = even
    for _ in range(MAX_NEWTON_STEPS):
        gaps, slopes = rows.slopes(angles)
        if np.abs(gaps).max() < LOOP_TOLERANCE:
            return angles
        angles = angles - np.linalg.lstsq(slopes, gaps, rcond=MIN_SINGULAR_RATIO)[0]
    return even
