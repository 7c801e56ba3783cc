"""Find the shape that resists least: damped Newton steps (Levenberg and Marquardt), each no worse than the last."""
from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from generator.folding.thin.energy import Sheet

STILL = 1e-5        # mm; the shape is found when a step moves nothing farther
FIRST = 1e-3        # share of the stiffness that is added at first, so that steps stay small
LEAST, MOST = 1e-9, 1e6
RAISED, LOWERED = 6.0, 5.0
CAREFUL = 2         # steps before the stresses are taken into account


@dataclass(frozen=True, slots=True, eq=False)
class Freedom:
    """How vertices may move: ``frames`` (n × 3 × 3) whose rows are the directions of each, ``free`` (n × 3) which of them."""

    frames: np.ndarray
    free: np.ndarray

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
        while damping <= MOST:
            step = _step(first, second, damping * size)
            if step is not None:
                moved = freedom.spread(step)
                then = sheet.energy(x + moved)
                if then < now or np.abs(moved).max() < still:
                    break
            damping = max(damping * RAISED, 1e-7)
        else:
            return x, False
        if then < now:
            x, now = x + moved, then
        if np.abs(moved).max() < still:
            return x, True
        damping = max(damping / LOWERED, LEAST)
    return x, False


def _step(first: np.ndarray, second: np.ndarray, damping: float) -> np.ndarray | None:
    """The damped step; None where the energy does not curve upwards on all sides."""
    held = second + damping * np.eye(len(second))
    try:
        np.linalg.cholesky(held)
    except np.linalg.LinAlgError:
        return None
    return -np.linalg.solve(held, first)
