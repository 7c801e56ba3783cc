"""Where cuts can lie: sums of the sides of blanks, since every part can be pushed to the left and down (Herz 1972)."""
from __future__ import annotations

from collections.abc import Iterable

from generator.sheets.errors import too_much

MOST_STEPS = 1200   # places along one side of a sheet


def steps(limit: int, sides: Iterable[tuple[int, int | None]]) -> tuple[int, ...]:
    """All sums up to ``limit`` of sides that may each be taken so many times (None: as often as they fit), from 0 on.

    Raises SheetError ("too-much") where there are more than :data:`MOST_STEPS`.
    """
    found = {0}
    for side, most in sides:
        for start in tuple(found):
            room = (limit - start) // side
            count = room if most is None else min(room, most)
            if count > MOST_STEPS:
                raise too_much()
            found.update(start + side * k for k in range(1, count + 1))
        if len(found) > MOST_STEPS:
            raise too_much()
    return tuple(sorted(found))
