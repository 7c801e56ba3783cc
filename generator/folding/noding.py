"""Lines of a flat plan split where they meet, each bit knowing which lines it is part of."""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

import numpy as np
import shapely
from shapely import Polygon

from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import POINT_TOLERANCE

Origin = TypeVar("Origin", bound=Hashable)


@dataclass(frozen=True, slots=True)
class Network(Generic[Origin]):
    """``nodes`` (n × 2) and the bits between them: (node, node), the smaller first → where it comes from."""

    nodes: FloatArray
    bits: Mapping[tuple[int, int], frozenset[Origin]]


def network(lines: Sequence[tuple[FloatArray, Origin]]) -> Network[Origin]:
    """Split polylines (each an array n × 2 with its origin) at every point where they meet, cross or overlap.

    The geometry library forgets where a line came from when it nodes lines, so
    the splitting is done here, and only the search for neighbours there.
    """
    starts = np.concatenate([line[:-1] for line, _ in lines])
    ends = np.concatenate([line[1:] for line, _ in lines])
    origins = [origin for line, origin in lines for _ in range(len(line) - 1)]
    splits = _splits(starts, ends)
    nodes = _NodeIndex()
    bits: dict[tuple[int, int], set[Origin]] = defaultdict(set)
    for k in np.lexsort((np.arange(len(starts)),)):     # the ends of lines first, so that crossings join them
        nodes.at(starts[k]), nodes.at(ends[k])
    for k, origin in enumerate(origins):
        trail = [nodes.at(p) for _, p in sorted([(0.0, starts[k]), (1.0, ends[k]), *splits.get(k, ())],
                                                key=lambda s: s[0])]
        for a, b in zip(trail, trail[1:], strict=False):
            if a != b:
                bits[min(a, b), max(a, b)].add(origin)
    return Network(np.array(nodes.points), {bit: frozenset(found) for bit, found in bits.items()})


def bounded_cells(nodes: FloatArray, bits: Iterable[tuple[int, int]], least: float) -> list[Polygon]:
    """The areas that bits enclose and that are larger than ``least`` (mm²), counter-clockwise."""
    lines = [shapely.LineString(nodes[list(bit)]) for bit in bits]
    found = shapely.polygonize(lines).geoms
    return [shapely.orient_polygons(cell) for cell in found
            if isinstance(cell, Polygon) and cell.area > least]


def _splits(starts: FloatArray, ends: FloatArray) -> dict[int, list[tuple[float, FloatArray]]]:
    """Segment → (share of the way, point) of every place where another one touches or crosses it."""
    shapes = np.asarray(shapely.linestrings(np.stack([starts, ends], axis=1)))
    first, second = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=POINT_TOLERANCE)
    first, second = first[first < second], second[first < second]
    found: dict[int, list[tuple[float, FloatArray]]] = defaultdict(list)
    for one, other in ((first, second), (second, first)):
        for tips in (starts, ends):
            share, near = _projected(starts[one], ends[one], tips[other])
            for k in np.flatnonzero(near):
                found[int(one[k])].append((float(share[k]), tips[other[k]]))
    _crossings(starts, ends, first, second, found)
    return found


def _projected(a: FloatArray, b: FloatArray, p: FloatArray) -> tuple[FloatArray, FloatArray]:
    """How far along a–b the points p lie (0 to 1), and which of them lie on it."""
    step = b - a
    square = np.maximum((step ** 2).sum(axis=1), POINT_TOLERANCE ** 2)
    share = np.clip(((p - a) * step).sum(axis=1) / square, 0, 1)
    return share, np.hypot(*(a + share[:, None] * step - p).T) <= POINT_TOLERANCE


def _crossings(starts: FloatArray, ends: FloatArray, first: FloatArray, second: FloatArray,
               found: dict[int, list[tuple[float, FloatArray]]]) -> None:
    u, v, w = ends[first] - starts[first], ends[second] - starts[second], starts[second] - starts[first]
    turn = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    size = np.hypot(*u.T) * np.hypot(*v.T)
    safe = np.where(np.abs(turn) > 1e-9 * size, turn, np.inf)
    s = (w[:, 0] * v[:, 1] - w[:, 1] * v[:, 0]) / safe
    t = (w[:, 0] * u[:, 1] - w[:, 1] * u[:, 0]) / safe
    for k in np.flatnonzero(np.isfinite(safe) & (s > 0) & (s < 1) & (t > 0) & (t < 1)):
        point = starts[first[k]] + s[k] * u[k]
        found[int(first[k])].append((float(s[k]), point))
        found[int(second[k])].append((float(t[k]), point))


class _NodeIndex:
    """Points closer than the tolerance are one node: the one that was named first."""

    def __init__(self) -> None:
        self.points: list[FloatArray] = []
        self._cells: dict[tuple[int, int], list[int]] = defaultdict(list)

    def at(self, point: FloatArray) -> int:
        x, y = float(point[0]), float(point[1])
        column, row = round(x / (4 * POINT_TOLERANCE)), round(y / (4 * POINT_TOLERANCE))
        for i in (0, -1, 1):
            for j in (0, -1, 1):
                for known in self._cells.get((column + i, row + j), ()):
                    if np.hypot(*(self.points[known] - (x, y))) <= POINT_TOLERANCE:
                        return known
        self.points.append(np.array((x, y)))
        self._cells[column, row].append(len(self.points) - 1)
        return len(self.points) - 1


class DisjointSets:
    """Numbers 0 … n − 1 that are joined to sets; each set is known by its least member."""

    def __init__(self, count: int) -> None:
        self._parent = list(range(count))

    def root(self, k: int) -> int:
        """The least member of the set that ``k`` is in."""
        while self._parent[k] != k:
            self._parent[k] = self._parent[self._parent[k]]
            k = self._parent[k]
        return k

    def join(self, a: int, b: int) -> None:
        """Make one set of those of ``a`` and ``b``."""
        a, b = self.root(a), self.root(b)
        self._parent[max(a, b)] = min(a, b)

    def roots(self) -> list[int]:
        """The root of every number, in their order."""
        return [self.root(k) for k in range(len(self._parent))]
