"""The fewest sheets, and of those the fewest cuts, that together give at least what is wanted."""
from __future__ import annotations

from collections.abc import Mapping
from math import ceil, prod
from typing import Protocol

import numpy as np

from generator.dataclass import dataclass

Vector = tuple[int, ...]
MAX_CELLS = 3_000_000      # amounts that may still be wanted, times ways to cut a sheet, times sheets
NEVER = 1 << 40             # more cuts than any plan has


class HasCuts(Protocol):
    """A way to cut a sheet."""

    @property
    def cuts(self) -> int:
        """Of the blade."""


@dataclass(frozen=True, slots=True)
class Cover:
    """``counts`` says how many sheets are cut to give what; ``exact`` where none is better."""

    sheets: int
    cuts: int
    counts: Mapping[Vector, int]
    exact: bool = True

    @property
    def key(self) -> tuple[int, int]:
        """Fewer sheets first, then fewer cuts."""
        return self.sheets, self.cuts


def fewest_patterns(ways: Mapping[Vector, HasCuts], wanted: Vector, areas: Vector) -> Cover | None:
    """The cover with fewest sheets, then cuts; None where the ways leave something out that is wanted.

    ``ways`` gives by amounts how a sheet is cut for them. Where that is too much to try, the way that gives
    most of what is still wanted by area is taken again and again, until the rest can be tried: the cover is
    then not ``exact``.
    """
    given = [vector for vector in ways if any(vector)]
    if not all(any(vector[k] for vector in given) for k, most in enumerate(wanted) if most):
        return None
    taken: dict[Vector, int] = {}
    left = wanted
    most = max(_useful(vector, wanted, areas) for vector in given) if given else 1
    while (found := _exact(ways, given, left, ceil(_useful(left, left, areas) / most))) is None:
        best = max(given, key=lambda vector: (_useful(vector, left, areas), -ways[vector].cuts, vector))
        times = max(1, min(have // each for have, each in zip(left, best, strict=True) if each) // 2)
        taken[best] = taken.get(best, 0) + times
        left = tuple(max(have - times * each, 0) for have, each in zip(left, best, strict=True))
    counts = {vector: taken.get(vector, 0) + found.get(vector, 0) for vector in {**taken, **found}}
    return Cover(sum(counts.values()), sum(ways[vector].cuts * n for vector, n in counts.items()), counts,
                 exact=not taken)


def _useful(vector: Vector, left: Vector, areas: Vector) -> int:
    """The area of what is still wanted."""
    return sum(min(each, have) * area for each, have, area in zip(vector, left, areas, strict=True))


def _exact(ways: Mapping[Vector, HasCuts], given: list[Vector], wanted: Vector,
           least: int) -> Mapping[Vector, int] | None:
    """How many sheets are cut in each way; None where there is too much to try for so many at ``least``.

    Layer by layer: the fewest cuts for every amount that so many sheets cover.
    """
    shape = tuple(most + 1 for most in wanted)
    if prod(shape) * len(given) * max(least, 1) > MAX_CELLS:
        return None
    befores = [np.ix_(*(np.maximum(np.arange(most + 1) - n, 0)
                        for n, most in zip(vector, wanted, strict=True))) for vector in given]
    layer = np.full(shape, NEVER, dtype=np.int64)
    layer.flat[0] = 0
    chosen: list[np.ndarray] = []
    while layer.flat[-1] >= NEVER:
        if len(chosen) > 2 * least + 2 and len(chosen) * prod(shape) * len(given) > MAX_CELLS:
            return None
        better, choice = np.full(shape, NEVER, dtype=np.int64), np.zeros(shape, dtype=np.int64)
        for number, (vector, before) in enumerate(zip(given, befores, strict=True)):
            cost = layer[before] + ways[vector].cuts
            smaller = cost < better
            better[smaller], choice[smaller] = cost[smaller], number
        layer = np.minimum(better, NEVER)
        chosen.append(choice)
    return _counts(given, chosen, wanted)


def _counts(given: list[Vector], chosen: list[np.ndarray], wanted: Vector) -> Mapping[Vector, int]:
    counts: dict[Vector, int] = {}
    left = wanted
    for choice in reversed(chosen):
        vector = given[int(choice[left])]
        counts[vector] = counts.get(vector, 0) + 1
        left = tuple(max(a - b, 0) for a, b in zip(left, vector, strict=True))
    return counts
