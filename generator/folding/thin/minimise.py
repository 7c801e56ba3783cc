"""Find the shape that resists least: damped Newton steps (Levenberg and Marquardt), each no worse than the last."""
from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from generator.folding.thin.energy import Sheet

STILL = 1e-5        # mm; the shape is found when a step moves nothing farther
FIRST = 1e-3        # share of the stiffness that is added at first, so that steps stay small
LEAST, MOST = 1e-9, 1e6
RAISED, LOWERED = 6.0, 5.0
CAREFUL = 2         # steps before the stresses are taken into account


@dataclass(frozen=True, eq=False)
class Freedom:
    """How vertices may move: ``frames`` (n × 3 × 3) whose rows are the directions of each, ``free`` (n × 3) which of them.

    ``bands`` are the vertices in groups of which only neighbours in the row
    feel each other.
    """

    frames: np.ndarray
    free: np.ndarray
    bands: tuple[np.ndarray, ...]

    @cached_property
    def blocks(self) -> tuple[np.ndarray, ...]:
        """The bands as places among the free directions."""
        number = np.cumsum(self.free.ravel()).reshape(self.free.shape) - 1
        found = (number[band][self.free[band]] for band in self.bands)
        return tuple(block for block in found if len(block))

    def part(self, first: np.ndarray, second: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Gradient and second derivatives by the free directions only."""
        count = len(self.frames)
        keep = self.free.ravel()
        turned = np.matmul(self.frames, second.reshape(count, 3, 3 * count)).reshape(3 * count, 3 * count)[keep]
        turned = np.matmul(self.frames, turned.T.reshape(count, 3, -1)).reshape(3 * count, -1)[keep]
        return np.einsum("nij,nj->ni", self.frames, first.reshape(-1, 3)).ravel()[keep], turned

    def spread(self, step: np.ndarray) -> np.ndarray:
        """A step in the free directions as one of all coordinates."""
        full = np.zeros(self.free.size)
        full[self.free.ravel()] = step
        return np.einsum("nji,nj->ni", self.frames, full.reshape(-1, 3)).ravel()


def settled(sheet: Sheet, x: np.ndarray, freedom: Freedom, rounds: int = 60, still: float = STILL) -> tuple[np.ndarray, bool]:
    """The nearest shape at rest from points ``x`` (3n), and whether it came to rest within so many rounds."""
    now, damping = sheet.energy(x), FIRST
    for k in range(rounds):
        first, second = freedom.part(*sheet.slope(x, full=k >= CAREFUL))
        size = float(np.mean(np.diag(second)))
        far = np.inf
        while damping <= MOST:
            step = _step(first, second, damping * size, freedom.blocks)
            if step is not None:
                moved = freedom.spread(step)
                then, far = sheet.energy(x + moved), float(np.abs(moved).max())
                if then < now:
                    x, now = x + moved, then
                    break
                if far < still:
                    break
            damping = max(damping * RAISED, 1e-7)
        if far < still or damping > MOST:       # a small step says little where it was held back
            return x, far < still and damping <= FIRST
        damping = max(damping / LOWERED, LEAST)
    return x, False


def _step(first: np.ndarray, second: np.ndarray, damping: float, blocks: Sequence[np.ndarray]) -> np.ndarray | None:
    """The damped step, band by band; None where the energy does not curve upwards on all sides.

    Small blocks, since for large ones the library starts threads, which on a
    busy machine wait for each other far longer than they work.
    """
    pivots, links, rests = [], [], []
    try:
        for k, block in enumerate(blocks):
            pivot, rest = second[np.ix_(block, block)] + damping * np.eye(len(block)), -first[block]
            if k:
                pivot -= links[-1].T @ np.linalg.solve(pivots[-1], links[-1])
                rest -= links[-1].T @ np.linalg.solve(pivots[-1], rests[-1])
            np.linalg.cholesky(pivot)
            pivots.append(pivot), rests.append(rest)
            if k + 1 < len(blocks):
                links.append(second[np.ix_(block, blocks[k + 1])])
    except np.linalg.LinAlgError:
        return None
    step = np.zeros(len(first))
    for k in reversed(range(len(blocks))):
        later = links[k] @ step[blocks[k + 1]] if k + 1 < len(blocks) else 0.0
        step[blocks[k]] = np.linalg.solve(pivots[k], rests[k] - later)
    return step


def bands(triangles: np.ndarray, first: Iterable[int], count: int) -> tuple[np.ndarray, ...]:
    """Vertices by their distance from some of them, two rings of triangles a band: bending reaches two rings far."""
    near = [set() for _ in range(count)]
    for triangle in triangles.tolist():
        for v in triangle:
            near[v].update(triangle)
    ring, seen, rings = set(first), set(first), []
    while ring:
        rings.append(sorted(ring))
        ring = {w for v in ring for w in near[v]} - seen
        seen |= ring
    rings.append(sorted(set(range(count)) - seen))
    pairs = [rings[k] + (rings[k + 1] if k + 1 < len(rings) else []) for k in range(0, len(rings), 2)]
    return tuple(np.array(pair, int) for pair in pairs if pair)
