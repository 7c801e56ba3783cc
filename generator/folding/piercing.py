"""How deep panels of one piece stand in each other, at stages and on the ways between them.

Two panels that cross do so along a stretch of the line in which their planes meet. How far the stretch lies
within both, times the sine between the planes, is the shortest way out: 0 where an edge only touches a face.
"""
from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from generator.folding.records import FlatMap, placed_points
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import MAX_PIERCING

CHORD_SAMPLES = 33          # places on a line of crossing that are looked at
MIN_CROSSING_SINE = 1e-4    # flatter than this two planes do not cross


class PiercingCheck:
    """Some panels of a flat map, as they may stand in each other."""

    def __init__(self, flat: FlatMap, panels: Sequence[int]) -> None:
        self.panels = list(panels)
        self.shapes = [flat.panels[k].polygon for k in panels]
        self.borders = [shape.boundary for shape in self.shapes]
        self.corners = [np.asarray(shape.exterior.coords)[:-1] for shape in self.shapes]
        self.starts = np.cumsum([0, *(len(xy) for xy in self.corners)])[:-1]

    def pierced(self, frames: FloatArray, least: float = MAX_PIERCING) -> bool:
        """Whether a panel stands deeper than ``least`` mm in another one, panels lying at ``frames``."""
        if len(self.panels) < 2:
            return False
        own = frames[self.panels]
        points = np.concatenate([placed_points(f, xy) for f, xy in zip(own, self.corners, strict=True)])
        heights = points @ own[:, :3, 2].T - np.einsum("ni,ni->n", own[:, :3, 3], own[:, :3, 2])
        astride = ((np.minimum.reduceat(heights, self.starts) < -least)
                   & (np.maximum.reduceat(heights, self.starts) > least))
        for i, j in np.argwhere(np.triu(astride & astride.T, 1)):
            if self._depth(own, int(i), int(j), points) > least:
                return True
        return False

    def _depth(self, own: FloatArray, i: int, j: int, points: FloatArray) -> float:
        normals = own[[i, j], :3, 2]
        along = np.cross(*normals)
        sine = float(np.linalg.norm(along))
        if sine < MIN_CROSSING_SINE:
            return 0.0
        along = along / sine
        reach = np.einsum("ni,ni->n", normals, own[[i, j], :3, 3])
        start = np.linalg.solve(np.array((*normals, along)), np.array((*reach, 0.0)))
        spans = [points[self.starts[k]:self.starts[k] + len(self.corners[k])] @ along for k in (i, j)]
        low, high = max(s.min() for s in spans), min(s.max() for s in spans)
        if low >= high:
            return 0.0
        line = start + np.linspace(low, high, CHORD_SAMPLES)[:, None] * along
        return sine * float(np.minimum(*(self._inside(k, own[k], line) for k in (i, j))).max())

    def _inside(self, k: int, frame: FloatArray, line: FloatArray) -> FloatArray:
        """How far within a panel points of its plane lie, 0 outside."""
        points = shapely.points(((line - frame[:3, 3]) @ frame[:3, :3])[:, :2])
        result: FloatArray = np.where(shapely.contains(self.shapes[k], points),
                                      shapely.distance(self.borders[k], points), 0.0)
        return result
