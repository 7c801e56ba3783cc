"""A folded piece refolded with its corners a little elsewhere: to first order, from the angles it has."""
from __future__ import annotations

from copy import copy
from dataclasses import replace
from functools import cached_property

import numpy as np

from generator.folding.case import Case
from generator.folding.closings import Closing
from generator.folding.conditions import Rows
from generator.folding.linkage import Arm, Linkage
from generator.folding.nodes import Nodes, nodes_of
from generator.folding.records import FlatMap
from generator.folding.solve import Problem, descend

ROUNDS = 3          # corrections with the slopes of the unmoved piece
WEAK = 1e-5         # of the largest slope: directions that are felt less are left alone


class _Moved(Problem):
    """The problem of a piece whose corners have moved."""

    def __init__(self, signs: np.ndarray, free: np.ndarray, known: np.ndarray, rows: Rows) -> None:
        super().__init__(rows.link, rows.conditions, signs, free, known)
        self.__dict__["rows"] = rows        # in place of those that would be made of the conditions


class Shifter:
    """One folded piece, and what becomes of it when its corners move."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.nodes: Nodes = nodes_of(case.folded.flat)
        self.link: Linkage = case.link
        self.closings: tuple[Closing, ...] = case.folded.closings
        self.signs = np.array([h.bend.sign for h in case.folded.flat.hinges], float)
        self.free = np.array([h.bend.angle is None for h in case.folded.flat.hinges], bool)

    @cached_property
    def rows(self) -> Rows:
        """All closing conditions of the piece."""
        return Rows(self.link, [c for closing in self.closings for c in closing.conditions])

    @cached_property
    def owners(self) -> np.ndarray:
        """For each condition the place of its closing."""
        return np.array([k for k, closing in enumerate(self.closings) for _ in closing.conditions], int)

    @cached_property
    def _answer(self) -> np.ndarray:
        """How the free angles give way to gaps: the pseudo-inverse of the slopes (free × equations)."""
        _, slopes = self.rows.slopes(self.signs * self.case.folded.angles)
        return -np.linalg.pinv((slopes * self.signs)[:, self.free], rcond=WEAK)

    @cached_property
    def _ends(self) -> tuple[np.ndarray, np.ndarray]:
        """The nodes at the two points of each condition, −1 where it is no corner."""
        return self.nodes.at(self.rows.p[:, :2]), self.nodes.at(self.rows.q[:, :2])

    def shifted(self, by: np.ndarray, exactly: bool = False) -> tuple[Case, np.ndarray]:
        """The piece with its corners moved by ``by`` (nodes × 2, mm), and the gap of each closing, in mm.

        To first order, which is quick; ``exactly`` goes on from there as folding itself does.
        """
        places = self.nodes.points + by
        hinges = self.nodes.moved_hinges(places)
        link = self._link(hinges)
        angles, gaps = self.case.folded.angles, np.zeros(len(self.closings))
        if self.closings:
            rows = self._moved_rows(link, by)
            angles = self._refolded(rows, angles)
            if exactly:
                angles = descend(_Moved(self.signs, self.free, self.case.folded.angles, rows), angles).angles
            gaps = self._by_closing(rows.gaps(self.signs * angles))
        flat = FlatMap(self.case.folded.flat.piece, self.nodes.panels(places), hinges, self.case.folded.flat.edges)
        frames = link.frames(self.signs * angles)
        return replace(self.case, folded=replace(self.case.folded, flat=flat, angles=angles, frames=frames)), gaps

    def _refolded(self, rows: Rows, angles: np.ndarray) -> np.ndarray:
        best, least = angles, rows.gaps(self.signs * angles)
        now = least
        for _ in range(ROUNDS if self.free.any() else 0):
            tried = best.copy()
            tried[self.free] = np.clip(best[self.free] + self._answer @ now, 0, np.pi)
            now = rows.gaps(self.signs * tried)
            if now @ now >= least @ least:
                break
            best, least = tried, now
        return best

    def _by_closing(self, gaps: np.ndarray) -> np.ndarray:
        """The largest gap of each closing: of a level its distance, of a meeting the length of its three parts."""
        level = self.rows.level
        each = np.zeros(len(level))
        count = int(level.sum())
        each[level] = np.abs(gaps[:count])
        each[~level] = np.linalg.norm(gaps[count:].reshape(3, -1), axis=0)
        made = np.zeros(len(self.closings))
        np.maximum.at(made, self.owners, each)
        return made

    def _link(self, hinges: tuple) -> Linkage:
        arms = []
        for arm in self.link.arms:
            hinge = hinges[arm.hinge]
            start, end = (hinge.start, hinge.end) if arm.parent == hinge.left else (hinge.end, hinge.start)
            step = (end - start) / np.hypot(*(end - start))
            arms.append(Arm(arm.panel, arm.parent, arm.hinge, np.array((*start, 0.0)), np.array((*step, 0.0))))
        return replace(self.link, flat=replace(self.link.flat, hinges=hinges), arms=tuple(arms))

    def _moved_rows(self, link: Linkage, by: np.ndarray) -> Rows:
        rows = copy(self.rows)
        rows.link = link
        moved = np.concatenate([by, np.zeros((1, 2))])      # the last one for points that are no corner
        p, q = self._ends
        rows.p, rows.q = rows.p.copy(), rows.q.copy()
        rows.p[:, :2] += moved[p]
        rows.q[:, :2] += moved[q]
        self._turn_loops(rows, link)
        return rows

    def _turn_loops(self, rows: Rows, link: Linkage) -> None:
        """Loops turn about their spare hinge where it lies now; the point beside it stays beside it."""
        if not len(rows.turned):
            return
        hinges = [link.flat.hinges[k] for k in rows.hinge]
        starts = np.array([h.start for h in hinges])
        steps = np.array([(h.end - h.start) / h.length for h in hinges])
        zero = np.zeros((len(hinges), 1))
        rows.origin, rows.axis = np.hstack([starts, zero]), np.hstack([steps, zero])
