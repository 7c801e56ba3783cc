"""What a hand may set wrong on a piece: one mark a little off, a row whose step is wrong each time, a blank cut too large."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from generator.findings import Span
from generator.folding.case import Case
from generator.folding.nodes import Nodes
from generator.geometry import Line
from generator.paper.records import Face, Mark
from generator.units import Quantity

SAME_LINE = 1e-6    # mm
EVEN = 1e-6         # mm; steps of a row that differ by less are equal
ROW = 3             # marks that make a row
MOST = 240          # slips that are tried on one piece; a plan with more is not made by hand


@dataclass(frozen=True, slots=True, eq=False)
class Slip:
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
    moves: np.ndarray
    last: Quantity | None = None        # of a row: where its last mark lies
    count: int = 1                      # marks that the statement makes

    @property
    def key(self) -> tuple[str, int, int, int]:
        """The same in both editions, which have the same marks."""
        return self.kind, self.piece, self.act, self.index


def slips_of(case: Case, nodes: Nodes) -> list[Slip]:
    """Everything that may be set wrong on a piece and moves a corner of its flat map, in the order in which it is made."""
    found = [*_blank(case, nodes), *_marks(case, nodes)]
    return [slip for slip in found if np.any(slip.moves)][:MOST]


def _blank(case: Case, nodes: Nodes) -> Iterator[Slip]:
    """A sheet cut too wide or too high: its far edge moves, and with it every mark that is measured from there."""
    if case.info.kind != "sheet":
        return
    state = case.plan.states[case.info.id][0][1]
    info, (wide, high) = case.info, (float(state.width), float(state.height))
    for axis, kind, size, (a, b) in (("x", "width", state.width, ((wide, 0.0), (wide, high))),
                                     ("y", "height", state.height, ((wide, high), (0.0, high)))):
        moves = -nodes.moves(np.array(a), np.array(b))      # to the left of these ways lies the paper
        for mark in case.state.marks:
            if mark.axis == axis and not _from_origin(mark) and not mark.kind.is_hole:
                moves = np.where(np.any(moves, axis=1)[:, None], moves, _mark_moves(mark, nodes))
        yield Slip(kind, info.id, info.act, info.step, 0, info.name, info.span, size, "", moves)


def _from_origin(mark: Mark) -> bool:
    return abs(float(mark.place) - float(mark.position)) <= SAME_LINE


def _mark_moves(mark: Mark, nodes: Nodes) -> np.ndarray:
    """How corners go when a mark lies one millimetre farther along its axis."""
    start, end = (np.array((float(p.x), float(p.y))) for p in (mark.whole[0].start, mark.whole[-1].end))
    made = nodes.moves(start, end)
    step = end - start
    normal = np.array((-step[1], step[0]))
    return made if mark.axis is None or normal[0 if mark.axis == "x" else 1] > 0 else -made


def _marks(case: Case, nodes: Nodes) -> Iterator[Slip]:
    seen: list[tuple[str, float]] = []
    rows: dict[int, list[tuple[Mark, np.ndarray]]] = {}
    for mark in case.state.marks:
        if mark.kind.is_hole or not mark.runs or not all(isinstance(run, Line) for run in mark.whole):
            continue
        if mark.axis is None:
            yield from _of_net(case, mark, nodes)
            continue
        place = (mark.axis, float(mark.place))
        if any(axis == place[0] and abs(at - place[1]) <= SAME_LINE for axis, at in seen):
            continue        # made along a line that is there already
        seen.append(place)
        moves = _mark_moves(mark, nodes) * (1.0 if _from_origin(mark) else -1.0)
        rows.setdefault(mark.act, []).append((mark, moves))
        yield _slip("mark", mark, mark.index, mark.position, moves)
    for row in rows.values():
        yield from _row(row)


def _slip(kind: str, mark: Mark, index: int, size: Quantity | None, moves: np.ndarray, last: Quantity | None = None) -> Slip:
    return Slip(kind, mark.piece, mark.act, mark.step, index, mark.name or mark.verb, mark.span, size,
                str(mark.measured_from) if mark.measured_from else "", moves, last, mark.count)


def _row(row: Sequence[tuple[Mark, np.ndarray]]) -> Iterator[Slip]:
    """Evenly spaced marks whose step is set wrong each time, so that the error adds up."""
    if len(row) < ROW or any(mark.kind.is_tick for mark, _ in row):
        return
    places = np.array([float(mark.position) for mark, _ in row])
    if np.ptp(np.diff(places)) <= EVEN:
        first = row[0][0]
        moves = sum((k * each for k, (_, each) in enumerate(row, start=1)), np.zeros_like(row[0][1]))
        step = row[1][0].position - first.position
        yield _slip("row", first, 0, step, moves, row[-1][0].position)


def _of_net(case: Case, mark: Mark, nodes: Nodes) -> Iterator[Slip]:
    """A panel of a net whose score is off: the panel comes out too shallow, its neighbour too deep."""
    face = next((f for f in case.state.faces if f.act == mark.act and f.index == mark.index and 0 in f.joined), None)
    if face is not None:
        yield _slip("panel", mark, mark.index, _depth(face), -_mark_moves(mark, nodes))


def _depth(face: Face) -> Quantity:
    """How far a panel of a net reaches from the score it hangs on."""
    xy = np.array([(float(s.start.x), float(s.start.y)) for s in face.outline])
    step = (xy[1] - xy[0]) / np.hypot(*(xy[1] - xy[0]))
    far = float(np.abs((xy - xy[0]) @ np.array((-step[1], step[0]))).max())
    known = next((q for q in face.lengths[1:2] if abs(float(q) - far) <= SAME_LINE), None)
    return known if known is not None else Quantity(far, 1)
