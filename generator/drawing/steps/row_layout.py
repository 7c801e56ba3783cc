"""Lay out one row of measures: one dimension, a running row of figures, or badges for a list.

The forms are tried in this order, and the first that has room is drawn:
one dimension line with its words above it; running figures straight at the
marks; on two levels; stepped aside; the same three with badges, whose numbers
stand in the list; figures at the first, second and last mark; the list alone.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from generator.drawing.lettering import LETTER_SIZE, SMALL_LETTER_SIZE, DualText, text_block_size
from generator.drawing.pen import Badge, Dimension, Label
from generator.drawing.recording import ARROW_LENGTH, BADGE_DIAMETER
from generator.drawing.steps.dual_measures import DualMeasure, ListRow, measure_row, unit_names
from generator.drawing.steps.lanes import (
    DIMENSION_LINE_DISTANCE,
    EXTENSION_BEND,
    EXTENSION_GAP,
    EXTENSION_OVERRUN,
    LABEL_CLEARANCE,
    TEXT_PADDING,
    DimensionLane,
    overlap_free,
    spread_apart,
)
from generator.geometry import Point
from generator.paper.records import Side
from generator.units import Quantity

MAX_LABEL_SHIFT = 14.0     # mm that words may step aside from their mark
LABEL_ALIGNMENT = {Side.BOTTOM: "middle", Side.TOP: "middle", Side.LEFT: "end", Side.RIGHT: "start"}


@dataclass(frozen=True, slots=True)
class DimensionStop:
    """A mark to be measured: ``along`` the lane, its nearest end ``out`` mm from the paper's edge."""

    along: float
    out: float
    twin: DualMeasure


@dataclass(slots=True)
class LaidRow:
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
    side: Side
    stops: tuple[DimensionStop, ...]     # ascending along the lane
    number: int                 # of the first badge


def lay_out_row(lane: DimensionLane, origin: float, side: Side, stops: Sequence[DimensionStop], number: int) -> LaidRow:
    """Lay out the marks ``stops`` of a lane, all measured from ``origin``, which lies at the reader's ``side``."""
    if len(stops) == 1:
        single = _single_dimension(lane, origin, stops[0])
        if single:
            return single
    row = RunningRow(lane, origin, side, tuple(sorted(stops, key=lambda s: s.along)), number)
    for form in (_running_figures, _badges, _end_figures):
        laid = form(row)
        if laid:
            return laid
    return LaidRow(rows=[_listed_measures(row)])


# -- one dimension ----------------------------------------------------------


def _single_dimension(lane: DimensionLane, origin: float, stop: DimensionStop) -> LaidRow | None:
    words = stop.twin.pair()
    wide, high = text_block_size(words)
    if wide + 2 * ARROW_LENGTH + 1.0 > abs(stop.along - origin):
        return None
    inward = lane.place in (Side.BOTTOM, Side.RIGHT)    # words stand above the line: here between it and the paper
    line = TEXT_PADDING * 2 + high + EXTENSION_GAP if inward else DIMENSION_LINE_DISTANCE
    out = line - TEXT_PADDING - high if inward else line + TEXT_PADDING
    laid = LaidRow(max(line + EXTENSION_OVERRUN, out + high))
    laid.labels.append(Label(words, lane.middle((origin + stop.along) / 2, out, high), LETTER_SIZE, upright=not lane.level))
    ends = (lane.point(origin, line), lane.point(stop.along, line))
    laid.dimensions.append(Dimension(ends[0], (ends[1],), (
        (lane.point(origin, EXTENSION_GAP), lane.point(origin, line + EXTENSION_OVERRUN)),
        (lane.point(stop.along, _extension_start(stop)), lane.point(stop.along, line + EXTENSION_OVERRUN)))))
    return laid


def _extension_start(stop: DimensionStop) -> float:
    """Where an extension line begins: just off the paper, or off the mark where that ends on the paper."""
    return stop.out + EXTENSION_GAP


# -- running figures --------------------------------------------------------


def _running_figures(row: RunningRow) -> LaidRow | None:
    """Every mark with its figures. The unit stands once, beside the origin, where there is room for it."""
    if row.lane.level:
        unit = _unit_label(row)
        if unit is not None:
            laid = _placed_labels(row, [stop.twin.bare() for stop in row.stops], _bounds_beyond_unit(row))
            if laid:
                laid.labels.append(unit)
                return laid
    return _placed_labels(row, [stop.twin.pair() for stop in row.stops], _bounds(row))


