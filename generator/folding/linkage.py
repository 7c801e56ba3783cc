"""A flat map as a tree of panels hung on hinges: where each comes to lie for given angles, and how that changes."""
from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from generator.folding.records import FlatMap, Hinge


@dataclass(frozen=True, slots=True, eq=False)
class Arm:
    """A panel hung on another one by a hinge; ``axis`` and ``origin`` (flat, 3) have the parent on the left of travel."""

    panel: int
    parent: int
    hinge: int
    origin: np.ndarray
    axis: np.ndarray


@dataclass(frozen=True, eq=False)
class Linkage:
    """``paths[panel, hinge]`` is True where the hinge lies between the root and the panel; ``spare`` hinges close loops."""

    flat: FlatMap
    root: int
    arms: tuple[Arm, ...]
    paths: np.ndarray
    spare: tuple[Hinge, ...]
    placed: np.ndarray

    def frames(self, angles: np.ndarray) -> np.ndarray:
        """Where every panel lies (panels × 4 × 4), for signed angles of all hinges in radians, + towards the viewer."""
        made = np.tile(np.eye(4), (len(self.flat.panels), 1, 1))
        hinges, origins, axes = self._lines
        turns = turned(origins, axes, -angles[hinges])
        for panels, parents, rows in self._rounds:
            made[panels] = made[parents] @ turns[rows]
        return made

    @cached_property
    def _lines(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Hinge, origin and axis of every arm."""
        return (np.array([a.hinge for a in self.arms], int), np.array([a.origin for a in self.arms]).reshape(-1, 3),
                np.array([a.axis for a in self.arms]).reshape(-1, 3))

    @cached_property
    def _rounds(self) -> list[tuple[np.ndarray, np.ndarray, np.ndarray]]:
        """Panels, their parents and their arms, one round for each distance from the root."""
        deep = self.paths.sum(axis=1)
        rows: dict[int, list[int]] = defaultdict(list)
        for k, arm in enumerate(self.arms):
            rows[int(deep[arm.panel])].append(k)
        return [(np.array([self.arms[k].panel for k in ks]), np.array([self.arms[k].parent for k in ks]), np.array(ks))
                for _, ks in sorted(rows.items())]

    def screws(self, frames: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Axis and origin in space of each hinge of the tree (hinges × 3; zero rows for spare ones)."""
        axes, origins = np.zeros((len(self.flat.hinges), 3)), np.zeros((len(self.flat.hinges), 3))
        hinges, flat_origins, flat_axes = self._lines
        parents = frames[[a.parent for a in self.arms]]
        axes[hinges] = np.einsum("nij,nj->ni", parents[:, :3, :3], flat_axes)
        origins[hinges] = np.einsum("nij,nj->ni", parents[:, :3, :3], flat_origins) + parents[:, :3, 3]
        return axes, origins


def turned(origins: np.ndarray, axes: np.ndarray, angles: np.ndarray) -> np.ndarray:
    """Turns about lines through ``origins`` along unit ``axes`` (n × 4 × 4), by Rodrigues' formula."""
    made = np.tile(np.eye(4), (len(angles), 1, 1))
    x, y, z = axes.T
    zero = np.zeros_like(x)
    cross = np.stack([zero, -z, y, z, zero, -x, -y, x, zero], axis=1).reshape(-1, 3, 3)
    sine, rest = np.sin(angles)[:, None, None], (1 - np.cos(angles))[:, None, None]
    made[:, :3, :3] += sine * cross + rest * (cross @ cross)
    made[:, :3, 3] = origins - np.einsum("nij,nj->ni", made[:, :3, :3], origins)
    return made


def linkage(flat: FlatMap) -> Linkage:
    """The tree of a flat map, from the panel with the most hinges outwards, nearest first.

    Of several with as many, as a floor and the lid that hangs on its back wall, that on whose walls most hangs.
    """
    count = len(flat.panels)
    hinges_of: dict[int, list[Hinge]] = {k: [] for k in range(count)}
    for hinge in flat.hinges:
        hinges_of[hinge.left].append(hinge)
        hinges_of[hinge.right].append(hinge)
    root = max((p.id for p in flat.panels if not p.soft), default=0,
               key=lambda k: (len(hinges_of[k]), _near(hinges_of, k), flat.panels[k].polygon.area, -k))
    paths = np.zeros((count, len(flat.hinges)), bool)
    arms, seen, used, queue = [], {root}, set(), deque([root])
    while queue:
        parent = queue.popleft()
        for hinge in hinges_of[parent]:
            panel = hinge.other(parent)
            if panel in seen:
                continue
            seen.add(panel)
            used.add(hinge.id)
            queue.append(panel)
            arms.append(_arm(hinge, panel, parent))
            paths[panel] = paths[parent]
            paths[panel, hinge.id] = True
    spare = tuple(h for h in flat.hinges if h.id not in used and h.left in seen)
    return Linkage(flat, root, tuple(arms), paths, spare, np.isin(np.arange(count), sorted(seen)))


def _near(hinges_of: Mapping[int, Sequence[Hinge]], panel: int) -> int:
    """How many hinges the neighbours of a panel have."""
    return sum(len(hinges_of[hinge.other(panel)]) for hinge in hinges_of[panel])


def _arm(hinge: Hinge, panel: int, parent: int) -> Arm:
    start, end = (hinge.start, hinge.end) if parent == hinge.left else (hinge.end, hinge.start)
    step = (end - start) / np.hypot(*(end - start))
    return Arm(panel, parent, hinge.id, np.array((*start, 0.0)), np.array((*step, 0.0)))
