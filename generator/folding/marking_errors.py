"""What a hand may set wrong on a piece: a mark, a row whose step is wrong each time, a blank cut too large.

Each corner of the flat map is one node, so that a line of the plan can be moved and everything that ends on
it goes along.
"""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import cached_property

import numpy as np
import shapely

from generator.dataclass import dataclass
from generator.findings import Span
from generator.folding.piece_context import PieceContext
from generator.folding.records import FlatMap, Hinge, Panel
from generator.geometry import Line
from generator.geometry.arrays import FloatArray, IntArray, ReadOnlyArrays
from generator.geometry.noding import PointIndex
from generator.geometry.plane import floats
from generator.geometry.tolerances import (
    COLLINEAR_SINE,
    MIN_CROSSING_SINE,
    ON_LINE_TOLERANCE,
    SAME_LINE_TOLERANCE,
)
from generator.paper.records import Face, Mark
from generator.units import Quantity


@dataclass(frozen=True, eq=False)
class MapNodes(ReadOnlyArrays):
    """``points`` (n × 2); ``rings`` the numbers of the corners of each panel, one array for each ring."""

    flat: FlatMap
    points: FloatArray
    rings: tuple[tuple[IntArray, ...], ...]
    hinges: IntArray          # hinges × 2: the numbers of their ends

    def at(self, points: FloatArray) -> IntArray:
        """The number of the node at each point (m × 2); −1 where there is none."""
        far = np.hypot(*(np.asarray(points)[:, None] - self.points[None]).transpose(2, 0, 1))
        near = far.argmin(axis=1)
        return np.where(far[np.arange(len(near)), near] <= ON_LINE_TOLERANCE, near, -1)

    def moves(self, start: FloatArray, end: FloatArray) -> FloatArray:
        """How all nodes move (n × 2) when the line start–end goes one unit to its left.

        A node on it slides along the line that goes straight through it, so
        that this stays straight; one where lines only end goes straight aside.
        """
        size = float(np.hypot(*(end - start)))
        along = (end - start) / size
        normal = np.array((-along[1], along[0]))
        way = (self.points - start) @ along
        on = (np.abs((self.points - start) @ normal)
              <= ON_LINE_TOLERANCE) & (way >= -ON_LINE_TOLERANCE) & (way <= size + ON_LINE_TOLERANCE)
        result = np.zeros_like(self.points)
        for k in np.flatnonzero(on):
            through = next((u for u in self._through[int(k)] if abs(u @ normal) > MIN_CROSSING_SINE), normal)
            result[k] = through / (through @ normal)
        return result

    @cached_property
    def _through(self) -> dict[int, list[FloatArray]]:
        """Node → the directions in which lines go straight through it."""
        around: dict[int, set[int]] = defaultdict(set)
        for rings in self.rings:
            for ring in rings:
                for a, b in zip(ring, np.roll(ring, -1), strict=False):
                    around[int(a)].add(int(b))
                    around[int(b)].add(int(a))
        found = defaultdict(list)
        for node, others in around.items():
            ways = self.points[sorted(others)] - self.points[node]
            ways /= np.hypot(*ways.T)[:, None]
            turn = ways[:, None, 0] * ways[None, :, 1] - ways[:, None, 1] * ways[None, :, 0]
            against = (np.abs(turn) < COLLINEAR_SINE) & (ways @ ways.T < 0)
            found[node] = [ways[i] for i, j in zip(*np.nonzero(np.triu(against)), strict=False)]
        return found

    def panels(self, places: FloatArray) -> tuple[Panel, ...]:
        """The panels with their corners at other places (n × 2)."""
        still = np.all(places == self.points, axis=1)
        return tuple(panel if all(still[r].all() for r in rings) else
                     Panel(panel.id, _moved_polygon([places[r] for r in rings], panel.polygon), panel.soft)
                     for panel, rings in zip(self.flat.panels, self.rings, strict=True))

    def moved_hinges(self, places: FloatArray) -> tuple[Hinge, ...]:
        """The hinges with their ends at other places."""
        return tuple(Hinge(h.id, h.left, h.right, places[a], places[b], h.mark, h.bends)
                     for h, (a, b) in zip(self.flat.hinges, self.hinges, strict=True))


