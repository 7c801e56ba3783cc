"""Room along a line: move boxes apart as little as can be."""
from __future__ import annotations

from collections.abc import Sequence

CLEAR = 0.8     # mm between two labels


def overlap_free(middles: Sequence[float], sizes: Sequence[float], low: float, high: float) -> bool:
    """True when boxes of these sizes, in order along a line, keep clear of each other and within bounds."""
    last = low - CLEAR
    for middle, size in zip(middles, sizes, strict=True):
        if middle - size / 2 < last + CLEAR - 1e-9:
            return False
        last = middle + size / 2
    return last <= high + 1e-9


def spread(middles: Sequence[float], sizes: Sequence[float], low: float, high: float) -> list[float] | None:
    """New middles near the old ones (which ascend), so that the boxes keep clear; None where there is no room.

    Boxes that would touch become one block, which lies where its members'
    wishes are met on average (pool adjacent violators).
    """
    if sum(sizes) + CLEAR * (len(sizes) - 1) > high - low:
        return None
    blocks: list[tuple[list[float], float]] = []    # (wished starts of each member, size)
    for middle, size in zip(middles, sizes, strict=True):
        block: tuple[list[float], float] = ([middle - size / 2], size)
        while blocks and _start(blocks[-1], low, high) + blocks[-1][1] + CLEAR > _start(block, low, high):
            wishes, before = blocks.pop()
            block = (wishes + [w - before - CLEAR for w in block[0]], before + CLEAR + block[1])
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
            at += size + CLEAR
    return placed
