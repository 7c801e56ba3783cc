"""The best that edge-to-edge cuts can get out of every rectangle that can arise, by exact recursion.

A rectangle holds one blank, or it is cut once from edge to edge and both parts
are cut as well as can be (Gilmore and Gomory 1966). Cuts can lie at sums of
the sides of blanks, since every part can be pushed to the left and down
(Herz 1972). All figures are whole numbers of one small unit, with the loss of
the blade already added to sheet and blanks: then a cut takes nothing.
"""
from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from math import prod

import numpy as np

from generator.dataclass import dataclass
from generator.sheets.cut_tree import too_much_error

MAX_POSITIONS = 1200   # places along one side of a sheet


def cut_positions(limit: int, sides: Iterable[tuple[int, int | None]]) -> tuple[int, ...]:
    """All sums up to ``limit`` of sides that may each be taken so many times, from 0 on.

    None for a number stands for as often as they fit.

    Raises SheetError ("too-much") where there are more than :data:`MAX_POSITIONS`.
    """
    found = {0}
    for side, most in sides:
        for start in tuple(found):
            room = (limit - start) // side
            count = room if most is None else min(room, most)
            if count > MAX_POSITIONS:
                raise too_much_error()
            found.update(start + side * k for k in range(1, count + 1))
        if len(found) > MAX_POSITIONS:
            raise too_much_error()
    return tuple(sorted(found))


MAX_RECTANGLES = 60_000        # that are worked out: about a second
MAX_SUMS = 80_000_000          # of two parts, over all rectangles: about a second
MAX_SUMS_AT_ONCE = 200_000           # that are held in memory
MAX_COUNT_SPLITS = 2_000_000         # ways to share counts out between two parts
IMPOSSIBLE = -(1 << 40)              # the score where it cannot be cut; two of them still add up


@dataclass(frozen=True, slots=True)
class BlankOrientation:
    """One way for blank ``kind`` to lie. ``most`` is how many of it are of use (None: any number)."""

    kind: int
    width: int
    height: int
    turned: bool = False
    most: int | None = None


@dataclass(frozen=True, slots=True)
class CutGoal:
    """What is wanted of a rectangle.

    So many of each counted kind (``counts``, as a place in the table), and a score.
    """

    counts: int
    score: int


