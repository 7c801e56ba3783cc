"""The paper of a segment, as seen: what there was, what there is, and what went.

Which part of a piece the picture shows: all of it, or the corner where the work is.

How large the paper is drawn and where it lies, once all that stands round it is known.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from generator.drawing.lettering import SMALL_LETTER_SIZE, text_block_size
from generator.drawing.picture_geometry import Box, View, bounding_box, united_box
from generator.drawing.steps.dimensions import DimensionRow, Measure, initial_state, piece_box
from generator.drawing.steps.dual_measures import unit_names
from generator.drawing.steps.lanes import DimensionLane
from generator.drawing.steps.row_layout import DimensionStop, LaidRow, lay_out_row
from generator.drawing.steps.segments import StepSegment
from generator.geometry import Line, Point, Region, Stroke, clipped_inside
from generator.paper.records import PieceInfo, PieceState, Plan, Side
from generator.paper.work_kinds import Effect

REMOVED_EDGE_CHORD = 0.05    # mm of paper: by how much the edge of a removed area may leave its curve


@dataclass(frozen=True, slots=True)
class PaperView:
    """How the paper ``was`` and ``is``; ``box`` goes round both, ``removed`` are the closed loops of what goes.

    Boxes and loops are as seen.
    """

    was: PieceState
    now: PieceState
    box: Box
    removed: tuple[tuple[Line, ...], ...]


def paper_view(segment: StepSegment, plan: Plan, seen: View, whole: bool = False) -> PaperView:
    """The paper of one segment; with ``whole`` only as it is in the end."""
    was = segment.after if whole else segment.before or initial_state(segment, plan)
    removed = ()
    if segment.removes and not whole:
        removed = polygon_loops(viewed_region(was, seen).polygon(REMOVED_EDGE_CHORD).difference(viewed_region(segment.after, seen).polygon(REMOVED_EDGE_CHORD)))
    return PaperView(was, segment.after, united_box((seen.box(piece_box(was)), seen.box(piece_box(segment.after)))), removed)


def viewed_region(state: PieceState, view: View) -> Region:
    """The area of a piece, as a view shows it."""
    return Region(view.path(tuple(rim.stroke for rim in state.outline)),
                  tuple(view.path(tuple(rim.stroke for rim in hole)) for hole in state.holes))


def side_up(info: PieceInfo, state: PieceState) -> str:
    """"plain" or "printed": the side that is up as the piece lies."""
    other = {"plain": "printed", "printed": "plain"}
    return other.get(info.up, info.up) if state.orientation.over else info.up


def polygon_loops(shape) -> tuple[tuple[Line, ...], ...]:
    """Every ring of a polygon (or of several) as straight strokes."""
    loops = []
    for part in getattr(shape, "geoms", (shape,)):
        if part.geom_type == "Polygon" and not part.is_empty:
            for ring in (part.exterior, *part.interiors):
                corners = [Point(*c) for c in ring.coords[:-1]]
                ends = zip(corners, corners[1:] + corners[:1], strict=True)
                loops.append(tuple(Line(a, b) for a, b in ends if a != b))
    return tuple(loops)


MIN_ZOOM_GAIN = 1.7          # how much larger a part must become to be worth leaving the whole
SURROUNDINGS_SHARE = 0.35        # of the work's size, shown round it
MIN_SURROUNDINGS = 8.0         # mm of paper shown round it at least
EDGE_TOLERANCE = 1e-6        # mm of paper; a window this close to the paper's edge does not cut it
MIN_WINDOW_SIZE = 20.0     # mm of paper; less of a piece is never shown


def window_of(segment: StepSegment, sheet: PaperView, measures: Iterable[Measure], seen: View, wide: float, high: float) -> Box:
    """The part to show, as seen. ``wide`` and ``high`` are the mm of picture that the paper may take."""
    whole = sheet.box
    work = [*_worked_box(segment, sheet, seen), *(_from_its_edge(m, whole) for m in measures)]
    if segment.makes_piece or not work:
        return whole
    part = _with_surroundings(united_box(work), whole)
    return part if _fitting_scale(part, wide, high) > MIN_ZOOM_GAIN * _fitting_scale(whole, wide, high) else whole


def _fitting_scale(box: Box, wide: float, high: float) -> float:
    return min(wide / max(box.width, 1e-6), high / max(box.height, 1e-6))


def _worked_box(segment: StepSegment, sheet: PaperView, seen: View) -> Iterator[Box]:
    yield from _boxes((s for mark in segment.marks for s in mark.whole), seen)
    yield from _boxes((s for fold in segment.folds for s in fold.runs), seen)
    yield from (bounding_box(p for s in loop for p in (s.start, s.end)) for loop in sheet.removed)
    faces = [*segment.faces, *(f for g in segment.glues for f in (*g.faces, *g.target) if f.piece == segment.piece.id)]
    yield from _boxes((s for face in faces for s in face.outline), seen)
    for act in segment.acts:
        yield from _boxes((s for mark in segment.after.marks if mark.id in act.marks for s in mark.whole), seen)
        if act.effect in (Effect.GATHER, Effect.SEAM):
            yield seen.box(piece_box(segment.after))


def _boxes(strokes: Iterable[Stroke], seen: View) -> Iterator[Box]:
    return (seen.box(Box(*map(float, stroke.bounds()))) for stroke in strokes)


def _from_its_edge(measure: Measure, whole: Box) -> Box:
    """The stretch that a measure runs over, so that the edge it counts from is shown."""
    low, high = measure.low, measure.high
    if measure.axis == "x":
        start = whole.x0 if measure.side is Side.LEFT else whole.x1
        return Box(min(start, measure.at), low, max(start, measure.at), high)
    start = whole.y0 if measure.side is Side.BOTTOM else whole.y1
    return Box(low, min(start, measure.at), high, max(start, measure.at))


def _with_surroundings(work: Box, whole: Box) -> Box:
    across = _stretched(work.x0, work.x1, whole.x0, whole.x1)
    up = _stretched(work.y0, work.y1, whole.y0, whole.y1)
    return Box(across[0], up[0], across[1], up[1])


def _stretched(low: float, high: float, least: float, most: float) -> tuple[float, float]:
    by = max((high - low) * SURROUNDINGS_SHARE, MIN_SURROUNDINGS, (MIN_WINDOW_SIZE - (high - low)) / 2)
    return max(low - by, least), min(high + by, most)


class WindowClip:
    """Cuts what is drawn to the window, in coordinates as seen. ``whole`` is True where it would cut nothing."""

    def __init__(self, window: Box, whole: Box):
        self.window = window
        self.whole = whole.within(window)
        self._region = Region.rectangle(*window)

    def strokes(self, strokes: Iterable[Stroke]) -> tuple[Stroke, ...]:
        """The parts of strokes that the window shows."""
        return tuple(part for stroke in strokes for part in clipped_inside(stroke, self._region, keep_edge=True))

    def loops(self, area: Region) -> tuple[tuple[Stroke, ...], ...]:
        """The closed loops of the shown part of an area, as polygons."""
        return polygon_loops(area.polygon(0.05).intersection(self._region.polygon()))

    def breaks(self, region: Region) -> tuple[Stroke, ...]:
        """Where the window cuts through paper."""
        box, shown = self.window, []
        bounds = region.bounds()
        corners = [Point(box.x0, box.y0), Point(box.x1, box.y0), Point(box.x1, box.y1), Point(box.x0, box.y1)]
        cut = (box.y0 > bounds[1] + EDGE_TOLERANCE, box.x1 < bounds[2] - EDGE_TOLERANCE, box.y1 < bounds[3] - EDGE_TOLERANCE,
               box.x0 > bounds[0] + EDGE_TOLERANCE)
        for index, is_cut in enumerate(cut):
            if is_cut:
                shown += clipped_inside(Line(corners[index], corners[(index + 1) % 4]), region)
        return tuple(shown)


PICTURE_WIDTH = 120.0       # mm: every picture, so that letters and lines are alike on all of them
MAX_PAPER_HEIGHT = 112.0     # mm that the paper itself may be high
MAX_PAPER_SCALE = 1.6       # mm of picture for a mm of paper: small pieces are not blown up beyond it
PICTURE_MARGIN = 1.5        # mm at the picture's edge
HALF_LABEL_WIDTH = 6.0    # mm: half of a usual label, kept beside the last mark of a level row
CORNER_OVERHANG = 3.4        # mm that upright rows may reach beyond the paper, where no level row begins yet
MAX_ROW_DEPTH = 32.0      # mm that an upright row may take, so that two of them leave the paper half of the width
MAX_ROUNDS = 8


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
    for _ in range(MAX_ROUNDS):
        layout = _layout_at(window, rows, margins, number, 0.0)
        wanted = _wanted_margins(layout, margins)
        if wanted == margins:
            break
        margins = wanted
    return layout


def raised_layout(layout: PictureLayout, window: Box, rows: Sequence[DimensionRow], floor: float, number: int = 1) -> PictureLayout:
    """The same layout with the paper's lower edge at y = ``floor``."""
    return _layout_at(window, rows, layout.margins, number, floor)


