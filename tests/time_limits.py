"""Limits on time: kept by ``make bench`` alone, since no test may depend on how busy a machine is.

Where a property is tried with chance it is tried more often there, too.
"""
from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager

ASKED = bool(os.environ.get("FOLDGAUGE_LIMITS"))


def examples(most: int) -> int:
    """How many examples a property is tried with: ``most`` by ``make bench``, half of them otherwise."""
    return most if ASKED else most // 2


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """The block may take so many seconds of this program's own time, where limits are asked for."""
    begun = time.process_time()
    yield
    taken = time.process_time() - begun
    assert not ASKED or taken <= seconds, f"{taken:.2f} s of work, {seconds} s are allowed"
