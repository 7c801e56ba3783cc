"""Lay out one row of measures: a single dimension, running dimensions (ISO 129-1), or badges for a list.

The forms are tried in this order, and the first that has room is drawn:
one dimension line with its text above it; running dimensions with their
values straight at the marks; on two levels; shifted aside; the same three with
badges, whose numbers stand in the list; values at the first, second and last
mark; the list alone.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from generator.dataclass import dataclass, field, replace
from generator.drawing.lettering import LETTER_SIZE, SMALL_LETTER_SIZE, DualText, text_block_size
from generator.drawing.pen import Badge, Dimension, Label
from generator.drawing.picture_geometry import overlap_free, spread_apart
from generator.drawing.recording import ARROW_LENGTH, BADGE_DIAMETER, label_box
from generator.drawing.steps.dual_measures import DualMeasure, ListRow, measure_row, unit_names
from generator.geometry import Point
from generator.paper.records import Side
from generator.units import Quantity

EXTENSION_GAP = 0.9       # mm from the paper to where an extension line begins
DIMENSION_LINE_DISTANCE = 4.6      # mm from the paper to a dimension line
EXTENSION_OVERRUN = 1.3      # mm that extension lines go on beyond it
TEXT_PADDING = 0.5       # mm from a line to the words beside it
EXTENSION_END = DIMENSION_LINE_DISTANCE + EXTENSION_OVERRUN
FIRST_LEVEL = EXTENSION_END + TEXT_PADDING       # mm from the paper to the values at its marks
EXTENSION_BEND = 2.2      # mm outward that a bent extension line takes to its shifted label
LABEL_CLEARANCE = 1.2     # mm between two labels: a little more than between two words
MAX_LABEL_SHIFT = 14.0     # mm that a label may be shifted from its mark
LABEL_ALIGNMENT = {Side.BOTTOM: "middle", Side.TOP: "middle", Side.LEFT: "end", Side.RIGHT: "start"}


@dataclass(frozen=True, slots=True)
class DimensionLane:
    """The strip beside one ``side`` of the paper in which a row is drawn, in mm of the picture.

    ``base`` is where the paper ends; ``low`` and ``high`` bound what may be
    drawn along the lane.
    """

    side: Side
    base: float
    low: float
    high: float
    deepest: float = 40.0       # mm that a row may reach outward

    @property
    def horizontal(self) -> bool:
        """True below and above the paper."""
        return self.side in (Side.BOTTOM, Side.TOP)

    def point(self, along: float, out: float) -> Point:
        """The point at ``along``, ``out`` mm away from the paper (negative: on it)."""
        if self.side is Side.BOTTOM:
            return Point(along, self.base - out)
        if self.side is Side.TOP:
            return Point(along, self.base + out)
        return Point(self.base - out if self.side is Side.LEFT else self.base + out, along)

    def middle(self, along: float, out: float, depth: float) -> Point:
        """The middle of a box ``depth`` mm across that begins ``out`` mm from the paper."""
        return self.point(along, out + depth / 2)

    def out(self, across: float) -> float:
        """How far a coordinate across the lane lies from the paper: negative where it is on it."""
        return self.base - across if self.side in (Side.BOTTOM, Side.LEFT) else across - self.base


@dataclass(frozen=True, slots=True)
class DimensionStop:
    """A mark to be measured: ``along`` the lane, its nearest end ``out`` mm from the paper's edge."""

    along: float
    out: float
    value: DualMeasure


@dataclass(slots=True)
class RowDrawing:
    """What a row draws: ``depth`` mm outward from the paper, and what it leaves to the list."""

    depth: float = 0.0
    dimensions: list[Dimension] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    badges: list[Badge] = field(default_factory=list)
    rows: list[ListRow] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class RunningRow:
    """A running row's marks, seen along the lane; ``origin`` is where it is measured from."""

    lane: DimensionLane
    origin: float
    origin_side: Side
    stops: tuple[DimensionStop, ...]     # ascending along the lane
    number: int                 # of the first badge


