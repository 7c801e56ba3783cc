"""Layout: the part of a piece that a picture shows, its scale, and its place among the rows of measures."""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from generator.dataclass import dataclass, replace
from generator.drawing.lettering import SMALL_LETTER_SIZE, text_block_size
from generator.drawing.picture_geometry import (
    Box,
    View,
    bounding_box,
    polygon_loops,
    rectangle_path,
    strokes_box,
    united_box,
)
from generator.drawing.steps.dimensions import DimensionRow, Measure
from generator.drawing.steps.dual_measures import unit_names
from generator.drawing.steps.row_layout import DimensionLane, DimensionStop, RowDrawing, lay_out_row
from generator.drawing.steps.segments import PaperView, StepSegment, piece_box
from generator.geometry import Point, Region, Stroke, clipped_inside
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.paper.records import Side
from generator.paper.work_kinds import Effect

MIN_ZOOM_GAIN = 1.7          # how much larger a part must become to be worth leaving the whole
SURROUNDINGS_SHARE = 0.35        # of the work's size, shown round it
MIN_SURROUNDINGS = 8.0         # mm of paper shown round it at least
MIN_WINDOW_SIZE = 20.0     # mm of paper; less of a piece is never shown


def window_of(segment: StepSegment, paper: PaperView, measures: Iterable[Measure], view: View) -> Box:
    """The part of the paper to show, as seen."""
    whole = paper.box
    work = [*_work_boxes(segment, paper, view), *(_from_its_edge(m, whole) for m in measures)]
    if segment.makes_piece or not work:
        return whole
    part = _with_surroundings(united_box(work), whole)
    return part if _fitting_scale(part) > MIN_ZOOM_GAIN * _fitting_scale(whole) else whole


def _fitting_scale(box: Box) -> float:
    return min(PICTURE_WIDTH / max(box.width, PLACE_TOLERANCE),
               MAX_PAPER_HEIGHT / max(box.height, PLACE_TOLERANCE))


def _work_boxes(segment: StepSegment, paper: PaperView, view: View) -> Iterator[Box]:
    yield from _boxes((s for mark in segment.marks for s in mark.whole), view)
    yield from _boxes((s for fold in segment.folds for s in fold.runs), view)
    yield from (bounding_box(p for s in loop for p in (s.start, s.end)) for loop in paper.removed)
    faces = [*segment.faces, *(f for g in segment.glues for f in (*g.faces, *g.target)
                               if f.piece == segment.piece.id)]
    yield from _boxes((s for face in faces for s in face.outline), view)
    for act in segment.acts:
        yield from _boxes((s for mark in segment.after.marks if mark.id in act.marks for s in mark.whole),
                          view)
        if act.effect in (Effect.GATHER, Effect.SEAM):
            yield view.box(piece_box(segment.after))


def _boxes(strokes: Iterable[Stroke], view: View) -> Iterator[Box]:
    return (view.box(strokes_box((stroke,))) for stroke in strokes)


def _from_its_edge(measure: Measure, whole: Box) -> Box:
    """The extent of a measure, so that the edge it counts from is shown."""
    low, high = measure.low, measure.high
    if measure.axis == "x":
        start = whole.x0 if measure.side is Side.LEFT else whole.x1
        return Box(min(start, measure.at), low, max(start, measure.at), high)
    start = whole.y0 if measure.side is Side.BOTTOM else whole.y1
    return Box(low, min(start, measure.at), high, max(start, measure.at))


def _with_surroundings(work: Box, whole: Box) -> Box:
    x0, x1 = _extended(work.x0, work.x1, whole.x0, whole.x1)
    y0, y1 = _extended(work.y0, work.y1, whole.y0, whole.y1)
    return Box(x0, y0, x1, y1)


def _extended(low: float, high: float, least: float, most: float) -> tuple[float, float]:
    by = max((high - low) * SURROUNDINGS_SHARE, MIN_SURROUNDINGS, (MIN_WINDOW_SIZE - (high - low)) / 2)
    return max(low - by, least), min(high + by, most)


