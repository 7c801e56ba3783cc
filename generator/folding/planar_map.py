"""The planar map of a piece: from outline, cuts and folds to flat panels and the hinges between them."""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from generator.findings import Finding, Span, finding
from generator.folding.plan_lines import LineOrigin, mark_name, plan_lines
from generator.folding.records import Bend, FlatMap, FreeEdge, Hinge, Panel
from generator.folding.unfolded_scores import CellsBeside, unfolded_scores
from generator.geometry.arrays import FloatArray
from generator.geometry.noding import DisjointSets, Edge, Network, bounded_cells, network
from generator.geometry.strokes import ring_points
from generator.geometry.ties import first_largest
from generator.geometry.tolerances import CHORD_TOLERANCE, MIN_CELL_AREA, POINT_TOLERANCE
from generator.paper.records import Fold, FoldDirection, PieceInfo, PieceState

ROUNDING_OFFSET = 0.00137     # mm; no measure of either system lies so, on the edge between two hundredths


def flat_map(info: PieceInfo, state: PieceState) -> FlatMap:
    """The panels and hinges of a piece in its last state, and what is wrong with its lines."""
    return _MapBuilder(info, state).map()


class _MapBuilder:
    """Works out one map; the lines are noded once and every question is asked of the edges."""

    def __init__(self, info: PieceInfo, state: PieceState) -> None:
        self.info, self.state = info, state
        self.marks = {mark.id: mark for mark in state.marks}
        self.net = network(plan_lines(state))
        self.cells = _cells(self.net, state)
        self.beside = self._beside()
        self.soft = {c for edge, cells in self.beside.items() for c in cells if self._is_curved_fold(edge)}
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

    def _beside(self) -> dict[Edge, list[int]]:
        """Edge → the cells on its two sides."""
        place = {tuple(p): k for k, p in enumerate(self.net.nodes)}
        found: dict[Edge, list[int]] = defaultdict(list)
        for k, cell in enumerate(self.cells):
            for ring in (cell.exterior, *cell.interiors):
                nodes = [place[xy] for xy in ring.coords]
                for a, b in zip(nodes, nodes[1:], strict=False):
                    found[min(a, b), max(a, b)].append(k)
        return found

    def _kinds(self, edge: Edge) -> set[str]:
        return {origin.kind for origin in self.net.edges[edge]}

    def _is_curved_fold(self, edge: Edge) -> bool:
        return any(o.kind == "fold" and o.curved for o in self.net.edges[edge])

    def _is_open(self, edge: Edge) -> bool:
        """True where the paper goes on flat across an edge: a score that is not folded."""
        return not self._kinds(edge) & {"rim", "cut", "fold"}

    def _merged(self) -> dict[int, int]:
        """Cell → the first cell of its panel: cells joined across scores that are not folded."""
        sets = DisjointSets(len(self.cells))
        for edge, cells in self.beside.items():
            if len(cells) == 2 and self._is_open(edge) and not self.soft & set(cells):
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
        rows: dict[tuple[int, int, int, float, float, float], list[Edge]] = defaultdict(list)
        for edge, cells in self.beside.items():
            kinds = self._kinds(edge)
            if len(cells) != 2 or "fold" not in kinds or kinds & {"rim", "cut"} or self.soft & set(cells):
                continue
            one, other = sorted(number[self.panel_of[c]] for c in cells)
            if one != other:
                marks = min(self.state.folds[o.which].mark for o in self.net.edges[edge] if o.kind == "fold")
                rows[one, other, marks, *self._line_of(edge)].append(edge)
        result: list[Hinge] = []
        for (one, other, mark, *_), edges in sorted(rows.items(), key=lambda row: row[0]):
            result.append(self._hinge(len(result), one, other, mark, edges, number))
        return tuple(result)

    def _line_of(self, edge: Edge) -> tuple[float, float, float]:
        """Direction and distance of an edge's line, rounded so that edges of one line agree."""
        (ax, ay), (bx, by) = self.net.nodes[edge[0]], self.net.nodes[edge[1]]
        angle = np.arctan2(by - ay, bx - ax) % np.pi
        angle = 0.0 if np.pi - angle < 1e-4 else angle
        return round(float(angle), 3), round(float(ay * np.cos(angle) - ax * np.sin(angle)) + ROUNDING_OFFSET,
                                             2), 0.0

    def _hinge(self, ident: int, one: int, other: int, mark: int, edges: Sequence[Edge],
               number: dict[int, int]) -> Hinge:
        points = self.net.nodes[sorted({n for edge in edges for n in edge})]
        step = points[-1] - points[0] if len(points) == 2 else _farthest_step(points)
        order = np.argsort(points @ step)
        start, end = points[order[0]], points[order[-1]]
        left = self._left_cell(edges[0], end - start)
        panels = (number[self.panel_of[left]],)
        right = other if panels[0] == one else one
        folds = sorted({o.which for edge in edges for o in self.net.edges[edge] if o.kind == "fold"})
        return Hinge(ident, panels[0], right, start, end, mark,
                     tuple(self._bend(self.state.folds[k]) for k in folds))

    def _left_cell(self, edge: Edge, direction: FloatArray) -> int:
        """The cell on the left of an edge travelled along ``direction``."""
        a, b = self.net.nodes[edge[0]], self.net.nodes[edge[1]]
        if (b - a) @ direction < 0:
            a, b = b, a
        return next(c for c in self.beside[edge] if _runs_along(self.cells[c], a, b))

    def _bend(self, fold: Fold) -> Bend:
        towards_viewer = (fold.direction is FoldDirection.MOUNTAIN) == (self.info.up != "printed")
        angle = None if fold.angle is None else float(np.radians(fold.angle))
        return Bend(1 if towards_viewer else -1, angle, fold.step, fold.act, fold.span)

    def _edges(self, number: dict[int, int]) -> tuple[FreeEdge, ...]:
        result = []
        for edge, cells in self.beside.items():
            if not self._kinds(edge) & {"rim", "cut"}:
                continue
            for cell in cells:
                a, b = self.net.nodes[edge[0]], self.net.nodes[edge[1]]
                if not _runs_along(self.cells[cell], a, b):
                    a, b = b, a
                result.append(FreeEdge(number[self.panel_of[cell]], a, b))
        return tuple(_merged_edges(result))

    def _tips(self) -> tuple[tuple[int, FloatArray], ...]:
        """Ends of cuts that lie within the paper, with the mark that ends there."""
        ends: dict[int, list[Edge]] = defaultdict(list)
        for edge in self.net.edges:
            if self._kinds(edge) & {"rim", "cut"}:
                ends[edge[0]].append(edge)
                ends[edge[1]].append(edge)
        return tuple((o.which, self.net.nodes[node]) for node, edges in ends.items() if len(edges) == 1
                     for o in self.net.edges[edges[0]] if o.kind == "cut")

    def _unfolded(self) -> Iterable[Finding]:
        cells = CellsBeside(self.net, self.beside, frozenset(self.soft))
        return unfolded_scores(self.state, cells)

    # -- what is wrong ----------------------------------------------------

    def _in_parts(self) -> Iterable[Finding]:
        sets = DisjointSets(len(self.cells))
        for edge, cells in self.beside.items():
            if len(cells) == 2 and not self._kinds(edge) & {"rim", "cut"}:
                sets.join(*cells)
        parts = set(sets.roots())
        if len(parts) < 2:
            return
        yield finding("net-parts", self._parting(sets),
                      f"'{self.info.name}' falls into {len(parts)} parts when it is cut",
                      "end a cut earlier, or cut the parts as pieces of their own")

    def _parting(self, sets: DisjointSets) -> Span:
        marks = {o.which for edge, cells in self.beside.items()
                 if len(cells) == 2 and sets.root(cells[0]) != sets.root(cells[1])
                 for o in self.net.edges[edge] if o.kind == "cut"}
        return max((self.marks[m] for m in marks), key=lambda m: m.act).span if marks else self.info.span

    def _ends(self, number: dict[int, int]) -> Iterable[Finding]:
        """Folds with the same panel on both sides: their score stops short."""
        reported: set[int] = set()
        for edge in self.net.edges:
            kinds, cells = self._kinds(edge), self.beside.get(edge, [])
            if "fold" not in kinds or kinds & {"rim", "cut"} or self._is_curved_fold(edge):
                continue
            if len({number[self.panel_of[c]] for c in cells}) == 2 or self.soft & set(cells):
                continue
            if any(o.kind == "fold" and o.curved for end in edge for b in self.net.edges if end in b
                   for o in self.net.edges[b]):
                continue
            fold = self.state.folds[next(o.which for o in self.net.edges[edge] if o.kind == "fold")]
            if fold.act not in reported:
                reported.add(fold.act)
                mark = self.marks[fold.mark]
                yield finding("score-ends", mark.span,
                              f"{mark_name(mark)} ends inside a panel, so the fold of line "
                              f"{fold.span.line} has nowhere to go",
                              "let it run on to an edge, a cut or another fold")