def lay_out_row(lane: DimensionLane, origin: float, side: Side, stops: Sequence[DimensionStop],
                number: int) -> RowDrawing:
    """Lay out the ``stops`` of a lane, all measured from ``origin``, which lies at the reader's ``side``."""
    if len(stops) == 1:
        single = _single_dimension(lane, origin, stops[0])
        if single:
            return single
    row = RunningRow(lane, origin, side, tuple(sorted(stops, key=lambda s: s.along)), number)
    for form in (_running_dimensions, _badges, _end_values):
        drawing = form(row)
        if drawing:
            return drawing
    return RowDrawing(rows=[_listed_measures(row)])


# -- one dimension ----------------------------------------------------------


def _single_dimension(lane: DimensionLane, origin: float, stop: DimensionStop) -> RowDrawing | None:
    words = stop.value.text()
    width, height = text_block_size(words)
    if width + 2 * ARROW_LENGTH + 1.0 > abs(stop.along - origin):
        return None
    # words stand above the line: here between it and the paper
    inward = lane.side in (Side.BOTTOM, Side.RIGHT)
    line = TEXT_PADDING * 2 + height + EXTENSION_GAP if inward else DIMENSION_LINE_DISTANCE
    out = line - TEXT_PADDING - height if inward else line + TEXT_PADDING
    drawing = RowDrawing(max(line + EXTENSION_OVERRUN, out + height))
    drawing.labels.append(Label(words, lane.middle((origin + stop.along) / 2, out, height), LETTER_SIZE,
                                upright=not lane.horizontal))
    ends = (lane.point(origin, line), lane.point(stop.along, line))
    drawing.dimensions.append(Dimension(ends[0], (ends[1],), (
        (lane.point(origin, EXTENSION_GAP), lane.point(origin, line + EXTENSION_OVERRUN)),
        (lane.point(stop.along, _extension_start(stop)), lane.point(stop.along, line + EXTENSION_OVERRUN)))))
    return drawing


def _extension_start(stop: DimensionStop) -> float:
    """Where an extension line begins: just off the paper, or off the mark where that ends on the paper."""
    return stop.out + EXTENSION_GAP


# -- running dimensions -----------------------------------------------------


def _running_dimensions(row: RunningRow) -> RowDrawing | None:
    """Every mark with its value. The unit stands once, beside the origin, where there is room for it."""
    if row.lane.horizontal:
        unit = _unit_label(row)
        if unit is not None:
            numbers = [stop.value.numbers() for stop in row.stops]
            drawing = _placed_labels(row, numbers, _bounds_beyond_unit(row))
            if drawing:
                drawing.labels.append(unit)
                return drawing
    return _placed_labels(row, [stop.value.text() for stop in row.stops], _bounds(row))


def _unit_label(row: RunningRow) -> Label | None:
    unit = unit_names(row.stops[0].value.locale)
    width, height = text_block_size(unit, SMALL_LETTER_SIZE)
    leftward = row.origin_side is Side.LEFT
    at = row.origin - LABEL_CLEARANCE - width / 2 if leftward else row.origin + LABEL_CLEARANCE + width / 2
    if at - width / 2 < row.lane.low or at + width / 2 > row.lane.high:
        return None
    return Label(unit, row.lane.middle(at, FIRST_LEVEL, height), SMALL_LETTER_SIZE, quiet=True,
                 align="end" if leftward else "start")


def _bounds(row: RunningRow) -> tuple[float, float]:
    return row.lane.low, row.lane.high


def _bounds_beyond_unit(row: RunningRow) -> tuple[float, float]:
    """Bounds that leave out where the unit stands."""
    return (row.origin, row.lane.high) if row.origin_side is Side.LEFT else (row.lane.low, row.origin)


