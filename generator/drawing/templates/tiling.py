"""A plan that is larger than the paper, parted into tiles that overlap."""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.steps.boxes import Box
from generator.drawing.templates.page_format import OVERLAP, PrintPaper

SLIVER = 1e-6       # mm; so little over the window needs no further tile
STEP = 1.0          # mm between two places where a seam is tried
SMALL = 12.0        # mm; a seam should not part what is no longer than this across it
LEVEL = 1e-3        # weight of the distance from an even spacing, for each mm


@dataclass(frozen=True, slots=True)
class Tile:
    """What one page shows of the plan: ``box`` in mm of the plan. ``row`` counts from the top, from 0."""

    row: int
    column: int
    box: Box

    @property
    def name(self) -> str:
        """A letter for the row, a number for the column: "B3"."""
        return f"{letters(self.row)}{self.column + 1}"


@dataclass(frozen=True, slots=True)
class Tiling:
    """All tiles in reading order; ``xs`` and ``ys`` are the middles of the overlaps, in mm of the plan, ascending."""

    leaf: PrintPaper
    box: Box
    xs: tuple[float, ...]
    ys: tuple[float, ...]
    tiles: tuple[Tile, ...]

    @property
    def columns(self) -> int:
        return len(self.xs) + 1

    @property
    def rows(self) -> int:
        return len(self.ys) + 1


def letters(number: int) -> str:
    """A, B … Z, AA, AB … for 0, 1 …"""
    return (letters(number // 26 - 1) if number >= 26 else "") + chr(ord("A") + number % 26)


def tiling(box: Box, paper: str, features: Sequence[Box] = ()) -> Tiling:
    """The fewest tiles that hold ``box``; of two ways with as few, the one with fewer seams, then the upright one.

    Neighbours overlap by :data:`OVERLAP`. Where the pages leave a choice,
    seams keep away from ``features``.
    """
    leaf = min((PrintPaper(paper), PrintPaper(paper, True)), key=lambda each: _cost(box, each))
    window = leaf.window
    xs = _seams((box.x0, box.x1), window.width, [(f.x0, f.x1) for f in features])
    ys = _seams((box.y0, box.y1), window.height, [(f.y0, f.y1) for f in features])
    return Tiling(leaf, box, xs, ys, tuple(_tiles(box, xs, ys)))


def count(box: Box, paper: str) -> int:
    """How many tiles there will be."""
    return min(_cost(box, PrintPaper(paper, landscape))[0] for landscape in (False, True))


def _cost(box: Box, leaf: PrintPaper) -> tuple[int, int, bool]:
    across, up = _number(box.width, leaf.window.width), _number(box.height, leaf.window.height)
    return across * up, across + up, leaf.landscape


def _number(length: float, window: float) -> int:
    return max(1, math.ceil((length - OVERLAP - SLIVER) / (window - OVERLAP)))


def _tiles(box: Box, xs: Sequence[float], ys: Sequence[float]) -> list[Tile]:
    columns, rows = _spans(box.x0, box.x1, xs), _spans(box.y0, box.y1, ys)[::-1]
    return [Tile(row, column, Box(x0, y0, x1, y1))
            for row, (y0, y1) in enumerate(rows) for column, (x0, x1) in enumerate(columns)]


def _spans(low: float, high: float, seams: Sequence[float]) -> list[tuple[float, float]]:
    half = OVERLAP / 2
    return list(zip((low, *(s - half for s in seams)), (*(s + half for s in seams), high), strict=True))


def _seams(span: tuple[float, float], window: float, features: Sequence[tuple[float, float]]) -> tuple[float, ...]:
    """The middles of the overlaps along one axis: each where it parts as few features as the pages allow.

    Worked out from the first seam to the last, keeping for each place the
    cheapest way to it.
    """
    low, high = span
    number = _number(high - low, window) - 1
    small = [(a, b) for a, b in features if b - a <= SMALL]
    ways: dict[float, tuple[float, tuple[float, ...]]] = {low + OVERLAP / 2: (0.0, ())}
    for k in range(1, number + 1):
        even = low + (high - low) * k / (number + 1)
        ways = _onward(ways, _choices(span, window, number, k), window, even, small)
    return min(ways.values())[1]


def _choices(span: tuple[float, float], window: float, number: int, k: int) -> list[float]:
    """Where seam ``k`` of ``number`` may lie, so that all before and after it fit their windows."""
    (low, high), reach, half = span, window - OVERLAP, OVERLAP / 2
    last = min(low + half + k * reach + SLIVER, high - half)
    first = max(high - half - (number + 1 - k) * reach - SLIVER, low + half)
    first = min(first, last)
    steps = int((last - first) // STEP)
    return [*(first + STEP * s for s in range(steps + 1)), last]


def _onward(ways: dict, choices: Sequence[float], window: float, even: float,
            small: Sequence[tuple[float, float]]) -> dict:
    found = {}
    for at in choices:
        before = [way for place, way in ways.items() if place < at and at - place <= window - OVERLAP + 2 * SLIVER]
        if before:
            cost, seams = min(before)
            found[at] = cost + _parted(at, small) + abs(at - even) * LEVEL, (*seams, at)
    return found


def _parted(at: float, small: Sequence[tuple[float, float]]) -> int:
    """How many small things the overlap touches."""
    return sum(a < at + OVERLAP / 2 and b > at - OVERLAP / 2 for a, b in small)
