"""Noding: polylines split where they meet, each edge of the network knowing which lines it is part of.

The one place where lines are noded in floats. Planar maps of folded pieces and
layouts of meshes are networks: everything is decided by one tolerance, ends that
come closer to a line than that lie on it, points that come closer to each other
are one node, and no end is moved. The lines of pictures are snapped to a grid.
Strokes whose arcs must stay arcs, and whose exact coordinates must stay exact,
are split by :mod:`generator.geometry.clipping`.
"""
from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Generic, TypeVar

import numpy as np
import shapely
from shapely import Polygon

from generator.dataclass import dataclass
from generator.geometry.arrays import FloatArray, ReadOnlyArrays
from generator.geometry.tolerances import POINT_TOLERANCE

Origin = TypeVar("Origin", bound=Hashable)
Edge = tuple[int, int]      # two nodes, the smaller number first


@dataclass(frozen=True, slots=True)
class Network(ReadOnlyArrays, Generic[Origin]):
    """A plane graph: ``nodes`` (n × 2, mm), and its edges with the origins of all lines that run there."""

    nodes: FloatArray
    edges: Mapping[Edge, frozenset[Origin]]


def network(lines: Sequence[tuple[FloatArray, Origin]],
            tolerance: float = POINT_TOLERANCE) -> Network[Origin]:
    """The network of polylines (points n × 2 in mm, and an origin) that are split wherever they meet.

    They may touch, cross and overlap. Ends of lines are nodes as they are given, the first of several that
    lie within ``tolerance`` (mm) of each other.
    """
    starts = np.concatenate([line[:-1] for line, _ in lines])
    ends = np.concatenate([line[1:] for line, _ in lines])
    origins = [origin for line, origin in lines for _ in range(len(line) - 1)]
    nodes = PointIndex(tolerance)
    tips = [(nodes.number(a), nodes.number(b)) for a, b in zip(starts, ends, strict=True)]
    splits: dict[int, list[int]] = defaultdict(list)
    for segment, point in _splits(starts, ends, tolerance):
        splits[segment].append(nodes.number(point))
    edges: dict[Edge, set[Origin]] = defaultdict(set)
    for k, origin in enumerate(origins):
        first, last = tips[k]
        trail = (first, *splits.get(k, ()), last)
        for a, b in zip(trail, trail[1:], strict=False):
            if a != b:
                edges[min(a, b), max(a, b)].add(origin)
    known = {edge: frozenset(found) for edge, found in edges.items()}
    return Network(np.array(nodes.points), MappingProxyType(known))


def _splits(starts: FloatArray, ends: FloatArray, tolerance: float) -> Iterator[tuple[int, FloatArray]]:
    """(segment, point) of every place where another segment ends on it or crosses it, in order along each.

    Segments of which neither ends on the other have one point in common at most.
    """
    segments = np.asarray(shapely.linestrings(np.stack([starts, ends], axis=1)))
    one, other = shapely.STRtree(segments).query(segments, predicate="dwithin", distance=tolerance)
    one, other = one[one != other], other[one != other]
    ends_on = [shapely.dwithin(segments[one], shapely.points(tips[other]), tolerance)
               for tips in (starts, ends)]
    pair = np.minimum(one, other) * len(segments) + np.maximum(one, other)
    crosses = (one < other) & ~np.isin(pair, pair[np.logical_or(*ends_on)])
    met = shapely.intersection(segments[one[crosses]], segments[other[crosses]])
    found = shapely.get_type_id(met) == shapely.GeometryType.POINT
    found &= ~shapely.is_empty(met)
    crossings = shapely.get_coordinates(met[found])
    which = np.concatenate([one[ends_on[0]], one[ends_on[1]], one[crosses][found], other[crosses][found]])
    points = np.concatenate([starts[other[ends_on[0]]], ends[other[ends_on[1]]], crossings, crossings])
    along = shapely.line_locate_point(segments[which], shapely.points(points))
    for k in np.lexsort((along, which)):
        yield int(which[k]), points[k]


def snap_rounded(segments: FloatArray, grid: float) -> tuple[FloatArray, list[tuple[int, ...]]]:
    """Segments (n × 2 × 2, mm) split where they meet, all nodes rounded to a grid (mm), and their sources.

    For each part (m × 2 × 2) the numbers of the segments no farther than two grid widths from its middle, or
    the nearest one. Snap rounding (Hobby 1999) moves lines by less than a grid width and lets none cross: it
    is for the dense lines of pictures, whose ends need not stay what they are.
    """
    lines = np.asarray(shapely.linestrings(segments), dtype=object)
    noded = shapely.get_parts(shapely.union_all(lines, grid_size=grid))
    parts = np.concatenate([np.stack([xy[:-1], xy[1:]], axis=1)
                            for xy in map(shapely.get_coordinates, noded)])
    middles, tree = np.asarray(shapely.points(parts.mean(axis=1)), dtype=object), shapely.STRtree(lines)
    found: dict[int, list[int]] = defaultdict(list)
    for part, line in sorted(tree.query(middles, predicate="dwithin", distance=2 * grid).T.tolist()):
        found[part].append(line)
    nearest = np.atleast_1d(tree.nearest(middles)).tolist()
    return parts, [tuple(found.get(k, ())) or (nearest[k],) for k in range(len(parts))]


def bounded_cells(nodes: FloatArray, edges: Iterable[Edge], min_area: float) -> list[Polygon]:
    """The areas that edges enclose and that are larger than ``min_area`` (mm²), counter-clockwise."""
    found = shapely.polygonize([shapely.LineString(nodes[list(edge)]) for edge in edges]).geoms
    return [shapely.orient_polygons(cell) for cell in found
            if isinstance(cell, Polygon) and cell.area > min_area]


class PointIndex:
    """Numbers points of the plane from 0; one within ``tolerance`` (mm) of a known one has its number."""

    def __init__(self, tolerance: float = POINT_TOLERANCE) -> None:
        self.points: list[FloatArray] = []
        self._tolerance = tolerance
        self._cells: dict[tuple[int, int], list[int]] = defaultdict(list)

    def number(self, point: Sequence[float] | FloatArray) -> int:
        """The number of a point (2)."""
        x, y = float(point[0]), float(point[1])
        column, row = round(x / (4 * self._tolerance)), round(y / (4 * self._tolerance))
        for i in (0, -1, 1):
            for j in (0, -1, 1):
                for known in self._cells.get((column + i, row + j), ()):
                    if math.dist(self.points[known], (x, y)) <= self._tolerance:
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