def _placed_labels(row: RunningRow, words: Sequence[DualText],
                   bounds: tuple[float, float]) -> RowDrawing | None:
    blocks = [text_block_size(pair) for pair in words]
    sizes = [b[0] if row.lane.horizontal else b[1] for b in blocks]
    depth = max(b[1] if row.lane.horizontal else b[0] for b in blocks)

    def label(index: int, along: float, out: float) -> Label:
        own = blocks[index][1] if row.lane.horizontal else blocks[index][0]
        return Label(words[index], row.lane.middle(along, out, own), LETTER_SIZE,
                     align=LABEL_ALIGNMENT[row.lane.side])
    found = _label_slots(row, sizes, depth, bounds)
    if found is None:
        return None
    slots, depth = found
    drawing = _dimension_with_extensions(row, slots, depth)
    drawing.labels += [label(i, slot.along, slot.out) for i, slot in enumerate(slots)]
    return drawing


# -- badges and the list ----------------------------------------------------


def _badges(row: RunningRow) -> RowDrawing | None:
    """A number at every mark, its measure in the list."""
    found = _label_slots(row, [BADGE_DIAMETER] * len(row.stops), BADGE_DIAMETER, _bounds(row))
    if found is None:
        return None
    slots, depth = found
    drawing = _dimension_with_extensions(row, slots, depth)
    order = _stops_from_origin(row)
    numbers = {index: row.number + place for place, index in enumerate(order)}
    drawing.badges += [Badge(numbers[i], row.lane.middle(slot.along, slot.out, BADGE_DIAMETER)) for i,
                       slot in enumerate(slots)]
    drawing.rows += [measure_row(numbers[i], [row.stops[i].value], after=_origin_words(row)) for i in order]
    return drawing


def _end_values(row: RunningRow) -> RowDrawing | None:
    """Values at the first, second and last mark; all of them in one row of the list."""
    order = _stops_from_origin(row)
    shown = sorted({order[0], order[1], order[-1]}) if len(order) > 2 else sorted(order)
    some = replace(row, stops=tuple(row.stops[i] for i in shown))
    drawing = _placed_labels(some, [stop.value.text() for stop in some.stops], _bounds(row))
    if drawing is None:
        return None
    rest = [stop for i, stop in enumerate(row.stops) if i not in shown]
    if rest:
        extensions = [(row.lane.point(stop.along, _extension_start(stop)),
                       row.lane.point(stop.along, EXTENSION_END)) for stop in rest]
        drawing.dimensions.append(_dimension_line(row, extensions, rest))
    _equal_steps_label(row, drawing)
    drawing.rows.append(_listed_measures(row))
    return drawing


def _equal_steps_label(row: RunningRow, drawing: RowDrawing) -> None:
    """Such as "24 × 5 mm" between the second and the last value, where all steps are equal."""
    pitch = _equal_step(row)
    if pitch is None or not row.lane.horizontal or len(drawing.labels) < 3:
        return
    words = pitch.text(f"{len(row.stops)} × {{size}}")
    width, _ = text_block_size(words)
    boxes = sorted(label_box(label) for label in drawing.labels)
    gap, left, right = max((b.x0 - a.x1, a.x1, b.x0) for a, b in pairwise(boxes))
    if width + 2 * LABEL_CLEARANCE < gap:
        drawing.labels.append(Label(words, Point((left + right) / 2, drawing.labels[-1].at.y), LETTER_SIZE,
                                    quiet=True))


def _equal_step(row: RunningRow) -> DualMeasure | None:
    """The step from mark to mark, from the origin on, if it is one and the same in both editions."""
    order = [row.stops[i].value for i in _stops_from_origin(row)]
    editions = [[value.mm for value in order], [value.inch for value in order]]
    return order[0] if len(order) > 2 and all(map(_is_progression, editions)) else None


def _is_progression(values: Sequence[Quantity | None]) -> bool:
    """Whether values are 1, 2, 3 … times the first one."""
    first = values[0]
    return first is not None and all(value is not None and value.same_as(Quantity(first.value * k, 1))
                                     for k, value in enumerate(values, start=1))


def _listed_measures(row: RunningRow) -> ListRow:
    pitch = _equal_step(row)
    count = row.stops[0].value.locale.say("drawing.row.equal" if pitch else "drawing.row.marks",
                                          n=len(row.stops))
    return measure_row(None, [row.stops[i].value for i in _stops_from_origin(row)], before=count,
                       after=_origin_words(row))