def _moved_polygon(rings: list[FloatArray], before: shapely.Polygon) -> shapely.Polygon:
    """A polygon of these rings, as before where they cross, as narrow tips do when moved far."""
    result = shapely.Polygon(rings[0], rings[1:])
    if result.is_valid:
        return result
    whole = result.buffer(0)
    return whole if isinstance(whole, shapely.Polygon) and whole.area > 0.5 * before.area else before


def nodes_of(flat: FlatMap) -> MapNodes:
    """All corners of the panels of a flat map, and the ends of its hinges."""
    points = PointIndex(ON_LINE_TOLERANCE)
    rings = tuple(tuple(np.array([points.number(p) for p in shapely.get_coordinates(ring)[:-1]])
                        for ring in (panel.polygon.exterior, *panel.polygon.interiors))
                  for panel in flat.panels)
    ends = np.array([[points.number(h.start), points.number(h.end)] for h in flat.hinges], int).reshape(-1, 2)
    return MapNodes(flat, np.array(points.points), rings, ends)


MIN_ROW_MARKS = 3             # marks that make a row
MAX_MARKING_ERRORS = 240          # slips that are tried on one piece; a plan with more is not made by hand


@dataclass(frozen=True, slots=True, eq=False)
class MarkingError(ReadOnlyArrays):
    """One thing set wrong. ``moves`` (nodes × 2) is how the corners go for one millimetre of it.

    ``kind`` is "mark", "row" (the step of all of them wrong each time),
    "width" or "height" (of a sheet), or "panel" (a panel of a net, ``size``
    deep); ``index`` counts within the row, 0 for all of it. ``size`` is what
    the reader sets or cuts, None where it is no single measure.
    """

    kind: str
    piece: int
    act: int
    step: int
    index: int
    name: str
    span: Span
    size: Quantity | None
    side: str
    moves: FloatArray
    last: Quantity | None = None        # of a row: where its last mark lies
    count: int = 1                      # marks that the statement makes

    @property
    def key(self) -> tuple[str, int, int, int]:
        """The same in both editions, which have the same marks."""
        return self.kind, self.piece, self.act, self.index


def marking_errors_of(context: PieceContext, nodes: MapNodes) -> list[MarkingError]:
    """Everything that may be set wrong on a piece and moves a corner of its flat map.

    Errors come in the order in which the marks are made.
    """
    found = [*_sheet_size_errors(context, nodes), *_mark_errors(context, nodes)]
    return [error for error in found if np.any(error.moves)][:MAX_MARKING_ERRORS]


def _sheet_size_errors(context: PieceContext, nodes: MapNodes) -> Iterator[MarkingError]:
    """A sheet cut too wide or high: its far edge moves, and every mark that is measured from there."""
    if not context.info.is_cut_by_size:
        return
    state = context.plan.states[context.info.id][0][1]
    info, (wide, high) = context.info, (float(state.width), float(state.height))
    for axis, kind, size, (a, b) in (("x", "width", state.width, ((wide, 0.0), (wide, high))),
                                     ("y", "height", state.height, ((wide, high), (0.0, high)))):
        moves = -nodes.moves(np.array(a), np.array(b))      # to the left of these ways lies the paper
        for mark in context.state.marks:
            if mark.axis == axis and not _measured_from_origin(mark) and not mark.kind.is_hole:
                moves = np.where(np.any(moves, axis=1)[:, None], moves, _corner_moves(mark, nodes))
        yield MarkingError(kind, info.id, info.act, info.step, 0, info.name, info.span, size, "", moves)


def _measured_from_origin(mark: Mark) -> bool:
    return abs(float(_known(mark.place)) - float(_position(mark))) <= SAME_LINE_TOLERANCE


