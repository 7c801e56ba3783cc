"""The planar map of a piece: from outline, cuts and folds to flat panels and the hinges between them."""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from generator.findings import Finding, Span, finding
from generator.folding.noding import DisjointSets, Network, bounded_cells, network
from generator.folding.records import Bend, FlatMap, FreeEdge, Hinge, Panel
from generator.geometry import Line, Stroke
from generator.geometry.arrays import FloatArray
from generator.geometry.ties import first_largest
from generator.geometry.tolerances import CHORD_TOLERANCE, CUT_SNAP_LENGTH, MIN_CELL_AREA, POINT_TOLERANCE
from generator.paper.records import Fold, FoldDirection, Mark, PieceInfo, PieceState

Segment = tuple[int, int]
MIN_FELLOWS = 2               # scores about one panel that one statement folds, so that one more was forgotten
MAX_FLAT_REST = 1.0           # mm; so much of a score may stay flat at its ends, where a stylus is lifted
ROUNDING_OFFSET = 0.00137     # mm; no measure of either system lies so, on the edge between two hundredths


@dataclass(frozen=True, slots=True)
class _LineOrigin:
    """Where a line of the plan comes from: ``kind`` is "rim", "cut", "score" or "fold".

    ``which`` a mark or a fold.
    """

    kind: str
    which: int
    curved: bool = False


def flat_map(info: PieceInfo, state: PieceState) -> FlatMap:
    """The panels and hinges of a piece in its last state, and what is wrong with its lines."""
    return _MapBuilder(info, state).map()