def _first_margins(rows: Iterable[DimensionRow]) -> Margins:
    left = right = PICTURE_MARGIN
    for row in rows:
        if row.level:
            unit = text_block_size(unit_names(row.measures[0].twin.locale), SMALL_LETTER_SIZE)[0] + 2 * PICTURE_MARGIN
            left, right = ((max(left, unit), max(right, HALF_LABEL_WIDTH)) if row.origin is Side.LEFT
                           else (max(left, HALF_LABEL_WIDTH), max(right, unit)))
    return Margins(left, right)


def _wanted_margins(layout: PictureLayout, margins: Margins) -> Margins:
    """Margins never shrink, so this comes to an end."""
    left, right = margins.left, margins.right
    for row, laid in layout.laid:
        if row.place is Side.LEFT:
            left = max(left, laid.depth + PICTURE_MARGIN)
        elif row.place is Side.RIGHT:
            right = max(right, laid.depth + PICTURE_MARGIN)
    return Margins(left, right)


def _layout_at(window: Box, rows: Sequence[DimensionRow], margins: Margins, number: int, floor: float) -> PictureLayout:
    room = PICTURE_WIDTH - margins.left - margins.right
    scale = min(room / window.width, MAX_PAPER_HEIGHT / window.height, MAX_PAPER_SCALE)
    left = margins.left + (room - window.width * scale) / 2
    paper = Box(left, floor, left + window.width * scale, floor + window.height * scale)
    laid, next_number = [], number
    for row in rows:
        made = _row_drawing(row, window, paper, scale, {r.place for r in rows}, next_number)
        next_number += len(made.badges)
        laid.append((row, made))
    # a level row that went to the list alone still leaves the corners to the upright rows
    depth = {row.place: max(made.depth, CORNER_OVERHANG) for row, made in laid}
    return PictureLayout(scale, Point(window.x0, window.y0), Point(paper.x0, floor), paper, tuple(laid),
                  depth.get(Side.BOTTOM, 0.0), depth.get(Side.TOP, 0.0), margins)


