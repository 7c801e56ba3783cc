"""Of all cut trees that give what is wanted, a handy one.

Handy is: few settings of the fence, then few cuts, then one large offcut
rather than many small ones. What is wanted is reached for certain; that no
tree is handier holds as long as :data:`MAX_TRIED` lasts.
"""
from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from generator.dataclass import dataclass
from generator.sheets.cut_tree import BlankLeaf, CutNode, EqualStrips, OffcutLeaf, merged_split
from generator.sheets.dynamic_programming import CutGoal, CuttingTable

MAX_TRIED = 5000       # widths and numbers of first strips, over the whole tree
MAX_DIVISIONS = 3         # ways to share out what is wanted, for one width and number of strips
TreeCost = tuple[int, int, int]     # settings, cuts, minus the area of the largest offcut


@dataclass(frozen=True, slots=True)
class FirstStrips:
    """The first strips to cut off: ``count`` of them, ``size`` wide, each for ``each``.

    The rest is for ``rest``.
    """

    axis: str
    count: int
    size: int
    each: CutGoal
    rest: CutGoal

    def parts(self, width: int, height: int) -> tuple[tuple[int, int], tuple[int, int]]:
        """Width and height of one strip, and of what is left of a rectangle (0 where nothing is)."""
        taken = self.count * self.size
        if self.axis == "x":
            return (self.size, height), (width - taken, height)
        return (width, self.size), (width, height - taken)


