"""Prick points: where a needle goes through, marked so that no ink is left on the finished box.

A point of the edge is marked by ticks beyond the paper, where they fall to
the waste; a point within by a dot that the needle takes away.
"""
from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely

from generator.drawing.templates.processes import ProcessedPiece
from generator.geometry import Circle, Line, Point, Region, Stroke

CLEAR = 1.0         # mm between the paper and a tick beyond it
REACH = 5.0         # mm from the paper to the far end of such a tick
APART = 10.0        # mm at most between two points of a curve
AWAY = 3.0          # mm from the paper that a tick must get to: one that runs along the edge shows nothing
CHORD = 0.1         # mm by which the paper's edge may leave its curves when that is looked at
SAME = 1e-3         # mm


@dataclass(frozen=True, slots=True)
class PrickMarks:
    """Ticks beyond the paper, and points within it."""

    ticks: tuple[Line, ...] = ()
    dots: tuple[Point, ...] = ()


def edge_pricks(piece: ProcessedPiece, area: Region) -> PrickMarks:
    """The corners and curves of the outline and of the holes in it."""
    ticks, dots = [], []
    for path in (piece.outline, *piece.holes):
        for before, after in zip((path[-1], *path[:-1]), path, strict=True):
            found = [tick for tick in (_beyond(before, 1, area), _beyond(after, 0, area)) if tick]
            ticks += found
            if not found:
                dots.append(_float(after.start))
            dots += _along(after)
    return PrickMarks(tuple(ticks), tuple(_once(dots)))


def line_pricks(strokes: Sequence[Stroke], area: Region) -> PrickMarks:
    """Both ends of every line, and points along the curved ones."""
    ticks, dots = [], []
    for stroke in strokes:
        for end in (0, 1):
            tick = _beyond(stroke, end, area) if _on_edge(stroke.at(end), area) else None
            ticks += [tick] if tick else []
            dots += [] if tick else [_float(stroke.at(end))]
        dots += _along(stroke)
    return PrickMarks(tuple(ticks), tuple(_once(dots)))


def middles(circles: Sequence[Stroke]) -> tuple[Point, ...]:
    """The middle of each circle."""
    return tuple(_float(circle.center) for circle in circles if isinstance(circle, Circle))


def _beyond(stroke: Stroke, end: int, area: Region) -> Line | None:
    """A tick that continues a stroke beyond its start (0) or end (1); None where paper lies there."""
    x, y = map(float, stroke.at(end))
    step = stroke.tangent(end)
    dx, dy = (step.x, step.y) if end else (-step.x, -step.y)
    near, far = (Point(x + dx * by, y + dy * by) for by in (CLEAR, REACH))
    blocked = area.contains(near) or area.contains(far) or area.polygon(CHORD).distance(shapely.Point(*far)) < AWAY
    return None if blocked else Line(near, far)


def _on_edge(point: Point, area: Region) -> bool:
    return area.on_edge(_float(point))


def _along(stroke: Stroke) -> Iterator[Point]:
    if not isinstance(stroke, Line):
        count = max(2, math.ceil(float(stroke.length()) / APART))
        yield from (_float(stroke.at(k / count)) for k in range(1, count))


def _once(points: Sequence[Point]) -> Iterator[Point]:
    kept: list[Point] = []
    for point in points:
        if all(math.dist(point, other) > SAME for other in kept):
            kept.append(point)
            yield point


def _float(point: Point) -> Point:
    return Point(float(point[0]), float(point[1]))
