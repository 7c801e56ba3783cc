"""What a picture has to give a number for: the distances a reader sets on a rule or a board.

Which measures share a dimension line, and on which side of the piece it lies.
"""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from generator.drawing.picture_geometry import Box, View
from generator.drawing.steps.dual_measures import DualMeasure, dual_measure, exact_length
from generator.drawing.steps.segments import StepSegment
from generator.geometry import Circle, Point, Stroke
from generator.locale import ENGLISH, Locale
from generator.paper.orientation import distance_inside, own_side, reader_side, side_axis
from generator.paper.records import Mark, Orientation, OutlineStroke, PieceState, Plan, Side
from generator.units import ZERO, Quantity

SAME_PLACE_TOLERANCE = 1e-4     # mm of paper: closer than this is the same place
MEASURED_AXIS = {Side.LEFT: "x", Side.RIGHT: "x", Side.BOTTOM: "y", Side.TOP: "y"}


@dataclass(frozen=True, slots=True)
class Measure:
    """A distance from the reader's ``side``. ``at``, ``low`` and ``high`` are as seen, in mm of paper.

    ``at`` is the place that is measured, along the axis of ``side``; ``low``
    and ``high`` are what is there, across it. ``series`` tells groups apart.
    """

    side: Side
    at: float
    low: float
    high: float
    twin: DualMeasure
    series: str

    @property
    def axis(self) -> str:
        return MEASURED_AXIS[self.side]

    def told_in(self, locale: Locale) -> Measure:
        """The same distance, told in another language."""
        return replace(self, twin=replace(self.twin, locale=locale))


def piece_box(state: PieceState) -> Box:
    """The bounding rectangle of a piece in its own frame."""
    x, y = (float(q) for q in state.origin or (ZERO, ZERO))
    return Box(x, y, x + float(state.width), y + float(state.height))


def step_measures(segment: StepSegment, drawn: Plan, other: Plan | None, seen: View, whole: bool = False) -> tuple[Measure, ...]:
    """Every distance this segment needs, each once, in the order of the source.

    The size of a rectangle is one of them where the piece is made, but not
    with ``whole``: a picture of everything says it at its head.
    """
    state = segment.before or segment.after
    box = seen.box(piece_box(segment.after if segment.makes_piece else state))
    found: list[Measure] = []
    if not whole and is_cut_as_rectangle(segment, drawn):
        wide, high = whole_size_measures(segment, drawn, other, box)
        found += [wide] if segment.piece.is_ribbon else [wide, high]
    twins = marks_by_id(other, segment.piece.id)
    known = tuple(_known_places(segment.old_marks, seen)) + tuple(_box_edges(box))
    for mark in segment.marks:
        lay = orientation_after(drawn, segment.piece.id, mark.act) if whole else seen.orientation
        found += mark_measures(mark, twins.get(mark.id), drawn.system, lay, seen, box, known)
    if segment.removes and not whole:
        found += cut_edge_measures(segment, drawn, other, seen, box, (*known, *_known_places(segment.marks, seen)))
    return distinct_measures(found)


def marks_by_id(plan: Plan | None, piece: int) -> Mapping[int, Mark]:
    """All marks ever made on a piece."""
    state = plan.state(piece) if plan else None
    return {mark.id: mark for mark in state.marks} if state else {}


def initial_state(segment: StepSegment, plan: Plan) -> PieceState:
    """How the piece was right after it was made."""
    return plan.states[segment.piece.id][0][1]


def is_cut_as_rectangle(segment: StepSegment, plan: Plan) -> bool:
    """True where the segment cuts a blank whose width and height say all."""
    return segment.makes_piece and not segment.hangs_panels and is_rectangle(initial_state(segment, plan))


def is_rectangle(state: PieceState) -> bool:
    """True for four edges parallel to the frame's."""
    return len(state.outline) == 4 and all(
        abs(float(s.start.x) - float(s.end.x)) < SAME_PLACE_TOLERANCE or abs(float(s.start.y) - float(s.end.y)) < SAME_PLACE_TOLERANCE
        for s in (rim.stroke for rim in state.outline))


def piece_sizes(segment: StepSegment, drawn: Plan, other: Plan | None, first: bool,
               locale: Locale = ENGLISH) -> tuple[DualMeasure, DualMeasure]:
    """Width and height of the piece as it lies: as it was made (``first``) or as it is after the step."""
    first = first and not segment.hangs_panels
    mine = initial_state(segment, drawn) if first else segment.after
    theirs = None
    if other and segment.piece.id in other.states:
        theirs = initial_state(segment, other) if first else other.state(segment.piece.id, after_step=segment.step)
    wide, high = (dual_measure(getattr(mine, name), getattr(theirs, name) if theirs else None, drawn.system, locale)
                  for name in ("width", "height"))
    return (high, wide) if segment.orientation.quarters % 2 else (wide, high)