def _unit_label(row: RunningRow) -> Label | None:
    unit = unit_names(row.stops[0].twin.locale)
    wide, high = text_block_size(unit, SMALL_LETTER_SIZE)
    leftward = row.side is Side.LEFT
    at = row.origin - LABEL_CLEARANCE - wide / 2 if leftward else row.origin + LABEL_CLEARANCE + wide / 2
    if at - wide / 2 < row.lane.low or at + wide / 2 > row.lane.high:
        return None
    return Label(unit, row.lane.middle(at, DIMENSION_LINE_DISTANCE + EXTENSION_OVERRUN + TEXT_PADDING, high), SMALL_LETTER_SIZE, quiet=True,
                 align="end" if leftward else "start")


def _bounds(row: RunningRow) -> tuple[float, float]:
    return row.lane.low, row.lane.high


def _bounds_beyond_unit(row: RunningRow) -> tuple[float, float]:
    """Bounds that leave out where the unit stands."""
    return (row.origin, row.lane.high) if row.side is Side.LEFT else (row.lane.low, row.origin)


def _placed_labels(row: RunningRow, words: Sequence[DualText], bounds: tuple[float, float]) -> LaidRow | None:
    blocks = [text_block_size(pair) for pair in words]
    sizes = [b[0] if row.lane.level else b[1] for b in blocks]
    deep = max(b[1] if row.lane.level else b[0] for b in blocks)

    def label(index: int, along: float, out: float) -> Label:
        own = blocks[index][1] if row.lane.level else blocks[index][0]
        return Label(words[index], row.lane.middle(along, out, own), LETTER_SIZE, align=LABEL_ALIGNMENT[row.lane.place])
    found = _label_slots(row, sizes, deep, bounds)
    if found is None:
        return None
    slots, depth = found
    laid = _dimension_with_extensions(row, slots, depth)
    laid.labels += [label(i, slot.along, slot.out) for i, slot in enumerate(slots)]
    return laid


# -- badges and the list ----------------------------------------------------


def _badges(row: RunningRow) -> LaidRow | None:
    """A number at every mark, its measure in the list."""
    found = _label_slots(row, [BADGE_DIAMETER] * len(row.stops), BADGE_DIAMETER, _bounds(row))
    if found is None:
        return None
    slots, depth = found
    laid = _dimension_with_extensions(row, slots, depth)
    order = _stops_from_origin(row)
    numbers = {index: row.number + place for place, index in enumerate(order)}
    laid.badges += [Badge(numbers[i], row.lane.middle(slot.along, slot.out, BADGE_DIAMETER)) for i, slot in enumerate(slots)]
    laid.rows += [measure_row(numbers[i], [row.stops[i].twin], after=_origin_words(row)) for i in order]
    return laid


def _end_figures(row: RunningRow) -> LaidRow | None:
    """Figures at the first, second and last mark; all of them in one row of the list."""
    order = _stops_from_origin(row)
    shown = sorted({order[0], order[1], order[-1]}) if len(order) > 2 else sorted(order)
    some = RunningRow(row.lane, row.origin, row.side, tuple(row.stops[i] for i in shown), row.number)
    laid = _placed_labels(some, [stop.twin.pair() for stop in some.stops], _bounds(row))
    if laid is None:
        return None
    rest = [stop for i, stop in enumerate(row.stops) if i not in shown]
    if rest:
        laid.dimensions.append(_dimension_line(row, [(row.lane.point(s.along, _extension_start(s)), row.lane.point(s.along, DIMENSION_LINE_DISTANCE + EXTENSION_OVERRUN))
                                           for s in rest], rest))
    _equal_steps_label(row, laid)
    laid.rows.append(_listed_measures(row))
    return laid


def _equal_steps_label(row: RunningRow, laid: LaidRow) -> None:
    """"24 × 5 mm" between the second mark's figures and the last one's, where all steps are equal and there is room."""
    pitch = _equal_step(row)
    if pitch is None or not row.lane.level or len(laid.labels) < 3:
        return
    words = pitch.pair(f"{len(row.stops)} × {{size}}")
    wide, _ = text_block_size(words)
    ends = sorted((label.at.x - text_block_size(label.words)[0] / 2, label.at.x + text_block_size(label.words)[0] / 2)
                  for label in laid.labels)
    gap, left, right = max((b[0] - a[1], a[1], b[0]) for a, b in zip(ends, ends[1:], strict=False))
    if wide + 2 * LABEL_CLEARANCE < gap:
        laid.labels.append(Label(words, Point((left + right) / 2, laid.labels[-1].at.y), LETTER_SIZE, quiet=True))


