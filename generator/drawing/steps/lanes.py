"""The strip beside a piece that a row of measures is drawn in: along it, and outward from the paper.

Room along a line: move boxes apart as little as can be.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.picture_geometry import Box
from generator.geometry import Point
from generator.paper.records import Side

EXTENSION_GAP = 0.9       # mm from the paper to where an extension line begins
DIMENSION_LINE_DISTANCE = 4.6      # mm from the paper to a dimension line
EXTENSION_OVERRUN = 1.3      # mm that extension lines go on beyond it
TEXT_PADDING = 0.5       # mm from a line to the words beside it
EXTENSION_BEND = 2.2      # mm outward that an extension line takes to step aside


@dataclass(frozen=True, slots=True)
class DimensionLane:
    """``base`` is where the paper ends; ``low`` and ``high`` bound what may be drawn along the lane (mm of picture)."""

    place: Side
    base: float
    low: float
    high: float
    deepest: float = 40.0       # mm that a row may reach outward

    @property
    def level(self) -> bool:
        return self.place in (Side.BOTTOM, Side.TOP)

    def point(self, along: float, out: float) -> Point:
        """The point at ``along``, ``out`` mm away from the paper (negative: on it)."""
        if self.place is Side.BOTTOM:
            return Point(along, self.base - out)
        if self.place is Side.TOP:
            return Point(along, self.base + out)
        return Point(self.base - out if self.place is Side.LEFT else self.base + out, along)

    def middle(self, along: float, out: float, deep: float) -> Point:
        """The middle of a box ``deep`` mm across that begins ``out`` mm from the paper."""
        return self.point(along, out + deep / 2)

    def out(self, across: float) -> float:
        """How far a coordinate across the lane lies from the paper: negative where it is on it."""
        return self.base - across if self.place in (Side.BOTTOM, Side.LEFT) else across - self.base

    def room(self, depth: float) -> Box:
        """The whole lane, ``depth`` mm deep."""
        a, b = self.point(self.low, 0.0), self.point(self.high, depth)
        return Box(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y))


LABEL_CLEARANCE = 1.2     # mm between two labels: a little more than between two words


def overlap_free(middles: Sequence[float], sizes: Sequence[float], low: float, high: float) -> bool:
    """True when boxes of these sizes, in order along a line, keep clear of each other and within bounds."""
    last = low - LABEL_CLEARANCE
    for middle, size in zip(middles, sizes, strict=True):
        if middle - size / 2 < last + LABEL_CLEARANCE - 1e-9:
            return False
        last = middle + size / 2
    return last <= high + 1e-9


def spread_apart(middles: Sequence[float], sizes: Sequence[float], low: float, high: float) -> list[float] | None:
    """New middles near the old ones (which ascend), so that the boxes keep clear; None where there is no room.

    Boxes that would touch become one block, which lies where its members'
    wishes are met on average (pool adjacent violators).
    """
    if sum(sizes) + LABEL_CLEARANCE * (len(sizes) - 1) > high - low:
        return None
    blocks: list[tuple[list[float], float]] = []    # (wished starts of each member, size)
    for middle, size in zip(middles, sizes, strict=True):
        block: tuple[list[float], float] = ([middle - size / 2], size)
        while blocks and _start(blocks[-1], low, high) + blocks[-1][1] + LABEL_CLEARANCE > _start(block, low, high):
            wishes, before = blocks.pop()
            block = (wishes + [w - before - LABEL_CLEARANCE for w in block[0]], before + LABEL_CLEARANCE + block[1])
        blocks.append(block)
    return _placed(blocks, sizes, low, high)


def _start(block: tuple[list[float], float], low: float, high: float) -> float:
    wishes, size = block
    return min(max(sum(wishes) / len(wishes), low), high - size)


def _placed(blocks: Sequence[tuple[list[float], float]], sizes: Sequence[float], low: float,
            high: float) -> list[float]:
    placed: list[float] = []
    for block in blocks:
        at = _start(block, low, high)
        for _ in block[0]:
            size = sizes[len(placed)]
            placed.append(at + size / 2)
            at += size + LABEL_CLEARANCE
    return placed
