"""Whether a loop keeps clear of itself."""
from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from generator.geometry.crossings import crossings
from generator.geometry.nearness import SAME
from generator.geometry.overlaps import overlaps
from generator.geometry.point import gap
from generator.geometry.strokes import Stroke


def crosses_itself(loop: Sequence[Stroke]) -> bool:
    """True where two strokes of a closed loop cross, touch or lie on one another, other than end to start."""
    return any(overlaps(a, b) or _meet_elsewhere(loop, i, j) for (i, a), (j, b) in combinations(enumerate(loop), 2))


def _meet_elsewhere(loop: Sequence[Stroke], i: int, j: int) -> bool:
    """Whether two strokes of a loop have a point in common that is no joint of theirs."""
    a, b = loop[i], loop[j]
    joints = [a.end] if j == i + 1 else []
    joints += [a.start] if (j + 1) % len(loop) == i else []
    return any(all(gap(a.at(t), joint) > SAME for joint in joints) for t, _ in crossings(a, b))
