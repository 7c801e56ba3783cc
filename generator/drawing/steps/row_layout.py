"""Lay out one row of measures: one dimension, a running row of figures, or badges for a list.

The forms are tried in this order, and the first that has room is drawn:
one dimension line with its words above it; running figures straight at the
marks; on two levels; stepped aside; the same three with badges, whose numbers
stand in the list; figures at the first, second and last mark; the list alone.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from generator.drawing.lettering import SIZE, SMALL, Pair, block
from generator.drawing.pen import Badge, Dimension, Label
from generator.drawing.recording import ARROW, BADGE
from generator.drawing.steps.dual_measures import ListRow, Twin, measure_row, unit_pair
from generator.drawing.steps.lanes import BEND, CLEAR, GAP, LINE, OVER, PAD, Lane, overlap_free, spread
from generator.geometry import Point
from generator.paper.records import Side
from generator.units import Quantity

FARTHEST = 14.0     # mm that words may step aside from their mark
ALIGN = {Side.BOTTOM: "middle", Side.TOP: "middle", Side.LEFT: "end", Side.RIGHT: "start"}


@dataclass(frozen=True, slots=True)
class DimensionStop:
    """A mark to be measured: ``along`` the lane, its nearest end ``out`` mm from the paper's edge."""

    along: float
    out: float
    twin: Twin


@dataclass(slots=True)
class LaidRow:
    """What a row draws: ``depth`` mm outward from the paper, and what it leaves to the list."""

    depth: float = 0.0
    dimensions: list[Dimension] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    badges: list[Badge] = field(default_factory=list)
    rows: list[ListRow] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Running:
    """A running row's marks, seen along the lane; ``origin`` is where it is measured from."""

    lane: Lane
    origin: float
    side: Side
    stops: tuple[DimensionStop, ...]     # ascending along the lane
    number: int                 # of the first badge


def lay(lane: Lane, origin: float, side: Side, stops: Sequence[DimensionStop], number: int) -> LaidRow:
    """Lay out the marks ``stops`` of a lane, all measured from ``origin``, which lies at the reader's ``side``."""
    if len(stops) == 1:
        single = _single(lane, origin, stops[0])
        if single:
            return single
    row = Running(lane, origin, side, tuple(sorted(stops, key=lambda s: s.along)), number)
    for form in (_figures, _badges, _ends):
        laid = form(row)
        if laid:
            return laid
    return LaidRow(rows=[_listed(row)])


# -- one dimension ----------------------------------------------------------


def _single(lane: Lane, origin: float, stop: DimensionStop) -> LaidRow | None:
    words = stop.twin.pair()
    wide, high = block(words)
    if wide + 2 * ARROW + 1.0 > abs(stop.along - origin):
        return None
    inward = lane.place in (Side.BOTTOM, Side.RIGHT)    # words stand above the line: here between it and the paper
    line = PAD * 2 + high + GAP if inward else LINE
    out = line - PAD - high if inward else line + PAD
    laid = LaidRow(max(line + OVER, out + high))
    laid.labels.append(Label(words, lane.middle((origin + stop.along) / 2, out, high), SIZE, upright=not lane.level))
    ends = (lane.point(origin, line), lane.point(stop.along, line))
    laid.dimensions.append(Dimension(ends[0], (ends[1],), (
        (lane.point(origin, GAP), lane.point(origin, line + OVER)),
        (lane.point(stop.along, _foot(stop)), lane.point(stop.along, line + OVER)))))
    return laid


def _foot(stop: DimensionStop) -> float:
    """Where an extension line begins: just off the paper, or off the mark where that ends on the paper."""
    return stop.out + GAP


# -- running figures --------------------------------------------------------


def _figures(row: Running) -> LaidRow | None:
    """Every mark with its figures. The unit stands once, beside the origin, where there is room for it."""
    if row.lane.level:
        unit = _unit(row)
        if unit is not None:
            laid = _placed(row, [stop.twin.bare() for stop in row.stops], _beyond_unit(row))
            if laid:
                laid.labels.append(unit)
                return laid
    return _placed(row, [stop.twin.pair() for stop in row.stops], _bounds(row))