class WindowClip:
    """Cuts what is drawn to the window, in coordinates as seen.

    ``whole`` is True where it would cut nothing.
    """

    def __init__(self, window: Box, whole: Box):
        self.window = window
        self.whole = whole.within(window)
        self._region = Region.rectangle(*window)

    def strokes(self, strokes: Iterable[Stroke]) -> tuple[Stroke, ...]:
        """The parts of strokes that the window shows."""
        return tuple(part for stroke in strokes
                     for part in clipped_inside(stroke, self._region, keep_edge=True))

    def loops(self, area: Region) -> tuple[tuple[Stroke, ...], ...]:
        """The closed loops of the shown part of an area, as polygons."""
        return polygon_loops(area.polygon(0.05).intersection(self._region.polygon()))

    def breaks(self, region: Region) -> tuple[Stroke, ...]:
        """Where the window cuts through paper."""
        box, inner = self.window, Box(*map(float, region.bounds())).grown(-PLACE_TOLERANCE)
        cuts = (box.y0 > inner.y0, box.x1 < inner.x1, box.y1 < inner.y1, box.x0 > inner.x0)
        return tuple(part for edge, cut in zip(rectangle_path(box), cuts, strict=True) if cut
                     for part in clipped_inside(edge, region))


PICTURE_WIDTH = 96.0       # mm: every picture, so that letters and lines are alike on all of them
MAX_PAPER_HEIGHT = 56.0     # mm of height that the paper itself may take
MAX_PAPER_SCALE = 1.6       # mm of picture for a mm of paper: small pieces are not blown up beyond it
PICTURE_MARGIN = 1.5        # mm at the picture's edge
HALF_LABEL_WIDTH = 6.0    # mm: half of a usual label, kept beside the last mark of a horizontal row
# mm that vertical rows may reach beyond the paper, where no horizontal row begins yet
CORNER_OVERHANG = 3.4
# mm that a vertical row may take, so that two of them leave the paper half of the width
MAX_ROW_DEPTH = 32.0
MAX_ROUNDS = 8


@dataclass(frozen=True, slots=True)
class Margins:
    """Beside the paper, in mm of the picture."""

    left: float
    right: float


@dataclass(frozen=True, slots=True)
class PictureLayout:
    """``scale``, the seen point ``corner`` that comes to lie at ``at``, and every row with its drawing."""

    scale: float
    corner: Point
    at: Point
    paper: Box                  # in the picture
    rows: tuple[tuple[DimensionRow, RowDrawing], ...]
    below: float                # mm that rows take below the paper, and above it
    above: float
    margins: Margins


def lay_out(window: Box, rows: Sequence[DimensionRow], number: int = 1,
            most: float = MAX_PAPER_SCALE) -> PictureLayout:
    """Find the largest scale, up to ``most``, at which paper and rows fit.

    The paper's lower edge is at y = 0 for now.
    """
    margins = _first_margins(rows)
    layout = _layout_at(window, rows, margins, number, 0.0, most)
    for _ in range(MAX_ROUNDS - 1):
        wanted = _wanted_margins(layout)
        if wanted == layout.margins:
            break
        layout = _layout_at(window, rows, wanted, number, 0.0, most)
    return layout


def raised_layout(layout: PictureLayout, window: Box, rows: Sequence[DimensionRow], floor: float,
                  number: int = 1) -> PictureLayout:
    """The same layout with the paper's lower edge at y = ``floor``."""
    return _layout_at(window, rows, layout.margins, number, floor, layout.scale)


def _first_margins(rows: Iterable[DimensionRow]) -> Margins:
    left = right = PICTURE_MARGIN
    for row in rows:
        if row.horizontal:
            unit = text_block_size(unit_names(row.measures[0].value.locale),
                                   SMALL_LETTER_SIZE)[0] + 2 * PICTURE_MARGIN
            needed = (unit, HALF_LABEL_WIDTH) if row.origin is Side.LEFT else (HALF_LABEL_WIDTH, unit)
            left, right = max(left, needed[0]), max(right, needed[1])
    return Margins(left, right)


