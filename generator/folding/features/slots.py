"""Slots of a flat divider: where they are, how wide and deep, and at which edge they open."""
from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass
from generator.findings import Span
from generator.folding.planar_map import piece_polygon
from generator.geometry.plane import floats
from generator.geometry.tolerances import EQUAL_LENGTHS
from generator.paper.records import PieceState

STRAIGHT_SHARE = 0.9        # of its rectangle; what fills less of it is no slot but a notch


@dataclass(frozen=True, slots=True)
class Slot:
    """``place`` of its middle from the left of the divider, ``width`` (0 for a slit) and ``depth``, in mm."""

    place: float
    width: float
    depth: float
    above: bool     # open at the upper edge, else at the lower one
    span: Span


@dataclass(frozen=True, slots=True)
class Divider:
    """A flat piece that stands as it lies: ``length`` in all and at its ``foot``, and ``height``, in mm."""

    length: float
    foot: float
    height: float
    slots: tuple[Slot, ...]


def divider_of(state: PieceState) -> Divider:
    """The measures of a flat piece that stands on its lower edge, its slots from the left."""
    paper = _upright(state, piece_polygon(state))
    x0, y0, x1, y1 = paper.bounds
    foot = shapely.intersection(paper, shapely.box(x0, y0, x1, y0 + 1)).bounds
    slots = sorted((*_slots(state, paper), *_slits(state, paper)), key=lambda slot: slot.place)
    return Divider(x1 - x0, foot[2] - foot[0], y1 - y0, tuple(slots))


def _upright(state: PieceState, shape: BaseGeometry) -> BaseGeometry:
    """A shape of the own frame as it lies on the table, but for being turned over."""
    return affinity.rotate(shape, -90 * state.orientation.quarters, origin=(0, 0))


def _slots(state: PieceState, paper: BaseGeometry) -> Iterator[Slot]:
    """Narrow rectangles cut out of the upper or the lower edge."""
    x0, y0, x1, y1 = paper.bounds
    for part in shapely.get_parts(shapely.box(*paper.bounds).difference(paper)):
        left, low, right, high = part.bounds
        wide, deep = right - left, high - low
        above, below = high > y1 - EQUAL_LENGTHS, low < y0 + EQUAL_LENGTHS
        if (above == below or left < x0 + EQUAL_LENGTHS or right > x1 - EQUAL_LENGTHS or wide > deep
                or part.area < STRAIGHT_SHARE * wide * deep):
            continue
        near = part.buffer(EQUAL_LENGTHS)
        span = next((rim.span for rim in state.outline
                     if near.contains(_upright(state, shapely.Point(floats(rim.stroke.at(0.5)))))), None)
        if span is not None:
            yield Slot((left + right) / 2 - x0, wide, deep, above, span)


def _slits(state: PieceState, paper: BaseGeometry) -> Iterator[Slot]:
    """Upright cuts from the upper or the lower edge into the paper."""
    x0, y0, x1, y1 = paper.bounds
    for mark in state.marks:
        for run in mark.runs if mark.kind.cuts and not mark.kind.folds else ():
            line = _upright(state, shapely.LineString([floats(run.start), floats(run.end)]))
            left, low, right, high = line.bounds
            above, below = high > y1 - EQUAL_LENGTHS, low < y0 + EQUAL_LENGTHS
            if (right - left < EQUAL_LENGTHS and above != below
                    and line.centroid.distance(paper.boundary) > EQUAL_LENGTHS):
                yield Slot(left - x0, 0.0, high - low, above, mark.span)