def _unit(row: Running) -> Label | None:
    unit = unit_pair(row.stops[0].twin.locale)
    wide, high = block(unit, SMALL)
    leftward = row.side is Side.LEFT
    at = row.origin - CLEAR - wide / 2 if leftward else row.origin + CLEAR + wide / 2
    if at - wide / 2 < row.lane.low or at + wide / 2 > row.lane.high:
        return None
    return Label(unit, row.lane.middle(at, LINE + OVER + PAD, high), SMALL, quiet=True,
                 align="end" if leftward else "start")


def _bounds(row: Running) -> tuple[float, float]:
    return row.lane.low, row.lane.high


def _beyond_unit(row: Running) -> tuple[float, float]:
    """Bounds that leave out where the unit stands."""
    return (row.origin, row.lane.high) if row.side is Side.LEFT else (row.lane.low, row.origin)


def _placed(row: Running, words: Sequence[Pair], bounds: tuple[float, float]) -> LaidRow | None:
    blocks = [block(pair) for pair in words]
    sizes = [b[0] if row.lane.level else b[1] for b in blocks]
    deep = max(b[1] if row.lane.level else b[0] for b in blocks)

    def label(index: int, along: float, out: float) -> Label:
        own = blocks[index][1] if row.lane.level else blocks[index][0]
        return Label(words[index], row.lane.middle(along, out, own), SIZE, align=ALIGN[row.lane.place])
    found = _arranged(row, sizes, deep, bounds)
    if found is None:
        return None
    slots, depth = found
    laid = _ruled(row, slots, depth)
    laid.labels += [label(i, slot.along, slot.out) for i, slot in enumerate(slots)]
    return laid


# -- badges and the list ----------------------------------------------------


def _badges(row: Running) -> LaidRow | None:
    """A number at every mark, its measure in the list."""
    found = _arranged(row, [BADGE] * len(row.stops), BADGE, _bounds(row))
    if found is None:
        return None
    slots, depth = found
    laid = _ruled(row, slots, depth)
    order = _from_origin(row)
    numbers = {index: row.number + place for place, index in enumerate(order)}
    laid.badges += [Badge(numbers[i], row.lane.middle(slot.along, slot.out, BADGE)) for i, slot in enumerate(slots)]
    laid.rows += [measure_row(numbers[i], [row.stops[i].twin], after=_from(row)) for i in order]
    return laid


def _ends(row: Running) -> LaidRow | None:
    """Figures at the first, second and last mark; all of them in one row of the list."""
    order = _from_origin(row)
    shown = sorted({order[0], order[1], order[-1]}) if len(order) > 2 else sorted(order)
    some = Running(row.lane, row.origin, row.side, tuple(row.stops[i] for i in shown), row.number)
    laid = _placed(some, [stop.twin.pair() for stop in some.stops], _bounds(row))
    if laid is None:
        return None
    rest = [stop for i, stop in enumerate(row.stops) if i not in shown]
    if rest:
        laid.dimensions.append(_line(row, [(row.lane.point(s.along, _foot(s)), row.lane.point(s.along, LINE + OVER))
                                           for s in rest], rest))
    _chain(row, laid)
    laid.rows.append(_listed(row))
    return laid


def _chain(row: Running, laid: LaidRow) -> None:
    """"24 × 5 mm" between the second mark's figures and the last one's, where all steps are equal and there is room."""
    pitch = _pitch(row)
    if pitch is None or not row.lane.level or len(laid.labels) < 3:
        return
    words = pitch.pair(f"{len(row.stops)} × {{size}}")
    wide, _ = block(words)
    ends = sorted((label.at.x - block(label.words)[0] / 2, label.at.x + block(label.words)[0] / 2)
                  for label in laid.labels)
    gap, left, right = max((b[0] - a[1], a[1], b[0]) for a, b in zip(ends, ends[1:], strict=False))
    if wide + 2 * CLEAR < gap:
        laid.labels.append(Label(words, Point((left + right) / 2, laid.labels[-1].at.y), SIZE, quiet=True))


