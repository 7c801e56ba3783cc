"""Triangles that follow scores, edges and mirror lines: lines in, mesh out. mm in the flat plan."""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely
from shapely import Polygon

from generator.dataclass import dataclass
from generator.geometry.arrays import FloatArray, IntArray, ReadOnlyArrays
from generator.geometry.noding import Edge, PointIndex, bounded_cells, network
from generator.geometry.tolerances import MIN_CELL_AREA, POINT_TOLERANCE

CORNER_COSINE = 0.5        # cosine; a line that turns by more than 60° has a corner there
LINE_CLEARANCE = 0.6         # sizes; points within the paper keep so far from lines
MIN_STEP_SHARE = 0.5         # sizes; a last step shorter than this is joined to the one before
MAX_REFINEMENTS = 8          # of putting further points on lines that the triangles do not follow yet
MAX_POINTS = 600
FOCUS_RINGS = 0.25, 0.5, 1.0       # sizes; radii of the arcs round a point of focus
FOCUS_DIRECTIONS = 32             # directions round it, in which paper may bend like a cone
FOCUS_CLEARANCE = 1.4           # of the largest radius; no other points lie so near
COORDINATE_DIGITS = 7          # behind the point of a millimetre
MIN_TRIANGLE_HEIGHT = 1e-5         # mm; a triangle that is no higher is none
POINT_SPACING = 2 * POINT_TOLERANCE   # mm; points closer than this are one


class MeshTooLarge(ValueError):
    """The mesh would have more points than anybody waits for."""


@dataclass(frozen=True, slots=True, eq=False)
class LineChain(ReadOnlyArrays):
    """A line between two junctions: dense ``points`` (n × 2) and the ``kinds`` of lines it is part of."""

    points: FloatArray
    kinds: frozenset[str]

    @property
    def length(self) -> float:
        """Along all its points, in mm."""
        return float(np.hypot(*np.diff(self.points, axis=0).T).sum())


@dataclass(frozen=True, slots=True, eq=False)
class MeshLayout:
    """An area cut up by lines: its chains, and the cells between them as polygons."""

    chains: tuple[LineChain, ...]
    cells: tuple[Polygon, ...]


@dataclass(frozen=True, slots=True, eq=False)
class TriangleMesh(ReadOnlyArrays):
    """``flat`` (n × 2), ``triangles`` (m × 3, counter-clockwise), the ``cell`` of each (m).

    ``chains`` are the vertices of each line.
    """

    flat: FloatArray
    triangles: IntArray
    cell: IntArray
    rows: tuple[tuple[int, ...], ...]
    kinds: tuple[frozenset[str], ...]

    def on(self, kind: str) -> tuple[tuple[int, ...], ...]:
        """The rows of vertices along the lines of one kind."""
        return tuple(row for row, kinds in zip(self.rows, self.kinds, strict=True) if kind in kinds)

    def vertices_on(self, kind: str) -> frozenset[int]:
        """The vertices on all lines of a kind."""
        return frozenset(v for row in self.on(kind) for v in row)


def mesh_layout(area: Polygon, lines: Sequence[tuple[FloatArray, str]]) -> MeshLayout:
    """Cut an area up by lines (points with their kind); what lies outside is left out."""
    net = network(lines)
    inside = area.buffer(POINT_SPACING)
    edges: dict[Edge, frozenset[str]] = {edge: kinds for edge, kinds in net.edges.items()
                                         if inside.covers(shapely.linestrings(net.nodes[list(edge)]))}
    if not edges:
        return MeshLayout((), ())
    cells = [cell for cell in bounded_cells(net.nodes, edges, MIN_CELL_AREA)
             if area.contains(cell.representative_point())]
    return MeshLayout(tuple(LineChain(net.nodes[list(trail)], frozenset(kinds)) for trail,
                            kinds in _trails(net.nodes, edges)), tuple(cells))