def _row_drawing(row: DimensionRow, window: Box, paper: Box, scale: float, places: set[Side], number: int) -> LaidRow:
    lane = _lane(row.place, paper, places)
    start, low = (window.x0, paper.x0) if row.level else (window.y0, paper.y0)
    cross_start, cross_low = (window.y0, paper.y0) if row.level else (window.x0, paper.x0)

    def along(value: float) -> float:
        return low + (value - start) * scale

    def out(low_end: float, high_end: float) -> float:
        ends = [lane.out(cross_low + (v - cross_start) * scale) for v in (low_end, high_end)]
        return min(max(ends), 0.0)
    stops = [DimensionStop(along(m.at), out(m.low, m.high), m.twin) for m in row.measures]
    return lay_out_row(lane, _origin(row.origin, paper), row.origin, stops, number)


def _origin(side: Side, paper: Box) -> float:
    return {Side.LEFT: paper.x0, Side.RIGHT: paper.x1, Side.BOTTOM: paper.y0, Side.TOP: paper.y1}[side]


def _lane(place: Side, paper: Box, places: set[Side]) -> DimensionLane:
    if place in (Side.BOTTOM, Side.TOP):
        return DimensionLane(place, paper.y0 if place is Side.BOTTOM else paper.y1, PICTURE_MARGIN, PICTURE_WIDTH - PICTURE_MARGIN)
    low = paper.y0 - (CORNER_OVERHANG if Side.BOTTOM in places else PICTURE_MARGIN)
    high = paper.y1 + (CORNER_OVERHANG if Side.TOP in places else PICTURE_MARGIN)
    return DimensionLane(place, paper.x0 if place is Side.LEFT else paper.x1, low, high, MAX_ROW_DEPTH)
