"""From the bent half bay to the skin of the whole top: turned and mirrored onto every seat, and sewn together."""
from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from generator.folding.records import FlatMap, Skin
from generator.folding.thin.bays import Ring
from generator.folding.thin.energy import edges_of, steps_of
from generator.folding.thin.meshing import Mesh, doubled

SEWN = 1e-3         # mm; points of two bays that lie closer in the flat plan are one
LINES = ("fold", "corner", "rim", "base")


def skin_of(ring: Ring, mesh: Mesh, points: np.ndarray, strain: tuple[float, float], flat: FlatMap) -> Skin:
    """The whole top from its half bay in space (n × 3), in the frames of the flat plan and of the folded panels."""
    sewing = _Sewing()
    triangles, rows = [], {kind: [] for kind in LINES}
    for seat in ring.seats:
        for side in (1.0, -1.0):
            xy = seat.flat + side * mesh.flat[:, :1] * seat.along + mesh.flat[:, 1:] * seat.up
            space = ring.centre + (points * (side, 1.0, 1.0)) @ seat.frame.T
            number = sewing.numbered(xy, space)
            triangles.append(number[mesh.triangles])
            for kind in LINES:
                rows[kind] += [tuple(number[list(row)].tolist()) for row in mesh.on(kind)]
    xy, space = np.array(sewing.flat), np.array(sewing.space)
    made = np.concatenate(triangles)
    made = np.where((doubled(xy, made) < 0)[:, None], made[:, ::-1], made)
    folds, edges = _told_apart(ring, made, rows)
    return Skin(xy, space, made, patches(made, folds), folds, edges, _panels(xy[made].mean(axis=1), flat), strain)


class _Sewing:
    """Gives every point of the flat plan one number, however many bays meet there."""

    def __init__(self) -> None:
        self.flat: list[np.ndarray] = []
        self.space: list[np.ndarray] = []
        self._known: dict[tuple[int, int], int] = {}

    def numbered(self, xy: np.ndarray, space: np.ndarray) -> np.ndarray:
        return np.array([self._number(p, q) for p, q in zip(xy, space, strict=True)])

    def _number(self, xy: np.ndarray, space: np.ndarray) -> int:
        column, row = round(float(xy[0]) / SEWN), round(float(xy[1]) / SEWN)
        for i in (0, -1, 1):
            for j in (0, -1, 1):
                if (column + i, row + j) in self._known:
                    return self._known[column + i, row + j]
        self._known[column, row] = len(self.flat)
        self.flat.append(xy)
        self.space.append(space)
        return len(self.flat) - 1


def _told_apart(ring: Ring, triangles: np.ndarray, rows: dict) -> tuple[tuple[tuple[int, ...], ...], tuple[tuple[int, ...], ...]]:
    """Which lines are folds and which are edges: a corner is one or the other, and has been told from both its bays."""
    sides = edges_of(triangles)
    folds, edges, told = list(rows["fold"]), list(rows["rim"]), set()
    for row in rows["corner"]:
        key = frozenset(row)
        if key in told:
            continue
        told.add(key)
        if len(sides[min(row[0], row[1]), max(row[0], row[1])]) == 1:
            edges.append(row)
        elif ring.split:
            folds.append(row)
    if ring.shoulder == "fold":
        folds += rows["base"]
    corners = {frozenset(row) for row in rows["corner"]}
    return tuple(dict.fromkeys((*(f for f in folds if frozenset(f) not in corners), *(f for f in folds if frozenset(f) in corners)))), tuple(edges)


def patches(triangles: np.ndarray, folds: Sequence[Sequence[int]]) -> np.ndarray:
    """The number of the smooth surface that each triangle is part of."""
    root, folded = list(range(len(triangles))), steps_of(folds)

    def top(k: int) -> int:
        while root[k] != k:
            root[k] = root[root[k]]
            k = root[k]
        return k

    for edge, sides in edges_of(triangles).items():
        if len(sides) == 2 and edge not in folded:
            a, b = top(sides[0][0]), top(sides[1][0])
            root[max(a, b)] = min(a, b)
    tops = [top(k) for k in range(len(triangles))]
    number = {t: k for k, t in enumerate(dict.fromkeys(tops))}
    return np.array([number[t] for t in tops])


def _panels(middles: np.ndarray, flat: FlatMap) -> np.ndarray:
    """The soft panel that each of these points of the flat plan lies in, or lies nearest to."""
    soft = [p for p in flat.panels if p.soft]
    found = np.full(len(middles), -1)
    spots = shapely.points(middles)
    for panel in soft:
        shapely.prepare(panel.polygon)
        found[shapely.contains(panel.polygon, spots)] = panel.id
    for k in np.flatnonzero(found < 0):
        found[k] = min(soft, key=lambda p: p.polygon.distance(spots[k])).id
    return found