def _trails(nodes: FloatArray,
            edges: Mapping[Edge, frozenset[str]]) -> Iterator[tuple[list[int], frozenset[str]]]:
    """Rows of nodes between junctions: where lines meet, change their kind or turn a corner."""
    around: dict[int, list[int]] = defaultdict(list)
    for a, b in edges:
        around[a].append(b)
        around[b].append(a)

    def kinds(a: int, b: int) -> frozenset[str]:
        return edges[min(a, b), max(a, b)]

    def goes_on(n: int) -> bool:
        if len(around[n]) != 2 or kinds(n, around[n][0]) != kinds(n, around[n][1]):
            return False
        u, v = nodes[n] - nodes[around[n][0]], nodes[around[n][1]] - nodes[n]
        return float(u @ v) > CORNER_COSINE * float(np.hypot(*u) * np.hypot(*v))

    used: set[tuple[int, int]] = set()
    ends = [n for n in sorted(around) if not goes_on(n)]
    for start in (*ends, *sorted(around)):
        for nxt in around[start]:
            if (min(start, nxt), max(start, nxt)) in used:
                continue
            trail = [start, nxt]
            used.add((min(start, nxt), max(start, nxt)))
            while goes_on(trail[-1]) and trail[-1] != start:
                step = next(n for n in around[trail[-1]] if n != trail[-2])
                used.add((min(trail[-1], step), max(trail[-1], step)))
                trail.append(step)
            yield trail, kinds(start, nxt)


def triangulated(plan: MeshLayout, size: float, focus: FloatArray | None = None) -> TriangleMesh:
    """Triangles about ``size`` mm wide. Raises :class:`MeshTooLarge`, also where lines run too close.

    Round the ``focus`` (2), a junction of lines where paper bends like a cone, they are a fan.
    """
    trails = [_chain_places(chain, size) for chain in plan.chains]
    inner = _grid_points(plan, size)
    if focus is not None:
        radii = np.array(FOCUS_RINGS) * size
        trails = [_focused_places(chain, places, focus, radii)
                  for chain, places in zip(plan.chains, trails, strict=True)]
        far = np.hypot(*(inner - focus).T) > FOCUS_CLEARANCE * radii[-1]
        inner = np.concatenate([inner[far], _fan_points(plan, focus, radii)])
    for _ in range(MAX_REFINEMENTS):
        points, rows = _numbered(plan, trails, inner)
        if len(points) > MAX_POINTS:
            raise MeshTooLarge
        triangles = _delaunay(points)
        missing = _missing_edges(rows, triangles)
        if not missing:
            break
        for k, place in missing:
            trails[k] = np.insert(trails[k], place + 1, (trails[k][place] + trails[k][place + 1]) / 2)
    else:
        raise MeshTooLarge
    inside, cell = _triangles_in_cells(points, triangles, plan.cells)
    return TriangleMesh(points, inside, cell, rows, tuple(c.kinds for c in plan.chains))


def _chain_places(chain: LineChain, size: float) -> FloatArray:
    """Places along a chain, in mm from its start.

    They are whole sizes from either end, so that lines which meet at a small angle
    have their points side by side.
    """
    half = chain.length / 2
    steps = np.arange(1, int(half / size + 1e-9) + 1) * size
    steps = steps[steps < half - MIN_STEP_SHARE * size / 2]
    places = np.concatenate([[0.0], steps, 2 * half - steps[::-1], [2 * half]])
    gap = 2 * half - 2 * (steps[-1] if len(steps) else 0.0)
    return np.insert(places, len(steps) + 1, half) if gap > 1.5 * size else places


def _chain_points(chain: LineChain, places: FloatArray) -> FloatArray:
    way = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(chain.points, axis=0).T))])
    return np.stack([np.interp(places, way, chain.points[:, k]) for k in (0, 1)], axis=1)


def _grid_points(plan: MeshLayout, size: float) -> FloatArray:
    """Points of a grid of equal triangles that keep clear of all lines."""
    if not plan.cells:
        return np.zeros((0, 2))
    left, low, right, high = shapely.total_bounds(np.array(plan.cells, dtype=object))
    rise = size * np.sqrt(3) / 2
    if (right - left) * (high - low) > 4 * MAX_POINTS * size * rise:
        raise MeshTooLarge
    rows = np.arange(low + rise / 2, high, rise)
    grid = [(x, y) for k,
            y in enumerate(rows) for x in np.arange(left + (size / 2 if k % 2 else 0.0), right, size)]
    return _clear_points(plan, np.array(grid), LINE_CLEARANCE * size)


def _focused_places(chain: LineChain, places: FloatArray, focus: FloatArray, radii: FloatArray) -> FloatArray:
    """The places along a chain with those where it leaves the focus, or comes to it, on the arcs."""
    length = float(places[-1])
    near = radii[radii < length / 2]
    if not len(near):
        return places
    clear = FOCUS_CLEARANCE * near[-1]
    if np.hypot(*(chain.points[0] - focus)) < POINT_SPACING:
        return np.concatenate([[0.0], near, places[places > clear]])
    if np.hypot(*(chain.points[-1] - focus)) < POINT_SPACING:
        return np.concatenate([places[places < length - clear], (length - near)[::-1], [length]])
    return places


