"""Bend the gathered top of a piece: how far it closes, how high it stands, what its curves may be at most.

The answer for one half bay is stored in a mapping that the caller hands in, by all that it depends on: the
lines, and the code of this room. The same answers rank several curves from corner to peak.
"""
from __future__ import annotations

import hashlib
import io
from collections import OrderedDict
from collections.abc import Iterable, Iterator, MutableMapping, Sequence
from functools import cache
from pathlib import Path

import numpy as np

from generator.dataclass import dataclass
from generator.folding.bending.bays import (
    BayRing,
    bulge_height,
    creases,
    foldable,
    ring_of_bays,
    stays_within,
    with_bulge_share,
    with_curve,
)
from generator.folding.bending.gathering import (
    MAX_STRAIN,
    HalfBayGathering,
    closed_half_bay,
    mesh_for,
    surface_of_top,
)
from generator.folding.bending.meshing import MeshTooLarge
from generator.folding.features.crown import Crown
from generator.folding.planar_map import flat_map
from generator.folding.records import BentSurface, Dome, FoldedPiece
from generator.folding.rigid_folding import fold_piece
from generator.geometry.arrays import FloatArray, ReadOnlyArrays
from generator.geometry.ovals import QUARTER_TURN, oval_points
from generator.paper.records import PieceInfo, PieceState, Plan

CACHE_SIZE = 64           # answers; each has about 5 kB


class RecentAnswers(OrderedDict[str, bytes]):
    """Keeps the last answers of this program."""

    def __init__(self, room: int = CACHE_SIZE) -> None:
        super().__init__()
        self._room = room

    def __setitem__(self, key: str, value: bytes) -> None:
        super().__setitem__(key, value)
        self.move_to_end(key)
        while len(self) > self._room:
            self.popitem(last=False)


DomeCache = MutableMapping[str, bytes]
BISECTIONS = 5        # of the bulge, on the way to the largest that folds
COARSE_POINTS = 50         # points of a half bay while that is looked for

NO_RING = "they do not repeat round a gathered top"
NO_CURVE = "no single curve runs from each corner of the shoulder to a peak"
TOO_MANY_TRIANGLES = "it would take too many triangles"


@dataclass(frozen=True, slots=True, eq=False)
class HalfBaySolution(ReadOnlyArrays):
    """What is stored of one half bay: points in space, strain, opening, largest share of its bulge, ridge."""

    points: FloatArray
    strain: tuple[float, float]
    opening: float
    held: bool
    share: float
    ridge: float = 0.0

    def packed(self) -> bytes:
        """As bytes that :func:`unpacked_solution` reads."""
        out = io.BytesIO()
        np.savez(out, points=self.points,
                 numbers=np.array((*self.strain, self.opening, self.held, self.share, self.ridge)))
        return out.getvalue()


def unpacked_solution(data: bytes) -> HalfBaySolution | None:
    """The answer that was packed; None where the bytes are no such thing."""
    try:
        with np.load(io.BytesIO(data), allow_pickle=False) as archive:
            points, numbers = archive["points"], archive["numbers"]
    except (OSError, ValueError, KeyError, EOFError):
        return None
    if points.ndim != 2 or points.shape[1] != 3 or numbers.shape != (6,) or not np.isfinite(points).all():
        return None
    strain, worst, opening, held, share, ridge = numbers.tolist()
    return HalfBaySolution(points, (strain, worst), opening, bool(held), share, ridge)


def bent_top(plan: Plan, info: PieceInfo, state: PieceState, folded: FoldedPiece,
             cache: DomeCache) -> tuple[BentSurface, Dome] | str:
    """The skin and the dome of a piece with curved folds; or why it has none."""
    ring = ring_of_bays(plan, info, state, folded)
    if ring is None:
        return NO_RING
    if not foldable(ring):
        return NO_CURVE
    try:
        mesh = mesh_for(ring)
        answer = half_bay_solution(ring, cache)
    except MeshTooLarge:
        return TOO_MANY_TRIANGLES
    bulge = bulge_height(ring)
    peak = int(np.hypot(*(mesh.flat - creases(ring.plan)[0][-1]).T).argmin())
    dome = Dome(ring.act, ring.span, ring.curve_span,
                Crown(ring.sides, ring.width, float(mesh.flat[peak][1])), ring.tucked,
                float(answer.points[:, 2].max()), float(answer.points[peak, 2]), 2 * answer.opening, bulge,
                answer.strain,
                None if answer.share in (0.0, 1.0) else answer.share * abs(bulge), answer.held, answer.ridge)
    return surface_of_top(ring, mesh, answer.points, answer.strain, folded.flat, answer.ridge), dome


def half_bay_solution(ring: BayRing, cache: DomeCache, search: bool = True) -> HalfBaySolution:
    """What one half bay does; without ``search`` only whether it closes. Raises TooLarge."""
    key = cache_key(ring)[::1 if search else -1]
    data = cache.get(key)
    answer = unpacked_solution(data) if data is not None else None
    if answer is None or len(answer.points) != len(mesh_for(ring).flat):
        answer = _solve_half_bay(ring, search)
        cache[key] = answer.packed()
    return answer


