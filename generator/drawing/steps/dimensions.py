"""The distances that a picture dimensions, and the rows that they share beside the piece."""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise

from generator.dataclass import dataclass, replace
from generator.drawing.picture_geometry import Box, View
from generator.drawing.steps.dual_measures import DualMeasure, dual_measure, exact_length
from generator.drawing.steps.segments import StepSegment, initial_state, piece_box
from generator.geometry import Circle, Point, Stroke
from generator.geometry.plane import floats
from generator.geometry.tolerances import DRAWN_PLACE_TOLERANCE
from generator.locale import ENGLISH, Locale
from generator.paper.orientation import distance_inside, own_side, reader_side, side_axis
from generator.paper.records import Mark, Orientation, OutlineStroke, PieceState, Plan, Side
from generator.units import Quantity

MEASURED_AXIS = {Side.LEFT: "x", Side.RIGHT: "x", Side.BOTTOM: "y", Side.TOP: "y"}


@dataclass(frozen=True, slots=True)
class Measure:
    """A distance from the reader's ``side``. ``at``, ``low`` and ``high`` are as seen, in mm of paper.

    ``at`` is the coordinate that is measured, along the axis of ``side``;
    ``low`` and ``high`` bound what is there, across it. ``series`` is a key of
    the marks that belong together; ``end`` says that it is only the end of a line.
    """

    side: Side
    at: float
    low: float
    high: float
    value: DualMeasure
    series: str
    end: bool = False

    @property
    def axis(self) -> str:
        """The axis along which it is measured, "x" or "y"."""
        return MEASURED_AXIS[self.side]

    def in_locale(self, locale: Locale) -> Measure:
        """The same distance, worded in another language."""
        return replace(self, value=replace(self.value, locale=locale))


def step_measures(segment: StepSegment, drawn: Plan, other: Plan | None, view: View,
                  whole: bool = False) -> tuple[Measure, ...]:
    """Every distance this segment needs, each once, in the order of the source.

    The size of a rectangle is one of them where the piece is made, but not
    with ``whole``: a picture of everything says it at its head.
    """
    box = view.box(piece_box(segment.before or segment.after))
    found: list[Measure] = []
    if not whole and is_cut_as_rectangle(segment, drawn):
        width, height = whole_size_measures(segment, drawn, other, box)
        found += [width] if segment.piece.is_ribbon else [width, height]
    counterparts = marks_by_id(other, segment.piece.id)
    known = (*_known_places(segment.old_marks, view), *_box_edges(box))
    for mark in segment.marks:
        orientation = orientation_after(drawn, segment.piece.id, mark.act) if whole else view.orientation
        found += mark_measures(mark, counterparts.get(mark.id), drawn.system, orientation, view, box, known)
    if segment.removes and not whole:
        found += cut_edge_measures(segment, drawn, other, view, box,
                                   (*known, *_known_places(segment.marks, view)))
    return distinct_measures(found)


def marks_by_id(plan: Plan | None, piece: int) -> Mapping[int, Mark]:
    """All marks ever made on a piece."""
    state = plan.state(piece) if plan else None
    return {mark.id: mark for mark in state.marks} if state else {}


def is_cut_as_rectangle(segment: StepSegment, plan: Plan) -> bool:
    """True where the segment cuts a blank whose width and height say all."""
    return segment.makes_piece and not segment.attaches_panels and is_rectangle(initial_state(segment, plan))


def is_rectangle(state: PieceState) -> bool:
    """True for four edges parallel to the axes."""
    sides = [(floats(rim.stroke.start), floats(rim.stroke.end)) for rim in state.outline]
    return len(sides) == 4 and all(min(abs(x1 - x0), abs(y1 - y0)) < DRAWN_PLACE_TOLERANCE
                                   for (x0, y0), (x1, y1) in sides)