def _wanted_margins(layout: PictureLayout) -> Margins:
    """Margins that hold the rows; they never shrink, so this comes to an end."""
    depth: dict[Side, float] = {}
    for row, drawing in layout.rows:
        depth[row.side] = max(depth.get(row.side, 0.0), drawing.depth + PICTURE_MARGIN)
    return Margins(max(layout.margins.left, depth.get(Side.LEFT, 0.0)),
                   max(layout.margins.right, depth.get(Side.RIGHT, 0.0)))


def _layout_at(window: Box, rows: Sequence[DimensionRow], margins: Margins, number: int,
               floor: float, most: float) -> PictureLayout:
    room = PICTURE_WIDTH - margins.left - margins.right
    scale = min(room / window.width, MAX_PAPER_HEIGHT / window.height, most)
    left = margins.left + (room - window.width * scale) / 2
    paper = Box(left, floor, left + window.width * scale, floor + window.height * scale)
    drawings, next_number = [], number
    for row in rows:
        drawing = _row_drawing(row, window, paper, scale, rows, next_number)
        next_number += len(drawing.badges)
        drawings.append((row, drawing))
    # a horizontal row that went to the list alone still leaves the corners to the vertical rows
    depth: dict[Side, float] = {}
    for row, drawing in drawings:
        depth[row.side] = max(depth.get(row.side, 0.0), drawing.depth, CORNER_OVERHANG)
    return PictureLayout(scale, Point(window.x0, window.y0), Point(paper.x0, floor), paper, tuple(drawings),
                         depth.get(Side.BOTTOM, 0.0), depth.get(Side.TOP, 0.0), margins)


def _row_drawing(row: DimensionRow, window: Box, paper: Box, scale: float, rows: Sequence[DimensionRow],
                 number: int) -> RowDrawing:
    lane = _lane(row.side, paper, {each.side for each in rows})
    start, low = (window.x0, paper.x0) if row.horizontal else (window.y0, paper.y0)
    cross_start, cross_low = (window.y0, paper.y0) if row.horizontal else (window.x0, paper.x0)

    def along(value: float) -> float:
        return low + (value - start) * scale

    def out(low_end: float, high_end: float) -> float:
        ends = [lane.out(cross_low + (v - cross_start) * scale) for v in (low_end, high_end)]
        return min(max(ends), 0.0)
    for other in rows:
        if other.side is row.side and other is not row:     # they share a side: each keeps to its half
            ends = along(row.measures[-1].at), along(other.measures[-1].at)
            half = sum(ends) / 2
            lane = replace(lane, high=half) if ends[0] < half else replace(lane, low=half)
    stops = [DimensionStop(along(m.at), out(m.low, m.high), m.value) for m in row.measures]
    return lay_out_row(lane, _origin(row.origin, paper), row.origin, stops, number)


def _origin(side: Side, paper: Box) -> float:
    return {Side.LEFT: paper.x0, Side.RIGHT: paper.x1, Side.BOTTOM: paper.y0, Side.TOP: paper.y1}[side]


def _lane(side: Side, paper: Box, sides: set[Side]) -> DimensionLane:
    base = _origin(side, paper)
    if side in (Side.BOTTOM, Side.TOP):
        return DimensionLane(side, base, PICTURE_MARGIN, PICTURE_WIDTH - PICTURE_MARGIN)
    low = paper.y0 - (CORNER_OVERHANG if Side.BOTTOM in sides else PICTURE_MARGIN)
    high = paper.y1 + (CORNER_OVERHANG if Side.TOP in sides else PICTURE_MARGIN)
    return DimensionLane(side, base, low, high, MAX_ROW_DEPTH)
