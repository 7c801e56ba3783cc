"""How large the paper is drawn and where it lies, once all that stands round it is known."""
from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from generator.drawing.lettering import SMALL, block
from generator.drawing.steps.boxes import Box
from generator.drawing.steps.dual_measures import unit_pair
from generator.drawing.steps.lanes import Lane
from generator.drawing.steps.measures import DimensionRow
from generator.drawing.steps.row_layout import DimensionStop, LaidRow, lay
from generator.geometry import Point
from generator.paper.records import Side

WIDTH = 120.0       # mm: every picture, so that letters and lines are alike on all of them
HIGHEST = 112.0     # mm that the paper itself may be high
LARGEST = 1.6       # mm of picture for a mm of paper: small pieces are not blown up beyond it
MARGIN = 1.5        # mm at the picture's edge
LABEL_HALF = 6.0    # mm: half of a usual label, kept beside the last mark of a level row
CORNER = 3.4        # mm that upright rows may reach beyond the paper, where no level row begins yet
DEEPEST = 32.0      # mm that an upright row may take, so that two of them leave the paper half of the width
ROUNDS = 8


@dataclass(frozen=True, slots=True)
class Margins:
    """mm of the picture beside the paper."""

    left: float
    right: float


@dataclass(frozen=True, slots=True)
class PictureLayout:
    """``scale`` and the seen point ``corner`` that comes to lie at ``at``; ``laid`` belongs to the rows, in order."""

    scale: float
    corner: Point
    at: Point
    paper: Box                  # in the picture
    laid: tuple[tuple[DimensionRow, LaidRow], ...]
    below: float                # mm that rows take below the paper, and above it
    above: float
    margins: Margins


def lay_out(window: Box, rows: Sequence[DimensionRow], number: int = 1) -> PictureLayout:
    """Find the largest scale at which paper and rows fit; the paper's lower edge is at y = 0 for now."""
    margins = _first_margins(rows)
    for _ in range(ROUNDS):
        layout = _at(window, rows, margins, number, 0.0)
        wanted = _wanted(layout, margins)
        if wanted == margins:
            break
        margins = wanted
    return layout


def raised(layout: PictureLayout, window: Box, rows: Sequence[DimensionRow], floor: float, number: int = 1) -> PictureLayout:
    """The same layout with the paper's lower edge at y = ``floor``."""
    return _at(window, rows, layout.margins, number, floor)


def _first_margins(rows: Iterable[DimensionRow]) -> Margins:
    left = right = MARGIN
    for row in rows:
        if row.level:
            unit = block(unit_pair(row.measures[0].twin.locale), SMALL)[0] + 2 * MARGIN
            left, right = ((max(left, unit), max(right, LABEL_HALF)) if row.origin is Side.LEFT
                           else (max(left, LABEL_HALF), max(right, unit)))
    return Margins(left, right)


def _wanted(layout: PictureLayout, margins: Margins) -> Margins:
    """Margins never shrink, so this comes to an end."""
    left, right = margins.left, margins.right
    for row, laid in layout.laid:
        if row.place is Side.LEFT:
            left = max(left, laid.depth + MARGIN)
        elif row.place is Side.RIGHT:
            right = max(right, laid.depth + MARGIN)
    return Margins(left, right)


def _at(window: Box, rows: Sequence[DimensionRow], margins: Margins, number: int, floor: float) -> PictureLayout:
    room = WIDTH - margins.left - margins.right
    scale = min(room / window.width, HIGHEST / window.height, LARGEST)
    left = margins.left + (room - window.width * scale) / 2
    paper = Box(left, floor, left + window.width * scale, floor + window.height * scale)
    laid, next_number = [], number
    for row in rows:
        made = _laid(row, window, paper, scale, {r.place for r in rows}, next_number)
        next_number += len(made.badges)
        laid.append((row, made))
    # a level row that went to the list alone still leaves the corners to the upright rows
    depth = {row.place: max(made.depth, CORNER) for row, made in laid}
    return PictureLayout(scale, Point(window.x0, window.y0), Point(paper.x0, floor), paper, tuple(laid),
                  depth.get(Side.BOTTOM, 0.0), depth.get(Side.TOP, 0.0), margins)


def _laid(row: DimensionRow, window: Box, paper: Box, scale: float, places: set[Side], number: int) -> LaidRow:
    lane = _lane(row.place, paper, places)
    start, low = (window.x0, paper.x0) if row.level else (window.y0, paper.y0)
    cross_start, cross_low = (window.y0, paper.y0) if row.level else (window.x0, paper.x0)

    def along(value: float) -> float:
        return low + (value - start) * scale

    def out(low_end: float, high_end: float) -> float:
        ends = [lane.out(cross_low + (v - cross_start) * scale) for v in (low_end, high_end)]
        return min(max(ends), 0.0)
    stops = [DimensionStop(along(m.at), out(m.low, m.high), m.twin) for m in row.measures]
    return lay(lane, _origin(row.origin, paper), row.origin, stops, number)


def _origin(side: Side, paper: Box) -> float:
    return {Side.LEFT: paper.x0, Side.RIGHT: paper.x1, Side.BOTTOM: paper.y0, Side.TOP: paper.y1}[side]


def _lane(place: Side, paper: Box, places: set[Side]) -> Lane:
    if place in (Side.BOTTOM, Side.TOP):
        return Lane(place, paper.y0 if place is Side.BOTTOM else paper.y1, MARGIN, WIDTH - MARGIN)
    low = paper.y0 - (CORNER if Side.BOTTOM in places else MARGIN)
    high = paper.y1 + (CORNER if Side.TOP in places else MARGIN)
    return Lane(place, paper.x0 if place is Side.LEFT else paper.x1, low, high, DEEPEST)
