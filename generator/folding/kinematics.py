"""The linkage of a flat map, a tree of panels hung on hinges, and the conditions that close it.

Where each panel comes to lie for given angles; points that must meet, points that must lie in a plane; and
how all this changes by the angles.
"""
from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np

from generator.dataclass import dataclass
from generator.folding.records import FlatMap, Hinge
from generator.geometry.arrays import BoolArray, FloatArray, ReadOnlyArrays
from generator.geometry.ties import snapped
from generator.geometry.tolerances import EQUAL_AREAS


@dataclass(frozen=True, slots=True, eq=False)
class Arm(ReadOnlyArrays):
    """A panel hung on its parent by a hinge; the parent lies left of ``axis`` at ``origin`` (flat, 3)."""

    panel: int
    parent: int
    hinge: int
    origin: FloatArray
    axis: FloatArray


@dataclass(frozen=True, eq=False)
class Linkage(ReadOnlyArrays):
    """``paths[panel, hinge]``: whether the hinge lies between root and panel; ``spare`` ones close loops."""

    flat: FlatMap
    root: int
    arms: tuple[Arm, ...]
    paths: BoolArray
    spare: tuple[Hinge, ...]
    placed: BoolArray

    def frames(self, angles: FloatArray) -> FloatArray:
        """Where panels lie (panels × 4 × 4) for signed angles of all hinges (radians, + is up)."""
        result = _unmoved(len(self.flat.panels))
        turns = _turned(self._lines[1], *self._turns, -angles[self._lines[0]])
        for panels, parents, rows in self._rounds:
            result[panels] = result[parents] @ turns[rows]
        return result

    def between(self, one: int, other: int) -> BoolArray:
        """The hinges on the way from one panel to another."""
        result: BoolArray = self.paths[one] ^ self.paths[other]
        return result

    @cached_property
    def _lines(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Hinge, origin and axis of every arm."""
        return (np.array([a.hinge for a in self.arms], int),
                np.array([a.origin for a in self.arms]).reshape(-1, 3),
                np.array([a.axis for a in self.arms]).reshape(-1, 3))

    @cached_property
    def _turns(self) -> tuple[FloatArray, FloatArray]:
        """What turns about the arms are made of, as :func:`_turn_parts` gives it."""
        return _turn_parts(self._lines[2])

    @cached_property
    def _rounds(self) -> list[tuple[FloatArray, FloatArray, FloatArray]]:
        """Panels, their parents and their arms, one round for each distance from the root."""
        deep = self.paths.sum(axis=1)
        rows: dict[int, list[int]] = defaultdict(list)
        for k, arm in enumerate(self.arms):
            rows[int(deep[arm.panel])].append(k)
        return [(np.array([self.arms[k].panel for k in ks]), np.array([self.arms[k].parent for k in ks]),
                 np.array(ks))
                for _, ks in sorted(rows.items())]

    def screws(self, frames: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Axis and origin in space of each hinge of the tree (hinges × 3; zero rows for spare ones)."""
        axes, origins = np.zeros((len(self.flat.hinges), 3)), np.zeros((len(self.flat.hinges), 3))
        hinges, flat_origins, flat_axes = self._lines
        parents = frames[[a.parent for a in self.arms]]
        axes[hinges] = np.einsum("nij,nj->ni", parents[:, :3, :3], flat_axes)
        origins[hinges] = np.einsum("nij,nj->ni", parents[:, :3, :3], flat_origins) + parents[:, :3, 3]
        return axes, origins


def rotations(origins: FloatArray, axes: FloatArray, angles: FloatArray) -> FloatArray:
    """Turns about lines through ``origins`` along unit ``axes`` (n × 4 × 4), by Rodrigues' formula."""
    return _turned(origins, *_turn_parts(axes), angles)


def _turn_parts(axes: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Of unit axes (n × 3) the matrices of the vector product with them (n × 3 × 3), and their squares."""
    cross = np.zeros((len(axes), 3, 3))
    x, y, z = axes.T
    cross[:, 0, 1], cross[:, 0, 2], cross[:, 1, 2] = -z, y, -x
    cross[:, 1, 0], cross[:, 2, 0], cross[:, 2, 1] = z, -y, x
    return cross, cross @ cross


def _turned(origins: FloatArray, cross: FloatArray, square: FloatArray, angles: FloatArray) -> FloatArray:
    """:func:`rotations` about axes of which the parts are known."""
    result = _unmoved(len(angles))
    sine, rest = np.sin(angles)[:, None, None], (1 - np.cos(angles))[:, None, None]
    result[:, :3, :3] += sine * cross + rest * square
    result[:, :3, 3] = origins - np.einsum("nij,nj->ni", result[:, :3, :3], origins)
    return result


_STILL = np.eye(4)


def _unmoved(count: int) -> FloatArray:
    """So many frames (4 × 4) that move nothing."""
    result = np.empty((count, 4, 4))
    result[:] = _STILL
    return result


def linkage(flat: FlatMap) -> Linkage:
    """The tree of a flat map, from the panel with the most hinges outwards, nearest first.

    Of several with as many, as a floor and the lid that hangs on its back wall, that on whose walls most
    hangs.
    """
    count = len(flat.panels)
    hinges_of: dict[int, list[Hinge]] = {k: [] for k in range(count)}
    for hinge in flat.hinges:
        hinges_of[hinge.left].append(hinge)
        hinges_of[hinge.right].append(hinge)
    root = max((p.id for p in flat.panels if not p.soft), default=0,
               key=lambda k: (len(hinges_of[k]), _neighbour_hinges(hinges_of, k),
                              float(snapped(flat.panels[k].polygon.area, EQUAL_AREAS)), -k))
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


def _neighbour_hinges(hinges_of: Mapping[int, Sequence[Hinge]], panel: int) -> int:
    """How many hinges the neighbours of a panel have."""
    return sum(len(hinges_of[hinge.other(panel)]) for hinge in hinges_of[panel])


def _arm(hinge: Hinge, panel: int, parent: int) -> Arm:
    start, end = (hinge.start, hinge.end) if parent == hinge.left else (hinge.end, hinge.start)
    step = (end - start) / np.hypot(*(end - start))
    return Arm(panel, parent, hinge.id, np.array((*start, 0.0)), np.array((*step, 0.0)))


@dataclass(frozen=True, slots=True, eq=False)
class PointsMeet(ReadOnlyArrays):
    """Point ``p`` of one panel comes to lie on point ``q`` of another (flat, 2).

    With ``hinge`` the point p is first turned about it, as a spare hinge asks.
    """

    one: int
    p: FloatArray
    other: int
    q: FloatArray
    hinge: Hinge | None = None


@dataclass(frozen=True, slots=True, eq=False)
class PointLevel(ReadOnlyArrays):
    """Point ``p`` of panel ``one`` lies level with point ``q`` of panel ``other``, measured along ``along``.

    ``along`` is a unit vector (3) in the flat frame of ``other``: its normal,
    so that p lies in its plane, or one across an edge, so that p lies on it.
    """

    one: int
    p: FloatArray
    other: int
    q: FloatArray
    along: FloatArray


Condition = PointsMeet | PointLevel


class ConditionRows:
    """Many conditions as arrays, worked at once; a meeting is three rows, one a direction."""

    def __init__(self, link: Linkage, conditions: Sequence[Condition]) -> None:
        self.link, self.conditions = link, tuple(conditions)
        self.one = np.array([c.one for c in conditions], int)
        self.other = np.array([c.other for c in conditions], int)
        self.p = np.array([(*c.p, 0.0, 1.0) for c in conditions]).reshape(-1, 4)
        self.q = np.array([(*c.q, 0.0, 1.0) for c in conditions]).reshape(-1, 4)
        self.level = np.array([isinstance(c, PointLevel) for c in conditions], bool)
        self.along = np.array([c.along if isinstance(c, PointLevel) else (0.0, 0.0, 0.0)
                               for c in conditions]).reshape(-1, 3)
        self.turned = np.array([k for k, c in enumerate(conditions) if isinstance(c, PointsMeet)
                                and c.hinge is not None], int)
        hinges = [conditions[k].hinge for k in self.turned]
        self.hinge = np.array([h.id for h in hinges], int)
        lines = np.array([_hinge_axis(h) for h in hinges]).reshape(-1, 2, 3)
        self.origin, self.axis = lines[:, 0], lines[:, 1]

    def gaps(self, angles: FloatArray) -> FloatArray:
        """How far each equation is from holding, in mm, for signed angles."""
        frames, x, y = self._points(angles)
        return self._in_rows(frames, x - y)

    def slopes(self, angles: FloatArray) -> tuple[FloatArray, FloatArray]:
        """As :meth:`gaps`, and their derivatives by the angles of all hinges (mm per radian)."""
        frames, x, y = self._points(angles)
        axes, origins = self.link.screws(frames)
        # seen from the panel that a level is taken in, what moves that panel moves the point the other way
        seen = np.where(self.level[:, None], x, y)
        moves = self._moves(self.one, x, axes, origins) - self._moves(self.other, seen, axes, origins)
        if len(self.turned):
            base = frames[self.one[self.turned]]
            axis = np.einsum("nij,nj->ni", base[:, :3, :3], self.axis)
            origin = np.einsum("nij,nj->ni", base[:, :3, :3], self.origin) + base[:, :3, 3]
            moves[self.turned, self.hinge] -= _cross(axis, x[self.turned] - origin)
        return self._in_rows(frames, x - y), self._in_rows(frames, moves)

    def _points(self, angles: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        frames, p = self.link.frames(angles), self.p
        if len(self.turned):
            p = p.copy()
            turns = rotations(self.origin, self.axis, -angles[self.hinge])
            p[self.turned] = np.einsum("nij,nj->ni", turns, p[self.turned])
        x = np.einsum("nij,nj->ni", frames[self.one], p)[:, :3]
        return frames, x, np.einsum("nij,nj->ni", frames[self.other], self.q)[:, :3]

    def _moves(self, panels: FloatArray, x: FloatArray, axes: FloatArray, origins: FloatArray) -> FloatArray:
        """How points move by each hinge (conditions × hinges × 3): a turn by + goes against the axis."""
        on_way = self.link.paths[panels][:, :, None]
        result: FloatArray = -_cross(axes[None], x[:, None] - origins[None]) * on_way
        return result

    def _in_rows(self, frames: FloatArray, apart: FloatArray) -> FloatArray:
        """Vectors of each condition as rows: levels along theirs, then three parts of each meeting."""
        along = np.einsum("nij,nj->ni", frames[self.other][:, :3, :3], self.along)[self.level]
        levels = np.einsum("n...i,ni->n...", apart[self.level], along)
        meetings = apart[~self.level]
        return np.concatenate([levels, *(meetings[..., k] for k in range(3))])


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    """The vector product along the last axis, without the ceremony of the library's."""
    return np.stack([a[..., 1] * b[..., 2] - a[..., 2] * b[..., 1],
                     a[..., 2] * b[..., 0] - a[..., 0] * b[..., 2],
                     a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]], axis=-1)


def rotated_about(hinge: Hinge, point: FloatArray, angles: FloatArray) -> FloatArray:
    """A point (4) of the left panel's flat frame, turned about a hinge by its signed angle."""
    origin, axis = _hinge_axis(hinge)
    result: FloatArray = rotations(origin[None], axis[None], np.array([-angles[hinge.id]]))[0] @ point
    return result


def _hinge_axis(hinge: Hinge) -> tuple[FloatArray, FloatArray]:
    return np.array((*hinge.start, 0.0)), np.array((*hinge.direction, 0.0))


def loop_conditions(hinge: Hinge) -> tuple[PointsMeet, ...]:
    """A spare hinge's panels meet: the right one, turned about it from the left, lies where the tree says."""
    aside = hinge.start - hinge.length * hinge.normal
    return tuple(PointsMeet(hinge.left, p, hinge.right, p, hinge) for p in (hinge.start, hinge.end, aside))


def coplanar_conditions(one: int, points: FloatArray, other: int) -> tuple[PointLevel, ...]:
    """Points of one panel lie in the plane of another."""
    return tuple(PointLevel(one, p, other, np.zeros(2), np.array((0.0, 0.0, 1.0))) for p in points)


def on_line_conditions(one: int, points: FloatArray, other: int, start: FloatArray,
                       end: FloatArray) -> tuple[PointLevel, ...]:
    """Points of one panel lie beside no side of the line start–end of another, in its plane."""
    dx, dy = (end - start) / np.hypot(*(end - start))
    return tuple(PointLevel(one, p, other, start, np.array((-dy, dx, 0.0))) for p in points)