def piece_sizes(segment: StepSegment, drawn: Plan, other: Plan | None, first: bool,
               locale: Locale = ENGLISH) -> tuple[DualMeasure, DualMeasure]:
    """Width and height of the piece as it lies: as it was made (``first``) or as it is after the step."""
    first = first and not segment.attaches_panels
    state = initial_state(segment, drawn) if first else segment.after
    counterpart = None
    if other and segment.piece.id in other.states:
        counterpart = (initial_state(segment, other) if first
                       else other.state(segment.piece.id, after_step=segment.step))
    width = dual_measure(state.width, counterpart.width if counterpart else None, drawn.system, locale)
    height = dual_measure(state.height, counterpart.height if counterpart else None, drawn.system, locale)
    return (height, width) if segment.orientation.quarters % 2 else (width, height)


def whole_size_measures(segment: StepSegment, drawn: Plan, other: Plan | None, box: Box) -> list[Measure]:
    """Width and height of the whole piece, as it lies."""
    width, height = piece_sizes(segment, drawn, other, first=True)
    return [Measure(Side.LEFT, box.x1, box.y0, box.y1, width, "size"),
            Measure(Side.BOTTOM, box.y1, box.x0, box.x1, height, "size")]


def orientation_after(plan: Plan, piece: int, act: int) -> Orientation:
    """How a piece lay after an act, by which the sides of the act's marks are named."""
    return [state.orientation for number, state in plan.states[piece] if number <= act][-1]


def mark_measures(mark: Mark, counterpart: Mark | None, system: str, orientation: Orientation, view: View,
                  box: Box, known: tuple[tuple[str, float], ...]) -> Iterator[Measure]:
    """The distances of one mark, which was made on a piece in this ``orientation``.

    Of a line that no edge is parallel to, only those that no older mark shows.
    """
    strokes = [view.stroke(stroke) for stroke in mark.whole]
    series = f"{mark.verb} {mark.name} {mark.act}"
    others = counterpart.positions if counterpart else ()
    for index, (position, stated_side) in enumerate(mark.positions):
        side = (stated_side if orientation == view.orientation
                else reader_side(view.orientation, own_side(orientation, stated_side)))
        same = others[index][0] if index < len(others) else None
        at = _distance_as_seen(box, side, position)
        if mark.axis is None and not mark.kind.is_hole and _is_known(known, MEASURED_AXIS[side], at):
            continue
        low, high = _mark_extent(strokes, MEASURED_AXIS[side], at, mark.axis is not None)
        yield Measure(side, at, low, high, dual_measure(position, same, system), series,
                      not mark.kind.is_hole and mark.axis != side_axis(own_side(orientation, stated_side)))


def cut_edge_measures(segment: StepSegment, drawn: Plan, other: Plan | None, view: View, box: Box,
                      known: tuple[tuple[str, float], ...]) -> Iterator[Measure]:
    """Where a newly cut edge or window begins and ends, from the nearer side, if no mark shows it.

    Of a round window it is the centre.
    """
    counterpart = other.state(segment.piece.id, after_step=segment.step) if other else None
    rims = rim_strokes(segment.after)
    others = rim_strokes(counterpart) if counterpart is not None else ()
    punched = {mark.act for mark in segment.marks}       # a punched hole is measured with its mark
    for index, rim in enumerate(rims):
        if rim.act not in segment.numbers or rim.act == segment.piece.act or (
                isinstance(rim.stroke, Circle) and rim.act in punched):
            continue
        ends = _ends(rim.stroke)
        same_ends = _ends(others[index].stroke) if len(others) == len(rims) else (None,) * len(ends)
        seen = [floats(view.point(end)) for end in ends]
        for (x, y), end, same_end in zip(seen, ends, same_ends, strict=False):
            for axis, place, cross, low, high in (("x", x, y, box.x0, box.x1), ("y", y, x, box.y0, box.y1)):
                if _is_known(known, axis, place):
                    continue
                far = [point["xy".index(axis)] for point in seen]
                # two ends that lie close are read from one edge, side by side
                close = max(far) - min(far) < MIN_ROW_GAP_SHARE * (high - low)
                side = _nearer(axis, min(far) if close else place, low, high)
                position = _distance_from_side(segment.after, view, side, end)
                same = (_distance_from_side(counterpart, view, side, same_end)
                        if counterpart is not None and same_end is not None else None)
                value = dual_measure(position, same, drawn.system)
                # each end is a series of its own, so that its line comes from the nearer side
                yield Measure(side, place, cross, cross, value, f"edge {place:g} {cross:g}")