class CuttingTable:
    """The highest scores, ``best[i, j, v]`` for a rectangle ``xs[i]`` × ``ys[j]`` that also gives ``v``.

    The first kinds are counted, as far as ``caps`` goes; every blank of the
    others adds ``worths[kind]`` to the score (0 for those that are counted).
    Raises SheetError ("too-much") beyond the bounds on its work above.
    """

    def __init__(self, width: int, height: int, ways: Sequence[BlankOrientation], worths: Sequence[int],
                 caps: Sequence[int] = ()):
        self.ways = tuple(way for way in ways if way.width <= width and way.height <= height)
        self.worths, self.caps = tuple(worths), tuple(caps)
        self.shape = tuple(cap + 1 for cap in caps)
        self.size = prod(self.shape)
        self.xs = cut_positions(width, ((way.width, way.most) for way in self.ways))
        self.ys = cut_positions(height, ((way.height, way.most) for way in self.ways))
        self._x_cuts, self._y_cuts = _cut_indices(self.xs), _cut_indices(self.ys)
        self._refuse_too_much()
        self.vectors = np.array(list(np.ndindex(self.shape)),
                                dtype=np.int64).reshape(self.size, len(self.shape))
        self._sums = _vector_sums(self.vectors, self.shape)
        self.best = self._singles()
        self._fill()

    # -- asking -------------------------------------------------------------

    def place(self, width: int, height: int) -> tuple[int, int]:
        """The largest rectangle of the table that lies in this one."""
        return bisect_right(self.xs, width) - 1, bisect_right(self.ys, height) - 1

    def slot(self, counts: Sequence[int]) -> int:
        """The place of such counts among the ``vectors``."""
        return int(np.ravel_multi_index(tuple(counts), self.shape)) if self.shape else 0

    def holds(self, i: int, j: int, goal: CutGoal) -> bool:
        """True when the rectangle gives at least that."""
        return bool(self.best[i, j, goal.counts] >= goal.score)

    def gain(self, way: BlankOrientation) -> CutGoal:
        """What a single blank gives."""
        if way.kind < len(self.caps):
            return CutGoal(self.slot([int(k == way.kind) for k in range(len(self.caps))]), 0)
        return CutGoal(0, self.worths[way.kind])

    # -- working out --------------------------------------------------------

    def _refuse_too_much(self) -> None:
        rectangles = len(self.xs) * len(self.ys)
        pairs = (len(self.ys) * sum(len(first) for first, _ in self._x_cuts)
                 + len(self.xs) * sum(len(first) for first, _ in self._y_cuts))
        shares = prod(size * (size + 1) // 2 for size in self.shape)
        if rectangles > MAX_RECTANGLES or shares > MAX_COUNT_SPLITS or pairs * shares > MAX_SUMS:
            raise too_much_error()

    def _singles(self) -> np.ndarray:
        most = max(self.worths, default=0) * len(self.xs) * len(self.ys)
        best = np.full((len(self.xs), len(self.ys), self.size), IMPOSSIBLE,
                       dtype=np.int64 if most < -IMPOSSIBLE else object)
        best[:, :, 0] = 0
        for way in self.ways:
            i, j = bisect_right(self.xs, way.width - 1), bisect_right(self.ys, way.height - 1)
            gain = self.gain(way)
            best[i:, j:, gain.counts] = np.maximum(best[i:, j:, gain.counts], gain.score)
        return best

    def _fill(self) -> None:
        rows = max(1, MAX_SUMS_AT_ONCE // len(self._sums[0]))
        for i, (left, right) in enumerate(self._x_cuts):
            for start in range(0, len(self.ys), rows):
                places = slice(start, start + rows)
                for part, rest in zip(left, right, strict=True):
                    self._better(self.best[i, places], self.best[part, places], self.best[rest, places])
            for j, (low, high) in enumerate(self._y_cuts):
                if len(low):
                    self._better(self.best[i, j], self.best[i, low], self.best[i, high])

    def _better(self, best: np.ndarray, first: np.ndarray, second: np.ndarray) -> None:
        """Take over into ``best`` what two parts give together, each ``first`` with its ``second``.

        They have a row for each of ``best``; or many for a single one, of which the best counts.
        """
        one, other, starts = self._sums
        both = first + second if self.size == 1 else first[:, one] + second[:, other]
        if best.ndim == 1:
            both = both.max(axis=0)
        np.maximum(best, both if self.size == 1 else np.maximum.reduceat(both, starts, axis=-1), out=best)


def _cut_indices(places: Sequence[int]) -> list[tuple[np.ndarray, np.ndarray]]:
    """For each place the cuts before it: what the smaller part, and what the rest, holds of the places."""
    known = np.array(places, dtype=object if places[-1] >= 1 << 62 else np.int64)
    found = []
    for place in places:
        first = np.arange(1, bisect_right(places, place // 2))
        found.append((first, np.searchsorted(known, place - known[first], side="right") - 1))
    return found


def _vector_sums(vectors: np.ndarray, shape: tuple[int, ...]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """All pairs of vectors whose sum is a vector, in the order of the sums, and where each sum begins."""
    if not shape:
        return np.zeros(1, int), np.zeros(1, int), np.zeros(1, int)
    ones, others, starts, total = [], [], [], 0
    for vector in vectors:
        below = np.flatnonzero((vectors <= vector).all(axis=1))
        ones.append(below)
        others.append(np.ravel_multi_index(tuple((vector - vectors[below]).T), shape))
        starts.append(total)
        total += len(below)
    return np.concatenate(ones), np.concatenate(others), np.array(starts)
