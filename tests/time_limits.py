"""Limits on time: kept by ``make bench`` alone, since no test may depend on how busy a machine is.

Where a property is tried with chance it is tried more often there, too, and where many cases of one kind are
tried, all of them.
"""
from __future__ import annotations

import os
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import TypeVar

ASKED = bool(os.environ.get("FOLDGAUGE_LIMITS"))


def examples(most: int) -> int:
    """How many examples a property is tried with: ``most`` by ``make bench``, half of them otherwise."""
    return most if ASKED else most // 2


Case = TypeVar("Case")


def sampled(cases: Iterable[Case], every: int, kind: Callable[[Case], object] = lambda _: None) -> list[Case]:
    """The first case of each kind and each ``every``-th after it; all of them by ``make bench``."""
    met: Counter[object] = Counter()
    chosen = []
    for case in cases:
        if ASKED or met[kind(case)] % every == 0:
            chosen.append(case)
        met[kind(case)] += 1
    return chosen


def alternating(cases: Iterable[Case], ways: Sequence[str]) -> list[tuple[Case, str]]:
    """Each case with the next one of the ways, in turn; by ``make bench`` every case with every way."""
    return [(case, way) for k, case in enumerate(cases) for j, way in enumerate(ways)
            if ASKED or k % len(ways) == j]


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """The block may take so many seconds of this program's own time, where limits are asked for."""
    begun = time.process_time()
    yield
    taken = time.process_time() - begun
    assert not ASKED or taken <= seconds, f"{taken:.2f} s of work, {seconds} s are allowed"