def rim_strokes(state: PieceState) -> tuple[OutlineStroke, ...]:
    """The edges of a piece, outside and round its windows."""
    return (*state.outline, *(rim for hole in state.holes for rim in hole))


def _ends(stroke: Stroke) -> tuple[Point, ...]:
    return (stroke.center,) if isinstance(stroke, Circle) else (stroke.start, stroke.end)


def _nearer(axis: str, place: float, low: float, high: float) -> Side:
    if place - low <= high - place + DRAWN_PLACE_TOLERANCE:
        return Side.LEFT if axis == "x" else Side.BOTTOM
    return Side.RIGHT if axis == "x" else Side.TOP


def _distance_from_side(state: PieceState, view: View, side: Side, point: Point) -> Quantity:
    """The distance of a point of the own frame from the reader's ``side``, exact where the point is."""
    own = own_side(view.orientation, side)
    at = point.x if side_axis(own) == "x" else point.y
    return distance_inside(state, own, exact_length(at))


def _distance_as_seen(box: Box, side: Side, position: Quantity) -> float:
    distance = float(position)
    return {Side.LEFT: box.x0 + distance, Side.RIGHT: box.x1 - distance, Side.BOTTOM: box.y0 + distance,
            Side.TOP: box.y1 - distance}[side]


def _mark_extent(strokes: Iterable[Stroke], axis: str, at: float, straight: bool) -> tuple[float, float]:
    """From where to where the mark lies on the line that is measured."""
    along, cross = (0, 1) if axis == "x" else (1, 0)
    points = []
    for stroke in strokes:
        points += [p[cross] for p in map(floats, _ends(stroke))
                   if straight or abs(p[along] - at) < DRAWN_PLACE_TOLERANCE]
    if not points:
        points = [float(b) for stroke in strokes
                  for b in (stroke.bounds()[cross], stroke.bounds()[cross + 2])]
    return min(points), max(points)


def _known_places(marks: Iterable[Mark], view: View) -> Iterator[tuple[str, float]]:
    """The places that older straight marks show, as seen."""
    for mark in marks:
        if mark.axis is not None:
            x, y = floats(view.point(mark.whole[0].start))
            upright = (mark.axis == "x") == (view.orientation.quarters % 2 == 0)
            yield ("x", x) if upright else ("y", y)


def _box_edges(box: Box) -> Iterator[tuple[str, float]]:
    yield from (("x", box.x0), ("x", box.x1), ("y", box.y0), ("y", box.y1))


def _is_known(known: Iterable[tuple[str, float]], axis: str, at: float) -> bool:
    return any(axis == a and abs(at - b) < DRAWN_PLACE_TOLERANCE for a, b in known)


def distinct_measures(measures: Iterable[Measure]) -> tuple[Measure, ...]:
    """Each distance from each side once: what lies on the same line is spanned by one measure."""
    found: dict[tuple[Side, float], Measure] = {}
    for measure in measures:
        if measure.value.is_zero:
            continue
        key = measure.side, round(measure.at, 3)
        before = found.get(key, measure)
        found[key] = replace(before, low=min(before.low, measure.low), high=max(before.high, measure.high),
                             end=before.end and measure.end)
    return tuple(found.values())


