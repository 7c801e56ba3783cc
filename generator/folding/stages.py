"""How a piece stands after each step, and on the way from one step to the next.

A fold that a later seam, glue or gathering holds does not stay where it will
end: until then paper springs back. How far is common practice, no source: by
about a fifth, and a flap that will lie under others but a little, those
glued first the most. A tab is bent all the way, so that it comes to lie
within the panel that it will be glued to.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from generator.folding.closings import Closing, Locator, closings, stuck_faces
from generator.folding.gathering import gather_closings
from generator.folding.linkage import Linkage, linkage
from generator.folding.records import FoldedPiece, Hinge
from generator.paper.records import Glue, Plan
from generator.paper.work_kinds import Effect

SPRUNG = 0.8       # of its angle, where a fold rests that is held later
CREASED = 0.4       # of its angle, for the first flap of a pile; the last one hangs as it is
CRACK = 0.5         # mm; a stage whose panels come apart by more is not shown, but how it ends


@dataclass(frozen=True, slots=True, eq=False)
class Stage:
    """One piece after a step: signed ``angles`` of its hinges (radians, + towards +z) and the ``frames`` of its panels.

    ``gathered`` is True from the step on that gathers its top.
    """

    step: int
    angles: np.ndarray
    frames: np.ndarray
    gathered: bool


class Way:
    """The way of one piece from the flat sheet to its final shape. The panel with the most hinges never moves."""

    def __init__(self, plan: Plan, piece: FoldedPiece) -> None:
        self.plan, self.piece = plan, piece
        self.link: Linkage = linkage(piece.flat)

    @cached_property
    def stages(self) -> tuple[Stage, ...]:
        """One for each step that works on the shape of the piece, in order; none for one that is never folded."""
        return tuple(self._stage(step) for step in self._steps())

    @property
    def flat(self) -> Stage:
        """The sheet before its first fold."""
        angles = np.zeros(len(self.piece.flat.hinges))
        return Stage(0, angles, self.link.frames(angles), False)

    def between(self, one: Stage, other: Stage, share: float) -> Stage:
        """``share`` (0 to 1) of the way from one stage to another, every fold turning evenly."""
        angles = one.angles + share * (other.angles - one.angles)
        return Stage(other.step, angles, self.link.frames(angles), (other if share >= 1 else one).gathered)

    # -- steps --------------------------------------------------------------

    def _steps(self) -> list[int]:
        if self.piece.pouch is not None:
            return sorted({act.step for act in self._gathers()} if self.piece.skin is not None else ())
        folds = {bend.step for hinge in self.piece.flat.hinges for bend in hinge.bends}
        if not folds:
            return []
        acts = {act.step for act in self.plan.acts if act.kind.joins
                and self.piece.piece in act.pieces and act.step >= min(folds)}
        return sorted(folds | acts)

    def _stage(self, step: int) -> Stage:
        final = self._angles(step)
        gathered = any(act.step <= step for act in self._gathers())
        sprung = np.array([angle * self._share(hinge.id, step) for hinge, angle in zip(self.piece.flat.hinges, final)])
        frames = self.link.frames(sprung)
        if self._cracked(frames):
            sprung, frames = final, self.link.frames(final)
        return Stage(step, sprung, frames, gathered)

    def _gathers(self) -> list:
        """The acts that bend what lies beside curved folds: gathering; of a pouch the last that folds or glues it."""
        if self.piece.pouch is not None:
            return [act for act in self.plan.acts if act.effect in (Effect.FOLD, Effect.GLUE) and self.piece.piece in act.pieces][-1:]
        return [act for act in self.plan.acts if act.effect is Effect.GATHER and self.piece.piece in act.pieces]

    def _angles(self, step: int) -> np.ndarray:
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
        return self._piled.get(hinge, SPRUNG)

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
        state = self.plan.state(self.piece.piece)
        locator = Locator(self.piece.flat)
        stuck = stuck_faces(self.plan, self.piece.piece, locator)
        return (*closings(self.plan, state, self.link, stuck, locator), *gather_closings(self.plan, state, self.link))

    @cached_property
    def _piled(self) -> Mapping[int, float]:
        """Hinges of tabs, and of flaps that will be glued on each other → the share to which they spring back."""
        found: dict[int, float] = {}
        locator = Locator(self.piece.flat)
        arms = {arm.panel: arm.hinge for arm in self.link.arms}
        for act in self.plan.acts:
            if isinstance(act.detail, Glue) and act.detail.target:
                tabs = {locator.panel(f) for f in act.detail.faces if f.piece == self.piece.piece}
                found |= {arms[panel]: 1.0 for panel in tabs if panel in arms}
            elif isinstance(act.detail, Glue):
                faces = [f for f in _in_order(act.detail) if f.piece == self.piece.piece]
                for place, face in enumerate(faces):
                    hinge = arms.get(locator.panel(face))
                    if hinge is not None:
                        found[hinge] = CREASED * (1 - (place + 0.9) / len(faces))
        return found

    def _cracked(self, frames: np.ndarray) -> bool:
        """Whether a fold that closes a loop came apart: the two panels beside it no longer meet there."""
        return any(_apart(frames, hinge) > CRACK for hinge in self.link.spare)


def _in_order(glue: Glue) -> Sequence:
    return [glue.faces[k - 1] for k in glue.order] or list(glue.faces)


def _apart(frames: np.ndarray, hinge: Hinge) -> float:
    ends = np.array([(*p, 0.0, 1.0) for p in (hinge.start, hinge.end)])
    return float(np.abs(ends @ (frames[hinge.left] - frames[hinge.right]).T).max())
