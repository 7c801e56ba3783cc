"""Which curve? The dome that each of several curves would give, from corner to peak of a gathered top."""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from generator.folding.faces import flat_map
from generator.folding.rigid import fold_piece
from generator.folding.thin.bays import Ring, ring_of_bays
from generator.folding.thin.dome import Cache, answer_of
from generator.folding.thin.gather import drawn_along, foldable, stays_within
from generator.folding.thin.meshing import TooLarge
from generator.folding.thin.recent import Recent
from generator.geometry.ovals import QUARTER, traced
from generator.paper.records import Plan

MOST = 40       # curves that are tried; each takes about a tenth of a second


@dataclass(frozen=True, slots=True, eq=False)
class Candidate:
    """A curve over a chord, as points (n × 2) from (0, 0) to (chord, 0) that bulge upward; ``of`` is whatever its owner knows it by."""

    of: object
    points: np.ndarray

    @property
    def bulge(self) -> float:
        return float(self.points[:, 1].max())


@dataclass(frozen=True, slots=True)
class Tried:
    """What a top does on a curve: whether it closes, how high its dome stands over the shoulder (mm), and its strain (a share)."""

    of: object
    bulge: float
    closes: bool
    height: float
    strain: float


def ring_of(plan: Plan) -> Ring | None:
    """The gathered top with curved folds of a plan; None where it has none that repeats round a ring."""
    for info in plan.pieces:
        state = plan.state(info.id)
        if not info.is_ribbon and state is not None and state.folds:
            ring = ring_of_bays(plan, info, state, fold_piece(plan, info, state, flat_map(info, state)))
            if ring is not None and foldable(ring):
                return ring
    return None


def through(chord: float, ovals: Iterable[tuple[float, float]], circles: Iterable[float]) -> Iterator[Candidate]:
    """The curves that ovals (width, height) and circles (diameter) give through both ends: an oval lies along the chord or across it."""
    for width, height in ovals:
        for tilt in (0.0, QUARTER):
            points = traced(chord, (width / 2, height / 2), tilt)
            if points is not None:
                yield Candidate((width, height, "along" if tilt == 0 else "across"), points)
    for diameter in circles:
        points = traced(chord, (diameter / 2, diameter / 2), 0.0)
        if points is not None:
            yield Candidate((diameter,), points)


def ranked(ring: Ring, candidates: Sequence[Candidate], kept: Cache | None = None) -> tuple[Tried, ...]:
    """What the top does on each of these curves, those that close first, the least stretched first.

    Curves so round that they would meet their neighbours are left out.
    """
    kept = Recent() if kept is None else kept
    found = [tried for each in candidates[:MOST] if (tried := _tried(ring, each, kept)) is not None]
    return tuple(sorted(found, key=lambda t: (not t.closes, round(t.strain, 5), t.bulge)))


def _tried(ring: Ring, candidate: Candidate, kept: Cache) -> Tried | None:
    other = drawn_along(ring, candidate.points)
    if not stays_within(other) or not foldable(other):
        return None
    try:
        answer = answer_of(other, kept, search=False)
    except TooLarge:
        return None
    return Tried(candidate.of, candidate.bulge, answer.held and answer.opening == 0, float(answer.points[:, 2].max()), answer.strain[0])


def arcs(chord: float, bulges: Iterable[float]) -> Iterator[Candidate]:
    """Arcs of circles by their bulge."""
    for bulge in bulges:
        radius = (chord * chord / 4 + bulge * bulge) / (2 * bulge)
        yield from (replace(c, of=bulge) for c in through(chord, (), (2 * radius,)))