class _MapBuilder:
    """Works out one map; the lines are noded once and every question is asked of the bits."""

    def __init__(self, info: PieceInfo, state: PieceState) -> None:
        self.info, self.state = info, state
        self.marks = {mark.id: mark for mark in state.marks}
        self.net = network(_lines(state))
        self.cells = _cells(self.net, state)
        self.beside = self._beside()
        self.soft = {c for bit, cells in self.beside.items() for c in cells if self._is_curved_fold(bit)}
        self.panel_of = self._merged()
        self.parts = sorted(set(self.panel_of.values()))

    def map(self) -> FlatMap:
        number = {part: k for k, part in enumerate(self.parts)}
        members = defaultdict(list)
        for cell, part in self.panel_of.items():
            members[number[part]].append(cell)
        panels = tuple(Panel(k, self._united(cells), cells[0] in self.soft) for k,
                       cells in sorted(members.items()))
        hinges = self._hinges(number)
        return FlatMap(self.info.id, panels, hinges, self._edges(number), self._tips(),
                       (*self._in_parts(), *self._ends(number), *self._unfolded()), bool(self.soft))

    # -- cells ------------------------------------------------------------

    def _beside(self) -> dict[Segment, list[int]]:
        """Bit → the cells on its two sides."""
        place = {tuple(p): k for k, p in enumerate(self.net.nodes)}
        found: dict[Segment, list[int]] = defaultdict(list)
        for k, cell in enumerate(self.cells):
            for ring in (cell.exterior, *cell.interiors):
                nodes = [place[xy] for xy in ring.coords]
                for a, b in zip(nodes, nodes[1:], strict=False):
                    found[min(a, b), max(a, b)].append(k)
        return found

    def _kinds(self, bit: Segment) -> set[str]:
        return {origin.kind for origin in self.net.bits[bit]}

    def _is_curved_fold(self, bit: Segment) -> bool:
        return any(o.kind == "fold" and o.curved for o in self.net.bits[bit])

    def _is_open(self, bit: Segment) -> bool:
        """True where the paper goes on flat across a bit: a score that is not folded."""
        return not self._kinds(bit) & {"rim", "cut", "fold"}

    def _merged(self) -> dict[int, int]:
        """Cell → the first cell of its panel: cells joined across scores that are not folded."""
        sets = DisjointSets(len(self.cells))
        for bit, cells in self.beside.items():
            if len(cells) == 2 and self._is_open(bit) and not self.soft & set(cells):
                sets.join(*cells)
        return dict(enumerate(sets.roots()))

    def _united(self, cells: Sequence[int]) -> Polygon:
        if len(cells) == 1:
            return shapely.orient_polygons(self.cells[cells[0]])
        parts = shapely.get_parts(shapely.union_all([self.cells[c] for c in cells])).tolist()
        largest: Polygon = max(parts, key=lambda part: part.area)
        return shapely.orient_polygons(largest)

    # -- hinges and edges -------------------------------------------------

    def _hinges(self, number: dict[int, int]) -> tuple[Hinge, ...]:
        rows: dict[tuple[int, int, int, float, float, float], list[Segment]] = defaultdict(list)
        for bit, cells in self.beside.items():
            kinds = self._kinds(bit)
            if len(cells) != 2 or "fold" not in kinds or kinds & {"rim", "cut"} or self.soft & set(cells):
                continue
            one, other = sorted(number[self.panel_of[c]] for c in cells)
            if one != other:
                marks = min(self.state.folds[o.which].mark for o in self.net.bits[bit] if o.kind == "fold")
                rows[one, other, marks, *self._line_of(bit)].append(bit)
        made: list[Hinge] = []
        for (one, other, mark, *_), bits in sorted(rows.items(), key=lambda row: row[0]):
            made.append(self._hinge(len(made), one, other, mark, bits, number))
        return tuple(made)

    def _line_of(self, bit: Segment) -> tuple[float, float, float]:
        """Direction and distance of the line a bit lies on.

        They are rounded, so that bits of one line are found together.
        """
        (ax, ay), (bx, by) = self.net.nodes[bit[0]], self.net.nodes[bit[1]]
        angle = np.arctan2(by - ay, bx - ax) % np.pi
        angle = 0.0 if np.pi - angle < 1e-4 else angle
        return round(float(angle), 3), round(float(ay * np.cos(angle) - ax * np.sin(angle)) + ROUNDING_OFFSET,
                                             2), 0.0

    def _hinge(self, ident: int, one: int, other: int, mark: int, bits: Sequence[Segment],
               number: dict[int, int]) -> Hinge:
        points = self.net.nodes[sorted({n for bit in bits for n in bit})]
        step = points[-1] - points[0] if len(points) == 2 else _farthest_step(points)
        order = np.argsort(points @ step)
        start, end = points[order[0]], points[order[-1]]
        left = self._left_cell(bits[0], end - start)
        panels = (number[self.panel_of[left]],)
        right = other if panels[0] == one else one
        folds = sorted({o.which for bit in bits for o in self.net.bits[bit] if o.kind == "fold"})
        return Hinge(ident, panels[0], right, start, end, mark,
                     tuple(self._bend(self.state.folds[k]) for k in folds))

    def _left_cell(self, bit: Segment, direction: FloatArray) -> int:
        """The cell on the left of a bit when it is travelled along ``direction``.

        Cells turn counter-clockwise.
        """
        a, b = self.net.nodes[bit[0]], self.net.nodes[bit[1]]
        if (b - a) @ direction < 0:
            a, b = b, a
        return next(c for c in self.beside[bit] if _runs_along(self.cells[c], a, b))

    def _bend(self, fold: Fold) -> Bend:
        towards_viewer = (fold.direction is FoldDirection.MOUNTAIN) == (self.info.up != "printed")
        angle = None if fold.angle is None else float(np.radians(fold.angle))
        return Bend(1 if towards_viewer else -1, angle, fold.step, fold.act, fold.span)

    def _edges(self, number: dict[int, int]) -> tuple[FreeEdge, ...]:
        made = []
        for bit, cells in self.beside.items():
            if not self._kinds(bit) & {"rim", "cut"}:
                continue
            for cell in cells:
                a, b = self.net.nodes[bit[0]], self.net.nodes[bit[1]]
                if not _runs_along(self.cells[cell], a, b):
                    a, b = b, a
                made.append(FreeEdge(number[self.panel_of[cell]], a, b))
        return tuple(_merged_edges(made))

    def _tips(self) -> tuple[tuple[int, FloatArray], ...]:
        """Ends of cuts that lie within the paper, with the mark that ends there."""
        ends: dict[int, list[Segment]] = defaultdict(list)
        for bit in self.net.bits:
            if self._kinds(bit) & {"rim", "cut"}:
                ends[bit[0]].append(bit)
                ends[bit[1]].append(bit)
        return tuple((o.which, self.net.nodes[node]) for node, bits in ends.items() if len(bits) == 1
                     for o in self.net.bits[bits[0]] if o.kind == "cut")

    # -- what is wrong ----------------------------------------------------

    def _in_parts(self) -> Iterable[Finding]:
        sets = DisjointSets(len(self.cells))
        for bit, cells in self.beside.items():
            if len(cells) == 2 and not self._kinds(bit) & {"rim", "cut"}:
                sets.join(*cells)
        parts = set(sets.roots())
        if len(parts) < 2:
            return
        yield finding("net-parts", self._parting(sets),
                      f"'{self.info.name}' falls into {len(parts)} parts when it is cut",
                      "end a cut earlier, or cut the parts as pieces of their own")

    def _parting(self, sets: DisjointSets) -> Span:
        marks = {o.which for bit, cells in self.beside.items()
                 if len(cells) == 2 and sets.root(cells[0]) != sets.root(cells[1])
                 for o in self.net.bits[bit] if o.kind == "cut"}
        return max((self.marks[m] for m in marks), key=lambda m: m.act).span if marks else self.info.span

    def _ends(self, number: dict[int, int]) -> Iterable[Finding]:
        """Folds with the same panel on both sides: their score stops short."""
        told: set[int] = set()
        for bit in self.net.bits:
            kinds, cells = self._kinds(bit), self.beside.get(bit, [])
            if "fold" not in kinds or kinds & {"rim", "cut"} or self._is_curved_fold(bit):
                continue
            if len({number[self.panel_of[c]] for c in cells}) == 2 or self.soft & set(cells):
                continue
            if any(o.kind == "fold" and o.curved for end in bit for b in self.net.bits if end in b
                   for o in self.net.bits[b]):
                continue
            fold = self.state.folds[next(o.which for o in self.net.bits[bit] if o.kind == "fold")]
            if fold.act not in told:
                told.add(fold.act)
                mark = self.marks[fold.mark]
                yield finding("score-ends", mark.span,
                              f"{_mark_name(mark)} ends inside a panel, so the fold of line "
                              f"{fold.span.line} has nowhere to go",
                              "let it run on to an edge, a cut or another fold")

    def _unfolded(self) -> Iterable[Finding]:
        """Scores that stay flat, whole or in part; where their fellows are folded that fold is at fault."""
        if not self.state.folds:
            return
        flat = self._flat_bits()
        folded = {fold.mark for fold in self.state.folds}
        told: set[int] = set()
        for mark in sorted((self.marks[m] for m in flat), key=lambda m: m.id):
            rest = sum(float(np.hypot(*(self.net.nodes[b] - self.net.nodes[a]))) for a, b in flat[mark.id])
            fold = self._fold_at_fault(mark, flat[mark.id])
            if mark.id in folded and rest <= MAX_FLAT_REST or (fold.act if fold else mark.act) in told:
                continue
            told.add(fold.act if fold else mark.act)
            if fold is None:
                yield finding("score-unfolded", mark.span, f"{_mark_name(mark)} is never folded",
                              "fold it, leave it out, or say keep=flat where it only guides the eye")
            else:
                part = "a part of " if mark.id in folded else ""
                yield finding("score-unfolded", fold.span, f"this fold leaves {part}{_mark_name(mark)} flat",
                              "fold all of it, or end the score where its fold ends")

    def _flat_bits(self) -> dict[int, list[Segment]]:
        """Score → the bits of it that are never folded, with paper on both sides."""
        rest: dict[int, list[Segment]] = defaultdict(list)
        rows = {self.marks[fold.mark].act for fold in self.state.folds}
        for bit, cells in self.beside.items():
            if len(cells) < 2 or not self._is_open(bit):
                continue
            for which in {o.which for o in self.net.bits[bit] if o.kind == "score"}:
                mark = self.marks[which]
                # paper beside a curve gives, so a line there that nobody folds is no mistake
                gives = mark.act not in rows and self.soft & set(cells)
                if mark.kind.must_fold and not mark.stays_flat and not gives:
                    rest[which].append(bit)
        return rest

    def _fold_at_fault(self, mark: Mark, bits: Sequence[Segment]) -> Fold | None:
        """The last fold that folds its fellows there where a score stays flat, or else the score itself elsewhere.

        Fellows are the scores of the same row, or those that bound a panel with it and are folded together.
        """
        at = [_share_along(mark, self.net.nodes[list(bit)].mean(axis=0)) for bit in bits]
        row = [f for f in self.state.folds if self.marks[f.mark].act == mark.act]
        same = [f for f in row if f.mark != mark.id and any(
            low <= share <= high for low, high in _shares(self.marks[f.mark], f) for share in at)]
        if same or row:
            return (same or [f for f in row if f.mark == mark.id] or row)[-1]
        cells = {cell for bit in bits for cell in self.beside[bit]}
        beside = {o.which for bit, own in self.beside.items() if cells & set(own)
                  for o in self.net.bits[bit] if o.kind == "fold"}
        found = [self.state.folds[k] for k in sorted(beside)]
        together = [f for f in found if sum(other.act == f.act for other in found) >= MIN_FELLOWS]
        return together[-1] if together else None


