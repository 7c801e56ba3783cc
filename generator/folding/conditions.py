"""Closing conditions: points that must meet, and points that must lie in a plane, with how each changes by the angles."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from generator.folding.linkage import Linkage, turned
from generator.folding.records import Hinge


@dataclass(frozen=True, slots=True, eq=False)
class Meet:
    """Point ``p`` of one panel comes to lie on point ``q`` of another (flat, 2).

    With ``hinge`` the point p is first turned about it, as a spare hinge asks.
    """

    one: int
    p: np.ndarray
    other: int
    q: np.ndarray
    hinge: Hinge | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Level:
    """Point ``p`` of panel ``one`` lies level with point ``q`` of panel ``other``, measured along ``along``.

    ``along`` is a unit vector (3) in the flat frame of ``other``: its normal,
    so that p lies in its plane, or one across an edge, so that p lies on it.
    """

    one: int
    p: np.ndarray
    other: int
    q: np.ndarray
    along: np.ndarray


Condition = Meet | Level


class Rows:
    """Many conditions as arrays, so that all are worked at once; a meeting is three rows, one for each direction."""

    def __init__(self, link: Linkage, conditions: Sequence[Condition]) -> None:
        self.link, self.conditions = link, tuple(conditions)
        self.one = np.array([c.one for c in conditions], int)
        self.other = np.array([c.other for c in conditions], int)
        self.p = np.array([(*c.p, 0.0, 1.0) for c in conditions]).reshape(-1, 4)
        self.q = np.array([(*c.q, 0.0, 1.0) for c in conditions]).reshape(-1, 4)
        self.level = np.array([isinstance(c, Level) for c in conditions], bool)
        self.along = np.array([c.along if isinstance(c, Level) else (0.0, 0.0, 0.0) for c in conditions]).reshape(-1, 3)
        self.turned = np.array([k for k, c in enumerate(conditions) if isinstance(c, Meet) and c.hinge is not None], int)
        hinges = [conditions[k].hinge for k in self.turned]
        self.hinge = np.array([h.id for h in hinges], int)
        lines = np.array([_line(h) for h in hinges]).reshape(-1, 2, 3)
        self.origin, self.axis = lines[:, 0], lines[:, 1]

    def gaps(self, angles: np.ndarray) -> np.ndarray:
        """How far each equation is from holding, in mm, for signed angles."""
        frames, x, y = self._points(angles)
        return self._in_rows(frames, x - y)

    def slopes(self, angles: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
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

    def _points(self, angles: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        frames, p = self.link.frames(angles), self.p
        if len(self.turned):
            p = p.copy()
            turns = turned(self.origin, self.axis, -angles[self.hinge])
            p[self.turned] = np.einsum("nij,nj->ni", turns, p[self.turned])
        x = np.einsum("nij,nj->ni", frames[self.one], p)[:, :3]
        return frames, x, np.einsum("nij,nj->ni", frames[self.other], self.q)[:, :3]

    def _moves(self, panels: np.ndarray, x: np.ndarray, axes: np.ndarray, origins: np.ndarray) -> np.ndarray:
        """How points move by each hinge (conditions × hinges × 3): a turn by + goes against the axis."""
        return -_cross(axes[None], x[:, None] - origins[None]) * self.link.paths[panels][:, :, None]

    def _in_rows(self, frames: np.ndarray, apart: np.ndarray) -> np.ndarray:
        """Vectors of each condition as rows: levels along their direction, then the three parts of each meeting."""
        along = np.einsum("nij,nj->ni", frames[self.other][:, :3, :3], self.along)[self.level]
        levels = np.einsum("n...i,ni->n...", apart[self.level], along)
        return np.concatenate([levels, *np.moveaxis(apart[~self.level], -1, 0)])


def _cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """The vector product along the last axis, without the ceremony of the library's."""
    return np.stack([a[..., 1] * b[..., 2] - a[..., 2] * b[..., 1], a[..., 2] * b[..., 0] - a[..., 0] * b[..., 2],
                     a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]], axis=-1)


def turned_about(hinge: Hinge, point: np.ndarray, angles: np.ndarray) -> np.ndarray:
    """A point (4) of the left panel's flat frame, turned about a hinge by its signed angle."""
    origin, axis = _line(hinge)
    return turned(origin[None], axis[None], np.array([-angles[hinge.id]]))[0] @ point


def _moves(link: Linkage, panel: int, x: np.ndarray, axes: np.ndarray, origins: np.ndarray) -> np.ndarray:
    """How a point of a panel moves by each hinge (hinges × 3): a turn by + goes against the axis."""
    return -np.cross(axes, x - origins) * link.paths[panel][:, None]


def _own_move(c: Meet, frames: np.ndarray, x: np.ndarray) -> np.ndarray:
    origin, axis = _line(c.hinge)
    frame = frames[c.one]
    return -np.cross(frame[:3, :3] @ axis, x - (frame[:3, :3] @ origin + frame[:3, 3]))


def _line(hinge: Hinge) -> tuple[np.ndarray, np.ndarray]:
    step = (hinge.end - hinge.start) / hinge.length
    return np.array((*hinge.start, 0.0)), np.array((*step, 0.0))


def loop_conditions(hinge: Hinge) -> tuple[Meet, ...]:
    """What a spare hinge asks: its right panel, turned about it from the left one, lies where the tree puts it."""
    step = (hinge.end - hinge.start) / hinge.length
    aside = hinge.start + hinge.length * np.array((step[1], -step[0]))
    return tuple(Meet(hinge.left, p, hinge.right, p, hinge) for p in (hinge.start, hinge.end, aside))


def flush_conditions(one: int, points: np.ndarray, other: int) -> tuple[Level, ...]:
    """Points of one panel lie in the plane of another."""
    return tuple(Level(one, p, other, np.zeros(2), np.array((0.0, 0.0, 1.0))) for p in points)


def on_line_conditions(one: int, points: np.ndarray, other: int, start: np.ndarray, end: np.ndarray) -> tuple[Level, ...]:
    """Points of one panel lie beside no side of the line start–end of another, in its plane."""
    dx, dy = (end - start) / np.hypot(*(end - start))
    return tuple(Level(one, p, other, start, np.array((-dy, dx, 0.0))) for p in points)