def whole_size_measures(segment: StepSegment, drawn: Plan, other: Plan | None, box: Box) -> list[Measure]:
    """Width and height of the whole piece, as it lies."""
    wide, high = piece_sizes(segment, drawn, other, first=True)
    return [Measure(Side.LEFT, box.x1, box.y0, box.y1, wide, "size"),
            Measure(Side.BOTTOM, box.y1, box.x0, box.x1, high, "size")]


def orientation_after(plan: Plan, piece: int, act: int) -> Orientation:
    """How a piece lay after an act: its sides were called by that when the act's marks were made."""
    return [state.orientation for number, state in plan.states[piece] if number <= act][-1]


def mark_measures(mark: Mark, theirs: Mark | None, system: str, lay: Orientation, seen: View, box: Box,
            known: tuple[tuple[str, float], ...]) -> Iterator[Measure]:
    """The distances of one mark, which was made on a piece that ``lay`` so.

    Of a line that no edge is parallel to, only those that no older mark shows.
    """
    strokes = [seen.stroke(stroke) for stroke in mark.whole]
    series = f"{mark.verb} {mark.name} {mark.act}"
    for index, (position, told) in enumerate(mark.positions):
        side = told if lay == seen.orientation else reader_side(seen.orientation, own_side(lay, told))
        same = theirs.positions[index][0] if theirs and index < len(theirs.positions) else None
        at = _distance_as_seen(box, side, position)
        if mark.axis is None and not mark.kind.is_hole and _is_known(known, MEASURED_AXIS[side], at):
            continue
        low, high = _mark_extent(strokes, MEASURED_AXIS[side], at, mark.axis is not None)
        yield Measure(side, at, low, high, dual_measure(position, same, system), series)


def cut_edge_measures(segment: StepSegment, drawn: Plan, other: Plan | None, seen: View, box: Box,
                 known: tuple[tuple[str, float], ...]) -> Iterator[Measure]:
    """Where a newly cut edge or window begins and ends, from the nearer side, if no mark shows it; of a round window its middle."""
    theirs = other.state(segment.piece.id, after_step=segment.step) if other else None
    twins = rim_strokes(theirs) if theirs is not None else ()
    same = theirs is not None and len(twins) == len(rim_strokes(segment.after))
    told = {mark.act for mark in segment.marks}       # a punched hole is measured with its mark
    for index, rim in enumerate(rim_strokes(segment.after)):
        if rim.act not in segment.numbers or rim.act == segment.piece.act or isinstance(rim.stroke, Circle) and rim.act in told:
            continue
        points = zip(_ends(rim.stroke), _ends(twins[index].stroke) if same else (None, None), strict=False)
        for mine, its in points:
            at = seen.point(mine)
            for axis, place, low, high in (("x", at.x, box.x0, box.x1), ("y", at.y, box.y0, box.y1)):
                if _is_known(known, axis, place):
                    continue
                side = _nearer(axis, place, low, high)
                position = _distance_from_side(segment.after, seen, side, mine)
                other_position = _distance_from_side(theirs, seen, side, its) if its is not None else None
                cross = at.y if axis == "x" else at.x
                yield Measure(side, place, cross, cross, dual_measure(position, other_position, drawn.system), "cut edge")


def rim_strokes(state: PieceState) -> tuple[OutlineStroke, ...]:
    """The edges of a piece, outside and round its windows."""
    return (*state.outline, *(rim for hole in state.holes for rim in hole))


def _ends(stroke: Stroke) -> tuple[Point, ...]:
    return (stroke.center,) if isinstance(stroke, Circle) else (stroke.start, stroke.end)


def _nearer(axis: str, place: float, low: float, high: float) -> Side:
    if place - low <= high - place + SAME_PLACE_TOLERANCE:
        return Side.LEFT if axis == "x" else Side.BOTTOM
    return Side.RIGHT if axis == "x" else Side.TOP


def _distance_from_side(state: PieceState, seen: View, side: Side, point) -> Quantity:
    """The distance of a point of the own frame from the reader's ``side``, exact where the point is."""
    own = own_side(seen.orientation, side)
    at = point.x if side_axis(own) == "x" else point.y
    return distance_inside(state, own, exact_length(at))


