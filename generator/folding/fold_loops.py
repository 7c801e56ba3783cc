"""Points at which folds meet: the loops of panels round them, and angles at which the paper closes there."""
from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np

from generator.folding.closings import Closing
from generator.folding.kinematics import ConditionRows, Linkage
from generator.geometry.arrays import BoolArray, FloatArray
from generator.geometry.tolerances import CLOSING_TOLERANCE, MAX_TEAR

MAX_CONTINUED_SINE = 1e-6
MAX_NEWTON_STEPS = 20
LOOP_TOLERANCE = 1e-6          # mm
MIN_SINGULAR_RATIO = 1e-4         # of the strongest; directions that close less are left alone


class FoldLoops:
    """The loops of a linkage, of which its closings of the kind "loop" tell."""

    def __init__(self, link: Linkage, closings: Sequence[Closing]) -> None:
        self.link, self.hinges = link, link.flat.hinges
        self.closings = [each for each in closings if each.kind == "loop"]
        self.rows = ConditionRows(link, [row for each in self.closings for row in each.conditions])

    @cached_property
    def members(self) -> list[BoolArray]:
        """The hinges of each loop (bool)."""
        numbers = np.arange(len(self.hinges))
        return [self.link.between(each.one, each.other) | (numbers == each.index) for each in self.closings]

    @cached_property
    def any_member(self) -> BoolArray:
        """Which hinges meet others round a point."""
        result: BoolArray = np.logical_or.reduce([np.zeros(len(self.hinges), bool), *self.members])
        return result

    def gaps(self, angles: FloatArray) -> FloatArray:
        """How far panels come apart at the fold that closes each loop, in mm."""
        result: FloatArray = np.abs(self.rows.gaps(angles)).reshape(3, -1, 3).max(axis=(0, 2))
        return result

    def torn(self, angles: FloatArray) -> bool:
        """Whether panels come apart at folds that close a loop."""
        return bool(self.gaps(angles).max(initial=0.0) > MAX_TEAR)

    def opened(self, sprung: FloatArray, step: int) -> FloatArray:
        """Angles until a step of the folds that close round points act by act; the others opened again."""
        result = np.where(self.any_member, 0.0, sprung)
        acts = np.array([next((b.act for b in reversed(h.bends) if b.step <= step), 0) for h in self.hinges])
        for act in np.unique(acts[self.any_member & (acts > 0)]):
            tried = np.where(self.any_member & (acts == act), sprung, result)
            if not self.torn(self.continued(tried)):
                result = tried
        return result

    def shut(self, result: FloatArray, final: FloatArray) -> FloatArray:
        """Angles at which loops close, those that would tear folded as far as they will be."""
        while True:
            angles = self.continued(result)
            torn = [loop for loop, gap in zip(self.members, self.gaps(angles), strict=True)
                    if gap > MAX_TEAR]
            shut = np.where(np.logical_or.reduce(torn), final, result) if torn else result
            if np.array_equal(shut, result):
                return angles
            result = shut

    def continued(self, angles: FloatArray) -> FloatArray:
        """Angles where a fold goes on straight past a point, along scores that are not folded yet."""
        result, ends = angles.copy(), list(np.flatnonzero(angles).tolist())
        while ends:
            now = ends.pop()
            for hinge in map(int, np.flatnonzero(self._continues[now])):
                if not result[hinge]:
                    result[hinge] = result[now]
                    ends.append(hinge)
        return result

    @cached_property
    def _continues(self) -> BoolArray:
        """Of each pair of folds, whether they lie on one line and meet in a point (hinges × hinges)."""
        ends = np.array([(h.start, h.end) for h in self.hinges]).reshape(-1, 2, 2)
        steps = ends[:, None, :, None] - ends[None, :, None]
        directions, normals = (np.array(each).reshape(-1, 2) for each in (
            [h.direction for h in self.hinges], [h.normal for h in self.hinges]))
        sines: FloatArray = np.abs(normals @ directions.T)
        meet: BoolArray = np.hypot(steps[..., 0], steps[..., 1]).min(axis=(2, 3)) < CLOSING_TOLERANCE
        return meet & (sines < MAX_CONTINUED_SINE)


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