def _share_along(mark: Mark, point: FloatArray) -> float:
    """How far along a mark a point lies, from 0 to 1."""
    line = shapely.LineString(np.concatenate([_points(stroke) for stroke in mark.whole]))
    return float(line.project(shapely.Point(point), normalized=True))


def _shares(mark: Mark, fold: Fold) -> list[tuple[float, float]]:
    """From where to where along its mark a fold runs, from 0 to 1."""
    return [(min(ends), max(ends)) for run in fold.runs
            for ends in [[_share_along(mark, point) for point in _points(run)[[0, -1]]]]]


def piece_polygon(state: PieceState) -> BaseGeometry:
    """The area of a piece, its curves replaced by the chords that the map uses."""
    loops = [[xy for rim in loop for xy in _points(rim.stroke)[:-1]]
             for loop in (state.outline, *state.holes)]
    made = Polygon(loops[0], loops[1:])
    return made if made.is_valid else shapely.make_valid(made)


def points_of(strokes: Iterable[Stroke]) -> FloatArray:
    """The corners of a closed row of strokes, curves as chords."""
    return np.concatenate([_points(stroke)[:-1] for stroke in strokes])


def _mark_name(mark: Mark) -> str:
    name = f"the {mark.verb} '{mark.name}'" if mark.name else f"this {mark.verb}"
    return name + (f", number {mark.index} of {mark.count}," if mark.count > 1 else "")