def _distance_as_seen(box: Box, side: Side, position: Quantity) -> float:
    away = float(position)
    return {Side.LEFT: box.x0 + away, Side.RIGHT: box.x1 - away, Side.BOTTOM: box.y0 + away,
            Side.TOP: box.y1 - away}[side]


def _mark_extent(strokes: Iterable[Stroke], axis: str, at: float, straight: bool) -> tuple[float, float]:
    """From where to where the mark lies on the line that is measured."""
    along, cross = (0, 1) if axis == "x" else (1, 0)
    points = []
    for stroke in strokes:
        ends = (stroke.center,) if isinstance(stroke, Circle) else (stroke.start, stroke.end)
        points += [p[cross] for p in ends if straight or abs(p[along] - at) < SAME_PLACE_TOLERANCE]
    if not points:
        points = [b for stroke in strokes for b in (stroke.bounds()[cross], stroke.bounds()[cross + 2])]
    return float(min(points)), float(max(points))


def _known_places(marks: Iterable[Mark], seen: View) -> Iterator[tuple[str, float]]:
    """The places that older straight marks show, as seen."""
    for mark in marks:
        if mark.axis is not None:
            start = seen.point(mark.whole[0].start)
            upright = (mark.axis == "x") == (seen.orientation.quarters % 2 == 0)
            yield ("x", start.x) if upright else ("y", start.y)


def _box_edges(box: Box) -> Iterator[tuple[str, float]]:
    yield from (("x", box.x0), ("x", box.x1), ("y", box.y0), ("y", box.y1))


def _is_known(known: Iterable[tuple[str, float]], axis: str, at: float) -> bool:
    return any(axis == a and abs(at - b) < SAME_PLACE_TOLERANCE for a, b in known)


def distinct_measures(measures: Iterable[Measure]) -> tuple[Measure, ...]:
    """Each distance from each side once: what lies on the same line is spanned by one measure."""
    kept: dict[tuple[Side, float], Measure] = {}
    for measure in measures:
        if measure.twin.is_nothing:
            continue
        key = measure.side, round(measure.at, 3)
        before = kept.get(key)
        kept[key] = measure if before is None else replace(before, low=min(before.low, measure.low),
                                                           high=max(before.high, measure.high))
    return tuple(kept.values())


# axis → (the side that rows lie on by habit, the other one)
ROW_SIDES = {"x": (Side.BOTTOM, Side.TOP), "y": (Side.LEFT, Side.RIGHT)}
ORIGIN_SIDES = {"x": (Side.LEFT, Side.RIGHT), "y": (Side.BOTTOM, Side.TOP)}


@dataclass(frozen=True, slots=True)
class DimensionRow:
    """Measures from one ``origin`` side on one line beside the piece, nearest first."""

    place: Side
    origin: Side
    measures: tuple[Measure, ...]

    @property
    def level(self) -> bool:
        """True for a row along x."""
        return self.place in ROW_SIDES["x"]


def dimension_rows(measures: Iterable[Measure], box: Box) -> tuple[DimensionRow, ...]:
    """At most one row on each side: a series lies where its marks reach the edge, all of one origin together.

    Where rows from both ends would want the same side of the picture, those
    from the left (or the bottom) lie by habit, those from the right (or the
    top) on the other side.
    """
    rows: list[DimensionRow] = []
    for axis, habit in ROW_SIDES.items():
        mine = [m for m in measures if m.axis == axis]
        places = _place_by_reach(mine, axis, box)
        if any(len({m.side for m in row}) > 1 for row in places.values()):
            places = {place: [m for m in mine if m.side is origin]
                      for place, origin in zip(habit, ORIGIN_SIDES[axis], strict=True)}
        rows += [DimensionRow(place, row[0].side, tuple(sorted(row, key=lambda m: float(_value(m)))))
                 for place, row in places.items() if row]
    return tuple(rows)


def _place_by_reach(measures: Iterable[Measure], axis: str, box: Box) -> dict[Side, list[Measure]]:
    series: dict[tuple[str, Side], list[Measure]] = defaultdict(list)
    for measure in measures:
        series[measure.series, measure.side].append(measure)
    near, far = ROW_SIDES[axis]
    low, high = (box.y0, box.y1) if axis == "x" else (box.x0, box.x1)
    places: dict[Side, list[Measure]] = {near: [], far: []}
    for group in series.values():
        below = sum(m.low - low for m in group) / len(group)
        above = sum(high - m.high for m in group) / len(group)
        places[far if above < below - SAME_PLACE_TOLERANCE else near] += group
    return places


def _value(measure: Measure) -> float:
    return float(measure.twin.mm if measure.twin.mm is not None else measure.twin.inch)