def _fan_points(plan: MeshLayout, focus: FloatArray, radii: FloatArray) -> FloatArray:
    """Points on arcs round the focus that keep clear of all lines; every second arc is turned a little."""
    step = 2 * np.pi / FOCUS_DIRECTIONS
    result = []
    for k, radius in enumerate(radii):
        angles = step * (np.arange(FOCUS_DIRECTIONS) + k % 2 / 2)
        points = focus + radius * np.column_stack([np.cos(angles), np.sin(angles)])
        result.append(_clear_points(plan, points, radius * step / 2))
    return np.concatenate(result)


def _clear_points(plan: MeshLayout, points: FloatArray, clearance: float) -> FloatArray:
    """Those of some points (n × 2) that lie in a cell, and farther from all lines than the clearance."""
    lines = shapely.union_all([shapely.LineString(c.points) for c in plan.chains])
    spots = np.asarray(shapely.points(points))
    keep = np.asarray(shapely.contains(shapely.union_all(np.array(plan.cells, dtype=object)), spots))
    keep[keep] = shapely.distance(lines, spots[keep]) > clearance
    result: FloatArray = points[keep].reshape(-1, 2)
    return result


def _numbered(plan: MeshLayout, trails: Sequence[FloatArray],
              inner: FloatArray) -> tuple[FloatArray, tuple[tuple[int, ...], ...]]:
    points = PointIndex(POINT_SPACING)
    rows = tuple(tuple(points.number(p) for p in _chain_points(chain, trail)) for chain,
                 trail in zip(plan.chains, trails, strict=True))
    for point in inner:
        points.number(point)
    # what lies on an edge must do so exactly, or no triangle reaches it
    return np.round(np.array(points.points).reshape(-1, 2), COORDINATE_DIGITS), rows


def _delaunay(points: FloatArray) -> IntArray:
    """Delaunay's triangles as rows of vertex numbers, counter-clockwise."""
    triangulation = shapely.delaunay_triangles(shapely.multipoints(points))
    corners = shapely.get_coordinates(triangulation).reshape(-1, 4, 2)[:, :3]
    known = {tuple(p): k for k, p in enumerate(points.tolist())}
    rows = np.array([[known[tuple(c)] for c in triangle] for triangle in corners.tolist()],
                    int).reshape(-1, 3)
    longest = np.max([np.hypot(*(points[rows[:, k]] - points[rows[:, k - 1]]).T) for k in range(3)], axis=0)
    # points along an edge are not quite in line
    rows = rows[np.abs(doubled_areas(points, rows)) > MIN_TRIANGLE_HEIGHT * longest]
    return counter_clockwise(points, rows)


def doubled_areas(points: FloatArray, triangles: IntArray) -> FloatArray:
    """Twice the areas of triangles of the plane, positive where they turn counter-clockwise."""
    a, b, c = (points[triangles[:, k]] for k in range(3))
    return (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]


def counter_clockwise(points: FloatArray, triangles: IntArray) -> IntArray:
    """The triangles (m × 3) with those that turn clockwise turned round."""
    clockwise = doubled_areas(points, triangles) < 0
    result: IntArray = np.where(clockwise[:, None], triangles[:, ::-1], triangles)
    return result


def _missing_edges(rows: Sequence[Sequence[int]], triangles: IntArray) -> list[tuple[int, int]]:
    """(chain, place) of steps that no triangle has for an edge, the last of each chain first."""
    edges = {(min(a, b), max(a, b)) for t in triangles.tolist() for a,
             b in ((t[0], t[1]), (t[1], t[2]), (t[2], t[0]))}
    return [(k, place) for k, row in enumerate(rows) for place in reversed(range(len(row) - 1))
            if (min(row[place], row[place + 1]), max(row[place], row[place + 1])) not in edges]


def _triangles_in_cells(points: FloatArray, triangles: IntArray,
                        cells: Sequence[Polygon]) -> tuple[IntArray, IntArray]:
    """The triangles that lie in a cell, and the number of it."""
    middles = shapely.points(points[triangles].mean(axis=1))
    found = np.full(len(triangles), -1)
    for k, cell in enumerate(cells):
        found[shapely.contains(cell, middles)] = k
    return triangles[found >= 0], found[found >= 0]
