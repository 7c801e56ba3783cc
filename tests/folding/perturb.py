"""Fold a plan a hair otherwise: every coordinate and every starting angle off by about one part in 10⁹.

Another processor rounds the same sums otherwise; what is reported must not hang
on it. A disturbance far larger than rounding, and far smaller than anything that
is tolerated on purpose, shows what does.
"""
from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from unittest import mock

import numpy as np

from generator.findings import Finding
from generator.folding import closings, plan_lines, rigid_folding
from generator.folding.bending.domes import RecentAnswers
from generator.geometry import strokes

SHARE = 1e-9        # of a coordinate or an angle; some 10⁶ times what rounding does


@contextmanager
def disturbed(seed: int, share: float = SHARE) -> Iterator[dict[str, int]]:
    """Within it exact plans become floats a little beside their place, and searches for angles start so.

    Yields how often coordinates were asked for: 0 where nothing was folded.
    """
    chance, asked = np.random.default_rng(seed), {"points": 0}
    places: dict[tuple[float, ...], np.ndarray] = {}
    polyline, floats, starts = strokes.polyline, closings.floats, rigid_folding._starts

    def off(values: np.ndarray) -> np.ndarray:
        return values * (1 + share * chance.uniform(-1, 1, values.shape))

    def moved(xy: np.ndarray) -> np.ndarray:
        """Where a point of the plan comes to lie: a score and the fold along it stay one line."""
        key = tuple(np.round(xy, 6).tolist())
        if key not in places:
            places[key] = off(xy)
        return places[key]

    def off_polyline(*given: object) -> np.ndarray:
        asked["points"] += 1
        return np.array([moved(xy) for xy in polyline(*given)])

    with (mock.patch.object(strokes, "polyline", off_polyline),
          mock.patch.object(plan_lines, "polyline", off_polyline),
          mock.patch.object(closings, "floats", lambda point: moved(np.array(floats(point)))),
          mock.patch.object(rigid_folding, "_starts", lambda *given: [off(each) for each in starts(*given)]),
          mock.patch("generator.folding.whole.RECENT_DOMES", RecentAnswers())):
        yield asked


def differing(findings_of: Callable[[], tuple[Finding, ...]], times: int) -> dict[int, list[str]]:
    """Seed → what ``findings_of`` finds otherwise when everything is disturbed; only where it does."""
    plain, made = None, {}
    for seed in range(1, times + 1):
        with disturbed(seed) as asked:
            found = findings_of()
        if not asked["points"]:
            return {}       # nothing is folded, so nothing can differ
        plain = findings_of() if plain is None else plain
        if (less := lines(plain)) != (now := lines(found)):
            gone = [f"- {row}" for row in less if row not in now]
            made[seed] = [*gone, *(f"+ {row}" for row in now if row not in less)] or ["another order"]
    return made


def lines(found: tuple[Finding, ...]) -> list[str]:
    """Findings as rows that can be compared."""
    return [f"{f.file}:{f.line}:{f.column} {f.severity} [{f.code}] {f.message} | {f.hint}" for f in found]