def _solve_half_bay(ring: BayRing, search: bool) -> HalfBaySolution:
    """Close it; where that stretches the paper, gather slowly as far as it goes.

    Then the largest bulge that still closes is looked for.
    """
    closed = closed_half_bay(ring)
    if closed.unstretched or not search:
        return HalfBaySolution(closed.card.points, closed.judged.strain, closed.card.opening,
                               closed.unstretched, 1.0, closed.ridge)
    last = None
    for bent in HalfBayGathering(ring).on_the_way():
        if bent.strain[0] > MAX_STRAIN or not bent.rested:
            break
        last = bent
    best = closed.card if last is None else last
    return HalfBaySolution(best.points, best.strain, best.opening, last is not None,
                           _largest_bulge_share(ring))


def _largest_bulge_share(ring: BayRing) -> float:
    """The largest share of the bulge that closes without stretching; 0 where even straight folds do not."""
    if not _closes_with(ring, 0.0):
        return 0.0
    low, high = 0.0, 1.0
    for _ in range(BISECTIONS):
        middle = (low + high) / 2
        low, high = (middle, high) if _closes_with(ring, middle) else (low, middle)
    return low


def _closes_with(ring: BayRing, share: float) -> bool:
    return closed_half_bay(with_bulge_share(ring, share), COARSE_POINTS).unstretched


def cache_key(ring: BayRing) -> str:
    """A name for all that the answer depends on."""
    result = hashlib.sha256(code_version().encode())
    for part in _key_numbers(ring):
        result.update(np.round(np.asarray(part, float), 6).tobytes())
    result.update("|".join((*(kind for _, kind in ring.lines), ring.shoulder, str(ring.tucked),
                          str(ring.split))).encode())
    return result.hexdigest()


def _key_numbers(ring: BayRing) -> Iterator[object]:
    yield (ring.sides, ring.width, ring.apothem)
    yield ring.lean
    yield ring.area.exterior.coords
    yield from (xy for xy, _ in ring.lines)


@cache
def code_version() -> str:
    """A name for this code, what nodes its lines, and the tolerances: another may give another answer."""
    result, room = hashlib.sha256(), Path(__file__).parent
    others = [room.parents[1] / "geometry" / name for name in ("noding.py", "tolerances.py")]
    for path in sorted((*room.glob("*.py"), *others)):
        result.update(path.read_bytes())
    return result.hexdigest()


MAX_CURVES = 40       # curves that are tried; each takes about a tenth of a second


@dataclass(frozen=True, slots=True, eq=False)
class CandidateCurve:
    """A curve over a chord, as points (n × 2) from (0, 0) to (chord, 0) that bulge upward.

    ``of`` is whatever its owner knows it by.
    """

    of: object
    points: FloatArray

    @property
    def bulge(self) -> float:
        """How far the curve leaves its chord, in mm."""
        return float(self.points[:, 1].max())


@dataclass(frozen=True, slots=True)
class CurveTrial:
    """On a curve: whether the top closes, the dome's height over the shoulder (mm), its strain (a share)."""

    of: object
    bulge: float
    closes: bool
    height: float
    strain: float


def bay_ring_of_plan(plan: Plan) -> BayRing | None:
    """The gathered top with curved folds of a plan; None where it has none that repeats round a ring."""
    for info in plan.pieces:
        state = plan.state(info.id)
        if not info.is_ribbon and state is not None and state.folds:
            ring = ring_of_bays(plan, info, state, fold_piece(plan, info, state, flat_map(info, state)))
            if ring is not None and foldable(ring):
                return ring
    return None


def curves_over_chord(chord: float, ovals: Iterable[tuple[float, float]],
                      circles: Iterable[float]) -> Iterator[CandidateCurve]:
    """Curves of ovals (width, height), along and across the chord, and circles (diameter) over it."""
    for width, height in ovals:
        for tilt in (0.0, QUARTER_TURN):
            points = oval_points(chord, (width / 2, height / 2), tilt)
            if points is not None:
                yield CandidateCurve((width, height, "along" if tilt == 0 else "across"), points)
    for diameter in circles:
        points = oval_points(chord, (diameter / 2, diameter / 2), 0.0)
        if points is not None:
            yield CandidateCurve((diameter,), points)


def ranked_curves(ring: BayRing, candidates: Sequence[CandidateCurve],
                  cache: DomeCache | None = None) -> tuple[CurveTrial, ...]:
    """What the top does on each of these curves, those that close first, the least stretched first.

    Curves so round that they would meet their neighbours are left out.
    """
    cache = RecentAnswers() if cache is None else cache
    found = [tried for each in candidates[:MAX_CURVES]
             if (tried := _curve_trial(ring, each, cache)) is not None]
    return tuple(sorted(found, key=lambda t: (not t.closes, round(t.strain, 5), t.bulge)))


def _curve_trial(ring: BayRing, candidate: CandidateCurve, cache: DomeCache) -> CurveTrial | None:
    other = with_curve(ring, candidate.points)
    if not stays_within(other) or not foldable(other):
        return None
    try:
        answer = half_bay_solution(other, cache, search=False)
    except MeshTooLarge:
        return None
    return CurveTrial(candidate.of, candidate.bulge, answer.held and answer.opening == 0,
                      float(answer.points[:, 2].max()), answer.strain[0])
