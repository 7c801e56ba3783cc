"""Which measures share a dimension line, and on which side of the piece it lies."""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from generator.drawing.boxes import Box
from generator.drawing.measures import NEAR, Measure
from generator.paper.records import Side

# axis → (the side that rows lie on by habit, the other one)
SIDES = {"x": (Side.BOTTOM, Side.TOP), "y": (Side.LEFT, Side.RIGHT)}
ORIGINS = {"x": (Side.LEFT, Side.RIGHT), "y": (Side.BOTTOM, Side.TOP)}


@dataclass(frozen=True, slots=True)
class Row:
    """Measures from one ``origin`` side on one line beside the piece, nearest first."""

    place: Side
    origin: Side
    measures: tuple[Measure, ...]

    @property
    def level(self) -> bool:
        """True for a row along x."""
        return self.place in SIDES["x"]


def in_rows(measures: Iterable[Measure], box: Box) -> tuple[Row, ...]:
    """At most one row on each side: a series lies where its marks reach the edge, all of one origin together.

    Where rows from both ends would want the same side of the picture, those
    from the left (or the bottom) lie by habit, those from the right (or the
    top) on the other side.
    """
    rows: list[Row] = []
    for axis, habit in SIDES.items():
        mine = [m for m in measures if m.axis == axis]
        places = _by_habit_or_reach(mine, axis, box)
        if any(len({m.side for m in row}) > 1 for row in places.values()):
            places = {place: [m for m in mine if m.side is origin]
                      for place, origin in zip(habit, ORIGINS[axis], strict=True)}
        rows += [Row(place, row[0].side, tuple(sorted(row, key=lambda m: float(_value(m)))))
                 for place, row in places.items() if row]
    return tuple(rows)


def _by_habit_or_reach(measures: Iterable[Measure], axis: str, box: Box) -> dict[Side, list[Measure]]:
    series: dict[tuple[str, Side], list[Measure]] = defaultdict(list)
    for measure in measures:
        series[measure.series, measure.side].append(measure)
    near, far = SIDES[axis]
    low, high = (box.y0, box.y1) if axis == "x" else (box.x0, box.x1)
    places: dict[Side, list[Measure]] = {near: [], far: []}
    for group in series.values():
        below = sum(m.low - low for m in group) / len(group)
        above = sum(high - m.high for m in group) / len(group)
        places[far if above < below - NEAR else near] += group
    return places


def _value(measure: Measure) -> float:
    return float(measure.twin.mm if measure.twin.mm is not None else measure.twin.inch)