def _position(mark: Mark) -> Quantity:
    """What the reader sets: every mark that lies along an axis has one."""
    return _known(mark.position)


def _known(quantity: Quantity | None) -> Quantity:
    if quantity is None:
        raise ValueError("a mark along an axis has a place and a position")
    return quantity


def _corner_moves(mark: Mark, nodes: MapNodes) -> FloatArray:
    """How corners go when a mark lies one millimetre farther along its axis."""
    start, end = (np.array(floats(p)) for p in (mark.whole[0].start, mark.whole[-1].end))
    result = nodes.moves(start, end)
    step = end - start
    normal = np.array((-step[1], step[0]))
    return result if mark.axis is None or normal[0 if mark.axis == "x" else 1] > 0 else -result


def _mark_errors(context: PieceContext, nodes: MapNodes) -> Iterator[MarkingError]:
    seen: list[tuple[str, float]] = []
    rows: dict[int, list[tuple[Mark, FloatArray]]] = {}
    for mark in context.state.marks:
        if mark.kind.is_hole or not mark.runs or not all(isinstance(run, Line) for run in mark.whole):
            continue
        if mark.axis is None:
            yield from _net_panel_error(context, mark, nodes)
            continue
        place = (mark.axis, float(_known(mark.place)))
        if any(axis == place[0] and abs(at - place[1]) <= SAME_LINE_TOLERANCE for axis, at in seen):
            continue        # made along a line that is there already
        seen.append(place)
        moves = _corner_moves(mark, nodes) * (1.0 if _measured_from_origin(mark) else -1.0)
        rows.setdefault(mark.act, []).append((mark, moves))
        yield _marking_error("mark", mark, mark.index, mark.position, moves)
    for row in rows.values():
        yield from _row_error(row)


def _marking_error(kind: str, mark: Mark, index: int, size: Quantity | None, moves: FloatArray,
                   last: Quantity | None = None) -> MarkingError:
    return MarkingError(kind, mark.piece, mark.act, mark.step, index, mark.name or mark.verb, mark.span, size,
                        str(mark.measured_from) if mark.measured_from else "", moves, last, mark.count)


def _row_error(row: Sequence[tuple[Mark, FloatArray]]) -> Iterator[MarkingError]:
    """Evenly spaced marks whose step is set wrong each time, so that the error adds up."""
    if len(row) < MIN_ROW_MARKS or any(mark.kind.is_tick for mark, _ in row):
        return
    places = np.array([float(_position(mark)) for mark, _ in row])
    if np.ptp(np.diff(places)) <= SAME_LINE_TOLERANCE:
        first = row[0][0]
        moves = sum((k * each for k, (_, each) in enumerate(row, start=1)), np.zeros_like(row[0][1]))
        step = _position(row[1][0]) - _position(first)
        yield _marking_error("row", first, 0, step, moves, row[-1][0].position)


def _net_panel_error(context: PieceContext, mark: Mark, nodes: MapNodes) -> Iterator[MarkingError]:
    """A panel of a net whose score is off: the panel comes out too shallow, its neighbour too deep."""
    face = next((f for f in context.state.faces if f.act == mark.act and f.index == mark.index
                 and 0 in f.joined), None)
    if face is not None:
        yield _marking_error("panel", mark, mark.index, _panel_depth(face), -_corner_moves(mark, nodes))


def _panel_depth(face: Face) -> Quantity:
    """How far a panel of a net reaches from the score it hangs on."""
    xy = np.array([floats(s.start) for s in face.outline])
    step = (xy[1] - xy[0]) / np.hypot(*(xy[1] - xy[0]))
    far = float(np.abs((xy - xy[0]) @ np.array((-step[1], step[0]))).max())
    known = next((q for q in face.lengths[1:2] if abs(float(q) - far) <= SAME_LINE_TOLERANCE), None)
    return known if known is not None else Quantity(far, 1)