def _equal_step(row: RunningRow) -> DualMeasure | None:
    """The step from mark to mark, from the origin on, if it is one and the same in both editions."""
    order = [row.stops[i].twin for i in _stops_from_origin(row)]
    if len(order) < 3 or any(t.mm is None or t.inch is None for t in order):
        return None
    equal = all(q.same_as(Quantity(first.value * k, 1)) for first, values in
                ((order[0].mm, [t.mm for t in order]), (order[0].inch, [t.inch for t in order]))
                for k, q in enumerate(values, start=1))
    return order[0] if equal else None


def _listed_measures(row: RunningRow) -> ListRow:
    pitch = _equal_step(row)
    count = row.stops[0].twin.locale.say("drawing.row.equal" if pitch else "drawing.row.marks", n=len(row.stops))
    return measure_row(None, [row.stops[i].twin for i in _stops_from_origin(row)], before=count, after=_origin_words(row))


def _origin_words(row: RunningRow) -> str:
    return row.stops[0].twin.locale.say(f"drawing.from.{row.side}")


def _stops_from_origin(row: RunningRow) -> list[int]:
    """The marks' places in the row, nearest to the origin first."""
    return sorted(range(len(row.stops)), key=lambda i: abs(row.stops[i].along - row.origin))


# -- arrangement ------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class LabelSlot:
    """Where words stand: ``along`` the lane, beginning ``out`` mm from the paper; ``bent`` when they stepped aside."""

    along: float
    out: float
    bent: bool = False


def _label_slots(row: RunningRow, sizes: Sequence[float], deep: float,
              bounds: tuple[float, float]) -> tuple[list[LabelSlot], float] | None:
    """Slots for boxes of these sizes, and the depth of the row; None where there is no room."""
    at = [stop.along for stop in row.stops]
    first, most = DIMENSION_LINE_DISTANCE + EXTENSION_OVERRUN + TEXT_PADDING, row.lane.deepest
    if overlap_free(at, sizes, *bounds) and first + deep <= most:
        return [LabelSlot(along, first) for along in at], first + deep
    if _fits_on_two(at, sizes, bounds) and first + 2 * deep + LABEL_CLEARANCE <= most:
        return [LabelSlot(along, first + (deep + LABEL_CLEARANCE) * (i % 2)) for i, along in enumerate(at)], first + 2 * deep + LABEL_CLEARANCE
    moved = spread_apart(at, sizes, *bounds) if first + EXTENSION_BEND + deep <= most else None
    if moved is None or max(abs(a - b) for a, b in zip(at, moved, strict=True)) > MAX_LABEL_SHIFT:
        return None
    return [LabelSlot(along, first + EXTENSION_BEND, bent=True) for along in moved], first + EXTENSION_BEND + deep


def _fits_on_two(at: Sequence[float], sizes: Sequence[float], bounds: tuple[float, float]) -> bool:
    """True when every second box can stand farther out, its extension line passing between two of the nearer ones."""
    if not all(overlap_free(at[k::2], sizes[k::2], *bounds) for k in (0, 1) if at[k::2]):
        return False
    return all(abs(at[i] - at[j]) > sizes[j] / 2 + LABEL_CLEARANCE / 2
               for i in range(1, len(at), 2) for j in (i - 1, i + 1) if j < len(at))


def _dimension_with_extensions(row: RunningRow, slots: Sequence[LabelSlot], depth: float) -> LaidRow:
    """The dimension line with its extension lines, out to each slot."""
    lines = [tuple(_extension(row.lane, stop, slot)) for stop, slot in zip(row.stops, slots, strict=True)]
    return LaidRow(depth, [_dimension_line(row, lines, row.stops)])


def _extension(lane: DimensionLane, stop: DimensionStop, slot: LabelSlot) -> Iterator[Point]:
    yield lane.point(stop.along, _extension_start(stop))
    if not slot.bent:
        yield lane.point(stop.along, slot.out - TEXT_PADDING)
        return
    yield lane.point(stop.along, DIMENSION_LINE_DISTANCE + EXTENSION_OVERRUN)
    yield lane.point(slot.along, slot.out - TEXT_PADDING)


def _dimension_line(row: RunningRow, extensions: Sequence[tuple[Point, ...]], stops: Sequence[DimensionStop]) -> Dimension:
    ordered = sorted(stops, key=lambda s: abs(s.along - row.origin))
    at_origin = (row.lane.point(row.origin, EXTENSION_GAP), row.lane.point(row.origin, DIMENSION_LINE_DISTANCE + EXTENSION_OVERRUN))
    return Dimension(row.lane.point(row.origin, DIMENSION_LINE_DISTANCE), tuple(row.lane.point(s.along, DIMENSION_LINE_DISTANCE) for s in ordered),
                     (at_origin, *extensions), running=True)