def _points(stroke: Stroke) -> FloatArray:
    return np.array([(float(p.x), float(p.y)) for p in stroke.flattened(CHORD_TOLERANCE)])


def _lines(state: PieceState) -> list[tuple[FloatArray, _LineOrigin]]:
    lines = [(_points(rim.stroke), _LineOrigin("rim", k)) for k, rim in
             enumerate(rim for loop in (state.outline, *state.holes) for rim in loop)]
    for mark in state.marks:
        if mark.kind.is_line:
            kind = "score" if mark.kind.folds else "cut"
            lines += [(_points(run), _LineOrigin(kind, mark.id, not isinstance(run, Line)))
                      for run in mark.runs]
    folds = [(_points(run), _LineOrigin("fold", k, not isinstance(run, Line))) for k,
             fold in enumerate(state.folds)
             for run in fold.runs]
    straight = [shapely.LineString(points) for points, origin in folds if not origin.curved]
    return [(_snapped_to_fold(points, straight) if origin.kind == "cut" else points, origin) for points,
            origin in lines] + folds


def _snapped_to_fold(points: FloatArray, folds: Sequence[shapely.LineString]) -> FloatArray:
    """A cut that stops a hair before a fold, led on to it: paper gives so much, and authors are told to."""
    for end, before in ((0, 1), (-1, -2)):
        step = points[end] - points[before]
        on = shapely.linestrings([points[end], points[end] + CUT_SNAP_LENGTH * step / np.hypot(*step)])
        if any(fold.distance(shapely.Point(points[end])) <= POINT_TOLERANCE for fold in folds):
            continue
        met = [on.intersection(fold) for fold in folds if on.intersects(fold)]
        spots = [np.asarray(m.coords[0]) for m in met if m.geom_type == "Point"]
        if spots:
            points = points.copy()
            points[end] = min(spots, key=lambda spot: np.hypot(*(spot - points[end])))
    return points


def _cells(net: Network[_LineOrigin], state: PieceState) -> list[Polygon]:
    found = bounded_cells(net.nodes, net.bits, MIN_CELL_AREA)
    area = piece_polygon(state)
    shapely.prepare(area)
    inside = shapely.contains(area, shapely.point_on_surface(found))
    return [cell for cell, within in zip(found, inside, strict=True) if within]


def _runs_along(cell: Polygon, a: FloatArray, b: FloatArray) -> bool:
    """Whether a cell's edge runs from a to b, the cell lying on its left."""
    for ring in (cell.exterior, *cell.interiors):
        xy = np.asarray(ring.coords)
        if np.any(np.all(xy[:-1] == a, axis=1) & np.all(xy[1:] == b, axis=1)):
            return True
    return False


def _merged_edges(edges: list[FreeEdge]) -> list[FreeEdge]:
    """Straight edges of one panel that go on in each other, made one."""
    follows = {(e.panel, tuple(e.start)): e for e in edges}
    before = {(e.panel, tuple(e.end)) for e in edges}
    made, used = [], set()
    heads = [e for e in edges if (e.panel, tuple(e.start)) not in before or not _goes_on(edges, e)]
    for edge in (*heads, *edges):
        if id(edge) in used:
            continue
        used.add(id(edge))
        start, end = edge.start, edge.end
        while (nxt := follows.get((edge.panel, tuple(end)))) is not None and id(nxt) not in used \
                and _is_collinear(end - start, nxt.end - nxt.start):
            used.add(id(nxt))
            end = nxt.end
        made.append(FreeEdge(edge.panel, start, end))
    return made


def _goes_on(edges: list[FreeEdge], edge: FreeEdge) -> bool:
    return any(e.panel == edge.panel and np.array_equal(e.end, edge.start)
               and _is_collinear(e.end - e.start, edge.end - edge.start) for e in edges)


def _is_collinear(u: FloatArray, v: FloatArray) -> bool:
    size = np.hypot(*u) * np.hypot(*v)
    return bool(u @ v > 0 and abs(u[0] * v[1] - u[1] * v[0]) <= POINT_TOLERANCE * size)


def _farthest_step(points: FloatArray) -> FloatArray:
    result: FloatArray = points[first_largest(np.hypot(*(points - points[0]).T))] - points[0]
    return result
