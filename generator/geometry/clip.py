"""The parts of a stroke that lie inside or outside an area."""
from __future__ import annotations

from generator.geometry.region import Region, is_within
from generator.geometry.splitting import Bit, rejoined, split
from generator.geometry.strokes import Stroke


def inside(stroke: Stroke, region: Region, keep_edge: bool = False) -> tuple[Stroke, ...]:
    """The parts within the open area, in order; parts that lie on its edge only with ``keep_edge``."""
    return _kept(stroke, region, True, keep_edge)


def outside(stroke: Stroke, region: Region, keep_edge: bool = False) -> tuple[Stroke, ...]:
    """The parts beyond the area, in order; parts that lie on its edge only with ``keep_edge``."""
    return _kept(stroke, region, False, keep_edge)


def _kept(stroke: Stroke, region: Region, within: bool, keep_edge: bool) -> tuple[Stroke, ...]:
    bits = split(stroke, region.strokes)
    return tuple(bit.cut() for bit in rejoined([b for b in bits if _belongs(b, region, within, keep_edge)]))


def _belongs(bit: Bit, region: Region, within: bool, keep_edge: bool) -> bool:
    if bit.edge is not None:
        return keep_edge
    return is_within(region.strokes, *bit.middle) == within
