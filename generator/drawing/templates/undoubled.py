"""Lines drawn once: what an earlier line covers is left out of a later one."""
from __future__ import annotations

from collections.abc import Iterable, Sequence

from generator.geometry import Stroke, overlaps

SHORTEST = 1e-4     # mm; what is left of a line and shorter than this is nothing


def without(stroke: Stroke, others: Iterable[Stroke]) -> tuple[Stroke, ...]:
    """The parts of a stroke that lie on none of the ``others``, in order."""
    covered = sorted((float(t0), float(t1)) for other in others for t0, t1 in overlaps(stroke, other))
    if not covered:
        return (stroke,)
    size, parts, at = float(stroke.length()), [], 0.0
    for t0, t1 in (*covered, (1.0, 1.0)):
        if (t0 - at) * size > SHORTEST:
            parts.append(stroke.part(at, t0))
        at = max(at, t1)
    return tuple(parts)


def undoubled(strokes: Iterable[Stroke], before: Sequence[Stroke] = ()) -> tuple[Stroke, ...]:
    """Each stroke less what those before it (and ``before``) already cover."""
    kept: list[Stroke] = []
    for stroke in strokes:
        kept += without(stroke, (*before, *kept))
    return tuple(kept)