def _pitch(row: Running) -> Twin | None:
    """The step from mark to mark, from the origin on, if it is one and the same in both editions."""
    order = [row.stops[i].twin for i in _from_origin(row)]
    if len(order) < 3 or any(t.mm is None or t.inch is None for t in order):
        return None
    equal = all(q.same_as(Quantity(first.value * k, 1)) for first, values in
                ((order[0].mm, [t.mm for t in order]), (order[0].inch, [t.inch for t in order]))
                for k, q in enumerate(values, start=1))
    return order[0] if equal else None


def _listed(row: Running) -> ListRow:
    pitch = _pitch(row)
    count = row.stops[0].twin.locale.say("drawing.row.equal" if pitch else "drawing.row.marks", n=len(row.stops))
    return measure_row(None, [row.stops[i].twin for i in _from_origin(row)], before=count, after=_from(row))


def _from(row: Running) -> str:
    return row.stops[0].twin.locale.say(f"drawing.from.{row.side}")


def _from_origin(row: Running) -> list[int]:
    """The marks' places in the row, nearest to the origin first."""
    return sorted(range(len(row.stops)), key=lambda i: abs(row.stops[i].along - row.origin))


# -- arrangement ------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Slot:
    """Where words stand: ``along`` the lane, beginning ``out`` mm from the paper; ``bent`` when they stepped aside."""

    along: float
    out: float
    bent: bool = False


def _arranged(row: Running, sizes: Sequence[float], deep: float,
              bounds: tuple[float, float]) -> tuple[list[Slot], float] | None:
    """Slots for boxes of these sizes, and the depth of the row; None where there is no room."""
    at = [stop.along for stop in row.stops]
    first, most = LINE + OVER + PAD, row.lane.deepest
    if overlap_free(at, sizes, *bounds) and first + deep <= most:
        return [Slot(along, first) for along in at], first + deep
    if _fits_on_two(at, sizes, bounds) and first + 2 * deep + CLEAR <= most:
        return [Slot(along, first + (deep + CLEAR) * (i % 2)) for i, along in enumerate(at)], first + 2 * deep + CLEAR
    moved = spread(at, sizes, *bounds) if first + BEND + deep <= most else None
    if moved is None or max(abs(a - b) for a, b in zip(at, moved, strict=True)) > FARTHEST:
        return None
    return [Slot(along, first + BEND, bent=True) for along in moved], first + BEND + deep


def _fits_on_two(at: Sequence[float], sizes: Sequence[float], bounds: tuple[float, float]) -> bool:
    """True when every second box can stand farther out, its extension line passing between two of the nearer ones."""
    if not all(overlap_free(at[k::2], sizes[k::2], *bounds) for k in (0, 1) if at[k::2]):
        return False
    return all(abs(at[i] - at[j]) > sizes[j] / 2 + CLEAR / 2
               for i in range(1, len(at), 2) for j in (i - 1, i + 1) if j < len(at))


def _ruled(row: Running, slots: Sequence[Slot], depth: float) -> LaidRow:
    """The dimension line with its extension lines, out to each slot."""
    lines = [tuple(_extension(row.lane, stop, slot)) for stop, slot in zip(row.stops, slots, strict=True)]
    return LaidRow(depth, [_line(row, lines, row.stops)])


def _extension(lane: Lane, stop: DimensionStop, slot: Slot) -> Iterator[Point]:
    yield lane.point(stop.along, _foot(stop))
    if not slot.bent:
        yield lane.point(stop.along, slot.out - PAD)
        return
    yield lane.point(stop.along, LINE + OVER)
    yield lane.point(slot.along, slot.out - PAD)


def _line(row: Running, extensions: Sequence[tuple[Point, ...]], stops: Sequence[DimensionStop]) -> Dimension:
    ordered = sorted(stops, key=lambda s: abs(s.along - row.origin))
    at_origin = (row.lane.point(row.origin, GAP), row.lane.point(row.origin, LINE + OVER))
    return Dimension(row.lane.point(row.origin, LINE), tuple(row.lane.point(s.along, LINE) for s in ordered),
                     (at_origin, *extensions), running=True)
