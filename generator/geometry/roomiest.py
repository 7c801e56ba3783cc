"""The roomiest upright rectangle in an area."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

import shapely

Number = Fraction | float
Box = tuple[Number, Number, Number, Number]     # left, bottom, right, top

NEAR = 1e-7         # mm; a rectangle may touch what bounds it
MOST = 40           # values tried each way; of more, those are left out that lie closest to others


def roomiest(free: shapely.Geometry, across: Sequence[Number], up: Sequence[Number]) -> Box | None:
    """The largest rectangle (mm²) within ``free`` whose sides lie at values of ``across`` and ``up``; None where none fits.

    The sides come out as they are given, exact where those are. Of equal ones
    the leftmost, then the lowest is taken.
    """
    best, most = None, 0.0
    for box in rooms(free, across, up):
        area = float((box[2] - box[0]) * (box[3] - box[1]))
        if area > most * (1 + 1e-12) + NEAR:
            best, most = box, area
    return best


def rooms(free: shapely.Geometry, across: Sequence[Number], up: Sequence[Number]) -> Iterator[Box]:
    """The tallest rectangle within ``free`` between every two values of ``across``, its ends at values of ``up``."""
    left, bottom, right, top = free.bounds
    xs, ys = _thinned(across, left, right), _thinned(up, bottom, top)
    for k, low in enumerate(xs):
        for high in reversed(xs[k + 1:]):
            found = _tallest(free, low, high, ys)
            if found is not None:
                yield low, found[0], high, found[1]


def _tallest(free: shapely.Geometry, low: Number, high: Number, ys: Sequence[Number]) -> tuple[Number, Number] | None:
    """The longest stretch of ``ys`` over which a strip from ``low`` to ``high`` is free."""
    left, right = float(low) + NEAR, float(high) - NEAR
    if right <= left or len(ys) < 2:
        return None
    strip = shapely.box(left, float(ys[0]) - 1, right, float(ys[-1]) + 1)
    blocked = sorted((part.bounds[1], part.bounds[3]) for part in shapely.get_parts(strip.difference(free)) if not part.is_empty)
    best, floor = None, None
    for bottom, top in [*blocked, (float("inf"), float("inf"))]:
        if floor is not None and bottom > floor:
            inside = [y for y in ys if floor - NEAR <= float(y) <= bottom + NEAR]
            if len(inside) > 1 and (best is None or inside[-1] - inside[0] > best[1] - best[0]):
                best = inside[0], inside[-1]
        floor = top if floor is None else max(floor, top)
    return best


def _thinned(values: Sequence[Number], low: float, high: float) -> list[Number]:
    """In order, each once, none outside of ``low`` to ``high``, and no more than :data:`MOST`: exact ones are kept before others."""
    ordered: list[Number] = []
    for value in sorted(values, key=lambda v: (float(v), not isinstance(v, Fraction))):
        if low - NEAR <= float(value) <= high + NEAR and (not ordered or float(value) - float(ordered[-1]) > NEAR):
            ordered.append(value)
    while len(ordered) > MOST:
        gaps = [(isinstance(ordered[k], Fraction), float(ordered[k + 1] - ordered[k - 1]), k) for k in range(1, len(ordered) - 1)]
        ordered.pop(min(gaps)[2])
    return ordered
