"""Bend the gathered top of a piece: as far as it closes, how high it stands, and what its curves may be at most.

The answer for one half bay is kept in a mapping that the caller hands in, by
all that it depends on: the lines, and the code of this room.
"""
from __future__ import annotations

import hashlib
import io
from collections.abc import Iterator, MutableMapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from generator.folding.gathered import Crown
from generator.folding.records import Dome, FoldedPiece, Skin
from generator.folding.thin.bays import Ring, ring_of_bays
from generator.folding.thin.gather import (
    BOUND,
    Bent,
    Gathering,
    bulge_of,
    bulged,
    creases,
    foldable,
    mesh_for,
)
from generator.folding.thin.meshing import TooLarge
from generator.folding.thin.skins import skin_of
from generator.paper.records import PieceInfo, PieceState, Plan

Cache = MutableMapping[str, bytes]
HALVINGS = 5        # of the bulge, on the way to the largest that folds
COARSE = 50         # points of a half bay while that is looked for

NO_RING = "they do not repeat round a gathered top"
NO_CURVE = "no single curve runs from each corner of the shoulder to a peak"
LARGE = "it would take too many triangles"


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """What is kept of one half bay: the points of its mesh in space, its strain, its opening, and the largest share of its bulge."""

    points: np.ndarray
    strain: tuple[float, float]
    opening: float
    held: bool
    share: float

    def packed(self) -> bytes:
        """As bytes that :func:`unpacked` reads."""
        out = io.BytesIO()
        np.savez(out, points=self.points, told=np.array((*self.strain, self.opening, self.held, self.share)))
        return out.getvalue()


def unpacked(data: bytes) -> Answer | None:
    """The answer that was packed; None where the bytes are no such thing."""
    try:
        with np.load(io.BytesIO(data), allow_pickle=False) as kept:
            points, told = kept["points"], kept["told"]
    except (OSError, ValueError, KeyError, EOFError):
        return None
    if points.ndim != 2 or points.shape[1] != 3 or told.shape != (5,) or not np.isfinite(points).all():
        return None
    return Answer(points, (float(told[0]), float(told[1])), float(told[2]), bool(told[3]), float(told[4]))


def domed(plan: Plan, info: PieceInfo, state: PieceState, folded: FoldedPiece, kept: Cache) -> tuple[Skin, Dome] | str:
    """The skin and the dome of a piece with curved folds; or why it has none."""
    ring = ring_of_bays(plan, info, state, folded)
    if ring is None:
        return NO_RING
    if not foldable(ring):
        return NO_CURVE
    try:
        mesh = mesh_for(ring.plan)
        answer = answer_of(ring, kept)
    except TooLarge:
        return LARGE
    bulge = bulge_of(ring)
    peak = int(np.hypot(*(mesh.flat - creases(ring.plan)[0][-1]).T).argmin())
    dome = Dome(ring.act, ring.span, ring.curve_span, Crown(ring.sides, ring.width, float(mesh.flat[peak][1])), ring.tucked,
                float(answer.points[:, 2].max()), float(answer.points[peak, 2]), 2 * answer.opening, bulge, answer.strain,
                None if answer.share in (0.0, 1.0) else answer.share * abs(bulge), answer.held)
    return skin_of(ring, mesh, answer.points, answer.strain, folded.flat), dome


def answer_of(ring: Ring, kept: Cache, search: bool = True) -> Answer:
    """What one half bay does; without ``search`` only whether it closes. Raises TooLarge."""
    key = key_of(ring)[::1 if search else -1]
    answer = unpacked(kept[key]) if key in kept else None
    if answer is None or len(answer.points) != len(mesh_for(ring.plan).flat):
        answer = _worked_out(ring, search)
        kept[key] = answer.packed()
    return answer


def _worked_out(ring: Ring, search: bool) -> Answer:
    """Close it; where that stretches the paper, gather slowly as far as it goes, and look for the bulge that closes."""
    gathering = Gathering(ring)
    best = gathering.closed()
    if _holds(best) or not search:
        return _answer(best, _holds(best), 1.0)
    last = None
    for bent in gathering.on_the_way():
        if not _holds(bent):
            break
        last = bent
    share = _largest(ring)
    return _answer(best if last is None else last, last is not None, share)


def _holds(bent: Bent) -> bool:
    return bent.strain[0] <= BOUND and bent.rested


def _answer(bent: Bent, held: bool, share: float) -> Answer:
    return Answer(bent.points, bent.strain, bent.opening, held, share)


def _largest(ring: Ring) -> float:
    """The largest share of the bulge at which the peaks meet without stretching; 0 where even straight folds would not do."""
    if not _holds(Gathering(bulged(ring, 0.0), COARSE).closed()):
        return 0.0
    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _holds(Gathering(bulged(ring, middle), COARSE).closed()) else (low, middle)
    return low


def key_of(ring: Ring) -> str:
    """A name for all that the answer depends on."""
    made = hashlib.sha256(code_version().encode())
    for part in _numbers(ring):
        made.update(np.round(np.asarray(part, float), 6).tobytes())
    made.update("|".join((*(kind for _, kind in ring.lines), ring.shoulder, str(ring.tucked), str(ring.split))).encode())
    return made.hexdigest()


def _numbers(ring: Ring) -> Iterator[object]:
    yield (ring.sides, ring.width, ring.apothem)
    yield ring.lean
    yield ring.area.exterior.coords
    yield from (xy for xy, _ in ring.lines)


@cache
def code_version() -> str:
    """A name for the code of this room and of what nodes its lines: another code may give another answer."""
    made = hashlib.sha256()
    for path in sorted((*Path(__file__).parent.glob("*.py"), Path(__file__).parents[1] / "noding.py")):
        made.update(path.read_bytes())
    return made.hexdigest()
