"""The fewest sheets, and of those the fewest cuts, that together give at least what is wanted."""
from __future__ import annotations

from collections.abc import Mapping
from math import prod
from typing import Protocol

import numpy as np

from generator.dataclass import dataclass
from generator.sheets.cut_tree import too_much_error

Vector = tuple[int, ...]
MAX_CELLS = 20_000_000      # amounts that may still be wanted, times ways to cut a sheet, times sheets
NEVER = 1 << 40             # more cuts than any plan has


class HasCuts(Protocol):
    """A way to cut a sheet."""

    @property
    def cuts(self) -> int:
        """Of the blade."""


@dataclass(frozen=True, slots=True)
class Cover:
    """``counts`` says how many sheets are cut to give what."""

    sheets: int
    cuts: int
    counts: Mapping[Vector, int]

    @property
    def key(self) -> tuple[int, int]:
        """Fewer sheets first, then fewer cuts."""
        return self.sheets, self.cuts


def fewest_patterns(ways: Mapping[Vector, HasCuts], wanted: Vector) -> Cover | None:
    """The cover with fewest sheets, then cuts; None where the ways leave something out that is wanted.

    ``ways`` gives by amounts how a sheet is cut for them. Raises SheetError ("too-much").
    """
    given = [vector for vector in ways if any(vector)]
    if not all(any(vector[k] for vector in given) for k, most in enumerate(wanted) if most):
        return None
    shape = tuple(most + 1 for most in wanted)
    if prod(shape) * len(given) > MAX_CELLS:
        raise too_much_error()
    befores = [np.ix_(*(np.maximum(np.arange(most + 1) - n, 0)
                        for n, most in zip(vector, wanted, strict=True))) for vector in given]
    layer = np.full(shape, NEVER, dtype=np.int64)
    layer.flat[0] = 0
    chosen: list[np.ndarray] = []
    while layer.flat[-1] >= NEVER:
        better, choice = np.full(shape, NEVER, dtype=np.int64), np.zeros(shape, dtype=np.int64)
        for number, (vector, before) in enumerate(zip(given, befores, strict=True)):
            cost = layer[before] + ways[vector].cuts
            smaller = cost < better
            better[smaller], choice[smaller] = cost[smaller], number
        if len(chosen) * prod(shape) * len(given) > MAX_CELLS:
            raise too_much_error()
        layer = np.minimum(better, NEVER)
        chosen.append(choice)
    return Cover(len(chosen), int(layer.flat[-1]), _counts(given, chosen, wanted))


def _counts(given: list[Vector], chosen: list[np.ndarray], wanted: Vector) -> Mapping[Vector, int]:
    counts: dict[Vector, int] = {}
    left = wanted
    for choice in reversed(chosen):
        vector = given[int(choice[left])]
        counts[vector] = counts.get(vector, 0) + 1
        left = tuple(max(a - b, 0) for a, b in zip(left, vector, strict=True))
    return counts