def piece_polygon(state: PieceState) -> BaseGeometry:
    """The area of a piece, its curves replaced by the chords that the map uses."""
    loops = [ring_points((rim.stroke for rim in loop), CHORD_TOLERANCE)
             for loop in (state.outline, *state.holes)]
    result = Polygon(loops[0], loops[1:])
    return result if result.is_valid else shapely.make_valid(result)


def _cells(net: Network[LineOrigin], state: PieceState) -> list[Polygon]:
    found = bounded_cells(net.nodes, net.edges, MIN_CELL_AREA)
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
    result, used = [], set()
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
        result.append(FreeEdge(edge.panel, start, end))
    return result


def _goes_on(edges: list[FreeEdge], edge: FreeEdge) -> bool:
    return any(e.panel == edge.panel and np.array_equal(e.end, edge.start)
               and _is_collinear(e.end - e.start, edge.end - edge.start) for e in edges)


def _is_collinear(u: FloatArray, v: FloatArray) -> bool:
    size = np.hypot(*u) * np.hypot(*v)
    return bool(u @ v > 0 and abs(u[0] * v[1] - u[1] * v[0]) <= POINT_TOLERANCE * size)


def _farthest_step(points: FloatArray) -> FloatArray:
    result: FloatArray = points[first_largest(np.hypot(*(points - points[0]).T))] - points[0]
    return result
