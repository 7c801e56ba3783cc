"""The corners of a flat map, each once, so that a line of the plan can be moved and everything that ends on it goes along."""
from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from generator.folding.records import FlatMap, Hinge, Panel

ON = 1e-5           # mm; a corner so near a line lies on it
SLANT = 0.3         # sine; a line that crosses at a smaller angle does not say where its corner goes
STRAIGHT = 1e-4     # sine; lines that turn by less at a corner go straight on


@dataclass(frozen=True, eq=False)
class Nodes:
    """``points`` (n × 2); ``rings`` the numbers of the corners of each panel, one array for each ring."""

    flat: FlatMap
    points: np.ndarray
    rings: tuple[tuple[np.ndarray, ...], ...]
    hinges: np.ndarray          # hinges × 2: the numbers of their ends

    def at(self, points: np.ndarray) -> np.ndarray:
        """The number of the node at each point (m × 2); −1 where there is none."""
        far = np.hypot(*(np.asarray(points)[:, None] - self.points[None]).transpose(2, 0, 1))
        near = far.argmin(axis=1)
        return np.where(far[np.arange(len(near)), near] <= ON, near, -1)

    def moves(self, start: np.ndarray, end: np.ndarray) -> np.ndarray:
        """How all nodes move (n × 2) when the line start–end goes one unit to its left.

        A node on it slides along the line that goes straight through it, so
        that this stays straight; one where lines only end goes straight aside.
        """
        size = float(np.hypot(*(end - start)))
        along = (end - start) / size
        normal = np.array((-along[1], along[0]))
        way = (self.points - start) @ along
        on = (np.abs((self.points - start) @ normal) <= ON) & (way >= -ON) & (way <= size + ON)
        made = np.zeros_like(self.points)
        for k in np.flatnonzero(on):
            through = next((u for u in self._through[k] if abs(u @ normal) > SLANT), normal)
            made[k] = through / (through @ normal)
        return made

    @cached_property
    def _through(self) -> dict[int, list[np.ndarray]]:
        """Node → the directions in which lines go straight through it."""
        around: dict[int, set[int]] = defaultdict(set)
        for rings in self.rings:
            for ring in rings:
                for a, b in zip(ring, np.roll(ring, -1)):
                    around[int(a)].add(int(b))
                    around[int(b)].add(int(a))
        found = defaultdict(list)
        for node, others in around.items():
            ways = self.points[sorted(others)] - self.points[node]
            ways /= np.hypot(*ways.T)[:, None]
            turn = ways[:, None, 0] * ways[None, :, 1] - ways[:, None, 1] * ways[None, :, 0]
            against = (np.abs(turn) < STRAIGHT) & (ways @ ways.T < 0)
            found[node] = [ways[i] for i, j in zip(*np.nonzero(np.triu(against)))]
        return found

    def panels(self, places: np.ndarray) -> tuple[Panel, ...]:
        """The panels with their corners at other places (n × 2)."""
        still = np.all(places == self.points, axis=1)
        return tuple(panel if all(still[r].all() for r in rings) else
                     Panel(panel.id, _polygon([places[r] for r in rings], panel.polygon), panel.soft)
                     for panel, rings in zip(self.flat.panels, self.rings, strict=True))

    def moved_hinges(self, places: np.ndarray) -> tuple[Hinge, ...]:
        """The hinges with their ends at other places."""
        return tuple(Hinge(h.id, h.left, h.right, places[a], places[b], h.mark, h.bends)
                     for h, (a, b) in zip(self.flat.hinges, self.hinges, strict=True))


def _polygon(rings: list[np.ndarray], before: shapely.Polygon) -> shapely.Polygon:
    """A polygon of these rings; as it was before where they cross, as narrow tips do when they are moved far."""
    made = shapely.Polygon(rings[0], rings[1:])
    if made.is_valid:
        return made
    whole = made.buffer(0)
    return whole if isinstance(whole, shapely.Polygon) and whole.area > 0.5 * before.area else before


def nodes_of(flat: FlatMap) -> Nodes:
    """All corners of the panels of a flat map, and the ends of its hinges."""
    place: dict[tuple[int, int], int] = {}
    points: list[np.ndarray] = []

    def number(point: np.ndarray) -> int:
        x, y = round(float(point[0]) / ON / 10), round(float(point[1]) / ON / 10)
        for key in ((x + i, y + j) for i in (0, -1, 1) for j in (0, -1, 1)):
            if key in place:
                return place[key]
        place[x, y] = len(points)
        points.append(np.asarray(point, float))
        return place[x, y]

    rings = tuple(tuple(np.array([number(p) for p in shapely.get_coordinates(ring)[:-1]])
                        for ring in (panel.polygon.exterior, *panel.polygon.interiors)) for panel in flat.panels)
    ends = np.array([[number(h.start), number(h.end)] for h in flat.hinges], int).reshape(-1, 2)
    return Nodes(flat, np.array(points), rings, ends)