def _origin_words(row: RunningRow) -> str:
    return row.stops[0].value.locale.say(f"drawing.from.{row.origin_side}")


def _stops_from_origin(row: RunningRow) -> list[int]:
    """The indices of the marks in the row, nearest to the origin first."""
    return sorted(range(len(row.stops)), key=lambda i: abs(row.stops[i].along - row.origin))


# -- arrangement ------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class LabelSlot:
    """Where text stands ``along`` the lane, from ``out`` mm off the paper; ``bent`` when shifted aside."""

    along: float
    out: float
    bent: bool = False


def _label_slots(row: RunningRow, sizes: Sequence[float], box_depth: float,
                 bounds: tuple[float, float]) -> tuple[list[LabelSlot], float] | None:
    """Slots for boxes of these sizes, and the depth of the row; None where there is no room."""
    at = [stop.along for stop in row.stops]
    room = row.lane.deepest
    if overlap_free(at, sizes, LABEL_CLEARANCE, *bounds) and FIRST_LEVEL + box_depth <= room:
        return [LabelSlot(along, FIRST_LEVEL) for along in at], FIRST_LEVEL + box_depth
    second = FIRST_LEVEL + box_depth + LABEL_CLEARANCE
    if _fits_on_two(at, sizes, bounds) and second + box_depth <= room:
        return [LabelSlot(along, second if i % 2 else FIRST_LEVEL) for i,
                along in enumerate(at)], second + box_depth
    bent = FIRST_LEVEL + EXTENSION_BEND
    moved = spread_apart(at, sizes, LABEL_CLEARANCE, *bounds) if bent + box_depth <= room else None
    if moved is None or max(abs(a - b) for a, b in zip(at, moved, strict=True)) > MAX_LABEL_SHIFT:
        return None
    return [LabelSlot(along, bent, bent=True) for along in moved], bent + box_depth


def _fits_on_two(at: Sequence[float], sizes: Sequence[float], bounds: tuple[float, float]) -> bool:
    """True when every second box can stand farther out, its extension line between two nearer ones."""
    if not all(overlap_free(at[k::2], sizes[k::2], LABEL_CLEARANCE, *bounds) for k in (0, 1) if at[k::2]):
        return False
    return all(abs(at[i] - at[j]) > sizes[j] / 2 + LABEL_CLEARANCE / 2
               for i in range(1, len(at), 2) for j in (i - 1, i + 1) if j < len(at))


def _dimension_with_extensions(row: RunningRow, slots: Sequence[LabelSlot], depth: float) -> RowDrawing:
    """The dimension line with its extension lines, out to each slot."""
    lines = [tuple(_extension(row.lane, stop, slot)) for stop, slot in zip(row.stops, slots, strict=True)]
    return RowDrawing(depth, [_dimension_line(row, lines, row.stops)])


def _extension(lane: DimensionLane, stop: DimensionStop, slot: LabelSlot) -> Iterator[Point]:
    yield lane.point(stop.along, _extension_start(stop))
    if not slot.bent:
        yield lane.point(stop.along, slot.out - TEXT_PADDING)
        return
    yield lane.point(stop.along, EXTENSION_END)
    yield lane.point(slot.along, slot.out - TEXT_PADDING)


def _dimension_line(row: RunningRow, extensions: Sequence[tuple[Point, ...]],
                    stops: Sequence[DimensionStop]) -> Dimension:
    ordered = sorted(stops, key=lambda s: abs(s.along - row.origin))
    at_origin = (row.lane.point(row.origin, EXTENSION_GAP), row.lane.point(row.origin, EXTENSION_END))
    return Dimension(row.lane.point(row.origin, DIMENSION_LINE_DISTANCE),
                     tuple(row.lane.point(s.along, DIMENSION_LINE_DISTANCE) for s in ordered),
                     (at_origin, *extensions), running=True)