MIN_ROW_GAP_SHARE = 0.25     # of the piece, between two rows on one side of it
# axis → (the side that rows lie on by preference, the other one)
ROW_SIDES = {"x": (Side.BOTTOM, Side.TOP), "y": (Side.LEFT, Side.RIGHT)}
ORIGIN_SIDES = {"x": (Side.LEFT, Side.RIGHT), "y": (Side.BOTTOM, Side.TOP)}


@dataclass(frozen=True, slots=True)
class DimensionRow:
    """Measures from one ``origin`` side on one line beside the ``side`` of the piece, nearest first."""

    side: Side
    origin: Side
    measures: tuple[Measure, ...]

    @property
    def horizontal(self) -> bool:
        """True for a row along x."""
        return self.side in ROW_SIDES["x"]


def dimension_rows(measures: Iterable[Measure], box: Box) -> tuple[DimensionRow, ...]:
    """Rows beside the piece: a series lies where its marks reach the edge, all of one origin together.

    Rows from both ends have a side each, so that lines across the piece are
    short; where such lines remain, and both leave room between them, they
    share the side that they want.
    """
    rows: list[DimensionRow] = []
    for axis in ROW_SIDES:
        along_axis = [m for m in measures if m.axis == axis]
        wanted = [(side, [m for m in row if m.side is origin])
                  for side, row in _nearest_sides(along_axis, axis, box).items()
                  for origin in ORIGIN_SIDES[axis]]
        shared = [(one, other) for (side, one), (same, other) in pairwise(wanted)
                  if side is same and one and other]
        if shared:
            apart, across = _a_side_each(along_axis, axis, box)
            if not across or not all(_leave_room(*rows, axis, box) for rows in shared):
                wanted = apart
        rows += [DimensionRow(side, row[0].side, tuple(sorted(row, key=lambda m: float(m.value.either))))
                 for side, row in wanted if row]
    return tuple(rows)


def _leave_room(low: Sequence[Measure], high: Sequence[Measure], axis: str, box: Box) -> bool:
    """Whether a row from the low end and one from the high end have room beside each other."""
    extent = box.width if axis == "x" else box.height
    return min(m.at for m in high) - max(m.at for m in low) >= MIN_ROW_GAP_SHARE * extent


def _a_side_each(measures: Sequence[Measure], axis: str,
                 box: Box) -> tuple[list[tuple[Side, list[Measure]]], bool]:
    """The rows from both ends on one side each, and whether lines then still run across the piece."""
    low, high = (box.y0, box.y1) if axis == "x" else (box.x0, box.x1)
    rows = [[m for m in measures if m.side is origin] for origin in ORIGIN_SIDES[axis]]
    near, far = ROW_SIDES[axis]

    def across(first: Side) -> float:
        """How far lines run over the piece, the row from the low end being on that side."""
        return sum(m.low - low if (row is rows[0]) == (first is near) else high - m.high
                   for row in rows for m in row)
    swapped = across(far) < across(near) - DRAWN_PLACE_TOLERANCE
    first, second = (far, near) if swapped else (near, far)
    return [(first, rows[0]), (second, rows[1])], across(first) > DRAWN_PLACE_TOLERANCE


def _nearest_sides(measures: Iterable[Measure], axis: str, box: Box) -> dict[Side, list[Measure]]:
    """Side → the measures whose marks reach nearest to it, series by series."""
    series: dict[tuple[str, Side], list[Measure]] = defaultdict(list)
    for measure in measures:
        series[measure.series, measure.side].append(measure)
    near, far = ROW_SIDES[axis]
    low, high = (box.y0, box.y1) if axis == "x" else (box.x0, box.x1)
    by_side: dict[Side, list[Measure]] = {near: [], far: []}
    for group in series.values():
        below = sum(m.low - low for m in group) / len(group)
        above = sum(high - m.high for m in group) / len(group)
        by_side[far if above < below - DRAWN_PLACE_TOLERANCE else near] += group
    return by_side