class TreeChooser:
    """Finds the tree in ``table``."""

    def __init__(self, table: CuttingTable):
        self._table = table
        self._known: dict[tuple[int, int, CutGoal], tuple[TreeCost, CutNode]] = {}
        self._tried = 0
        self._sizes = {(way.width, way.height) for way in table.ways}
        self._valued = len(table.worths) > len(table.caps) + 1      # several kinds share the score
        # by place: how many are counted in all
        self._counts: list[int] = table.vectors.sum(axis=1).tolist()
        self._kinds: list[int] = (table.vectors > 0).sum(axis=1).tolist()      # … and of how many kinds
        self._tops = table.best.max(axis=2).tolist()                # the highest score of each rectangle
        self._shared: dict[tuple[int, ...], list[tuple[CutGoal, CutGoal]]] = {}
        self._divisions: dict[tuple[int, int], tuple[np.ndarray, np.ndarray, np.ndarray]] = {}

    def tree(self, width: int, height: int, goal: CutGoal) -> CutNode:
        """A tree of the whole rectangle that gives ``goal``.

        Raises ValueError where the table says there is none.
        """
        if not self._table.holds(*self._table.place(width, height), goal):
            raise ValueError("the rectangle does not give so much")
        return self._best(width, height, goal)[1]

    def _best(self, width: int, height: int, goal: CutGoal) -> tuple[TreeCost, CutNode]:
        key = width, height, goal
        if key not in self._known:
            self._known[key] = self._found(width, height, goal)
        return self._known[key]

    def _found(self, width: int, height: int, goal: CutGoal) -> tuple[TreeCost, CutNode]:
        if goal.score <= 0 and goal.counts == 0:
            return (0, 0, -width * height), OffcutLeaf(width, height)
        for way in self._table.ways:
            if (way.width, way.height) == (width, height) and self._enough(self._table.gain(way), goal):
                return (0, 0, 0), BlankLeaf(width, height, way.kind, way.turned)
        best = None
        for first in self._firsts(width, height, goal):
            if best is not None and self._tried >= MAX_TRIED:
                break
            if best is not None and self._least(width, height, first) > best[0][0]:
                continue
            found = self._with(width, height, first)
            if best is None or found[0] < best[0]:
                best = found
        assert best is not None     # the table came by this score somehow
        return best

    @staticmethod
    def _enough(gain: CutGoal, goal: CutGoal) -> bool:
        return gain.counts == goal.counts and gain.score >= goal.score

    def _with(self, width: int, height: int, first: FirstStrips) -> tuple[TreeCost, CutNode]:
        """Cost and tree when it begins with these strips."""
        strip, left = first.parts(width, height)
        each, node = self._best(*strip, first.each)
        after, rest = self._best(*left, first.rest) if all(left) else ((0, 0, 0), None)
        cuts = first.count - (rest is None) + first.count * each[1] + after[1]
        cost = 1 + each[0] + after[0], cuts, min(each[2], after[2])
        return cost, merged_split(width, height, first.axis, (EqualStrips(first.count, node),), rest)

    def _least(self, width: int, height: int, first: FirstStrips) -> int:
        """Settings that a tree with these first strips needs at least."""
        strip, rest = first.parts(width, height)
        return 1 + self._settings(*strip, first.each) + self._settings(*rest, first.rest)

    def _settings(self, width: int, height: int, goal: CutGoal) -> int:
        """Settings that a rectangle needs at least: each makes one more kind of part."""
        if goal.score <= 0 and goal.counts == 0:
            return 0
        known = self._known.get((width, height, goal))
        if known is not None:
            return known[0][0]
        exact = (width, height) in self._sizes
        kinds = self._kinds[goal.counts] + (goal.score > 0 and not self._valued)
        return max(kinds - exact, 0 if exact else 1)

    # -- what to begin with -------------------------------------------------

    def _firsts(self, width: int, height: int, goal: CutGoal) -> Iterator[FirstStrips]:
        table = self._table
        i, j = table.place(width, height)
        for axis, places, at, along in (("x", table.xs, i, width), ("y", table.ys, j, height)):
            row = table.best[:, j] if axis == "x" else table.best[i]
            # narrower strips would do else
            for k in (np.flatnonzero((row[1:at + 1] > row[:at]).any(axis=1)) + 1).tolist():
                if places[k] < along:
                    top = self._tops[k][j] if axis == "x" else self._tops[i][k]
                    yield from self._strips(axis, along, places[k], row, k, top, goal)

    def _strips(self, axis: str, along: int, size: int, row: np.ndarray, k: int, top: int,
                goal: CutGoal) -> Iterator[FirstStrips]:
        """Strips of one width: as many as can be, for each way to share out what is wanted."""
        table = self._table
        # more would give more than is wanted
        most = max(1, self._counts[goal.counts] + (goal.score // top if top > 0 else 0))
        for count in range(min(along // size, most), 0, -1):
            self._tried += 1
            left = along - count * size
            after = table.place(left, 0)[0] if axis == "x" else table.place(0, left)[1]
            shares = self._shares(row[k], row[after], count, goal)
            for each, rest in shares:
                yield FirstStrips(axis, count, size, each, rest)
            if shares:
                return

    def _shares(self, strip: np.ndarray, after: np.ndarray, count: int,
                goal: CutGoal) -> list[tuple[CutGoal, CutGoal]]:
        """What each strip gives, and what the rest then gives; generous strips first, no more than are tried.

        Strips always give something.
        """
        key = (*strip.tolist(), *after.tolist(), count, goal.counts, goal.score)     # one of five is new
        if key not in self._shared:
            self._shared[key] = self._found_shares(strip, after, count, goal)
        return self._shared[key]

    def _found_shares(self, strip: np.ndarray, after: np.ndarray, count: int,
                      goal: CutGoal) -> list[tuple[CutGoal, CutGoal]]:
        slots, left, counted = self._divided(count, goal.counts)
        strip = strip[slots]
        scores = np.minimum(strip, goal.score // count)
        found = np.flatnonzero((strip >= 0) & ((scores > 0) | (counted > 0))
                               & (after[left] >= goal.score - count * scores).astype(bool))
        order = np.argsort(-counted[found] - scores[found], kind="stable")[:MAX_DIVISIONS]
        return [(CutGoal(int(slots[n]), int(scores[n])),
                 CutGoal(int(left[n]), int(goal.score) - count * int(scores[n]))) for n in found[order]]

    def _divided(self, count: int, counts: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """What so many equal parts may count each, what is then left, and how many that is in one part."""
        if (count, counts) not in self._divisions:
            table = self._table
            rests = table.vectors[counts] - count * table.vectors
            slots = np.flatnonzero((rests >= 0).all(axis=1))
            left = np.ravel_multi_index(tuple(rests[slots].T),
                                        table.shape) if table.shape else np.zeros(len(slots), int)
            self._divisions[count, counts] = slots, left, table.vectors[slots].sum(axis=1)
        return self._divisions[count, counts]
