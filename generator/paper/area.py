"""The area of a piece: its outline as a region, and what is left when part of it is cut away."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

from shapely import make_valid, prepare
from shapely.geometry.base import BaseGeometry

from generator.geometry import (
    Line,
    Loop,
    Real,
    Region,
    Stroke,
    clipped_outside,
    cut_away,
    overlaps,
    turns_left,
)
from generator.geometry.tolerances import MAX_SWING, PLACE_TOLERANCE
from generator.paper.coordinates import point
from generator.paper.plan_builder import Area, PlanBuilder
from generator.paper.records import Fold, Mark, OutlineStroke, PieceState
from generator.units import Quantity

LineWork = TypeVar("LineWork", Mark, Fold)


def region_of(state: PieceState) -> Region:
    """The area of a piece in its own frame."""
    return Region(tuple(rim.stroke for rim in state.outline),
                  tuple(tuple(rim.stroke for rim in hole) for hole in state.holes))


def area_of(builder: PlanBuilder, state: PieceState) -> Area:
    """The area of a piece, worked out once for each outline."""
    key = id(state.outline)
    held = builder.areas.get(key)
    if held is None or held[0] is not state.outline:     # an id may be used again once its outline is gone
        builder.count_work(len(state.outline))
        region = region_of(state)
        polygon = valid_polygon(region)
        grown = polygon.buffer(MAX_SWING)
        prepare(polygon)
        prepare(grown)
        held = builder.areas[key] = (state.outline, Area(region, polygon, grown))
    return held[1]


def valid_polygon(region: Region) -> BaseGeometry:
    """A region as a valid shapely polygon, repaired where panels of a net touch."""
    result = region.polygon()
    return result if result.is_valid else make_valid(result)


def is_plain_sheet(state: PieceState) -> bool:
    """True while the piece is still the whole rectangle it was cut as."""
    return len(state.outline) == 4 and not state.holes and not state.faces


def rectangle_between(x: tuple[Quantity, Quantity], y: tuple[Quantity, Quantity]) -> tuple[Line, ...]:
    """A rectangle's four edges, counter-clockwise from its lower left corner, own coordinates."""
    corners = (point(x[0], y[0]), point(x[1], y[0]), point(x[1], y[1]), point(x[0], y[1]))
    return tuple(Line(corners[i], corners[(i + 1) % 4]) for i in range(4))


def remaining_runs(run: Stroke, other: Stroke) -> tuple[Stroke, ...]:
    """What is left of ``run`` where ``other`` does not lie along it."""
    spans = sorted(overlaps(run, other))
    if not spans:
        return (run,)
    left: list[Stroke] = []
    t: Real = 0
    for first, last in spans:
        if (first - t) * run.length() > PLACE_TOLERANCE:
            left.append(run.part(t, first))
        t = max(t, last)
    if (1 - t) * run.length() > PLACE_TOLERANCE:
        left.append(run.part(t, 1))
    return tuple(left)


def cut_area_out(builder: PlanBuilder, state: PieceState, area: Sequence[Stroke],
                 parameter: str | None = None) -> None:
    """Cut ``area`` (closed) out of a piece: its outline follows, marks in it or along it are gone.

    Raises Trouble when nothing would be removed, nothing would be left, or the
    piece would fall in two.
    """
    rims = [*state.outline, *(rim for hole in state.holes for rim in hole)]
    builder.count_work(4 * (len(rims) + len(area)) + (len(state.marks) + len(state.folds)) // 4)
    loops = cut_away([rim.stroke for rim in rims], area)
    outer = [loop for loop in loops if turns_left([stroke for stroke, _, _ in loop.strokes])]
    if not outer:
        builder.refuse("zero-length", f"this would remove the whole of '{builder.info(state.piece).name}'",
                   "make the area smaller", at=parameter)
    if len(outer) > 1:
        builder.refuse("shape-wrong",
                       f"'{builder.info(state.piece).name}' would fall into {len(outer)} parts",
                   "cut the parts as pieces of their own", at=parameter)
    if not any(origin == "removed" for loop in loops for _, origin, _ in loop.strokes):
        builder.refuse("mark-off-piece", "there is no paper where this would remove some",
                   "check the span against the size of the piece", at=parameter)
    builder.change(state.piece, outline=_outline_strokes(builder, rims, outer[0]),
               holes=tuple(_outline_strokes(builder, rims, loop) for loop in loops if loop is not outer[0]),
               marks=_remaining_lines(state.marks, area), folds=_remaining_lines(state.folds, area))


def _outline_strokes(builder: PlanBuilder, old: Sequence[OutlineStroke],
                     loop: Loop) -> tuple[OutlineStroke, ...]:
    result = []
    for stroke, origin, index in loop.strokes:
        rim = old[index] if origin == "outline" else None
        result.append(OutlineStroke(stroke, rim.act, rim.step, rim.span)
                    if rim else OutlineStroke(stroke, builder.act, builder.step, builder.span))
    return tuple(result)


def _remaining_lines(lines: Sequence[LineWork], area: Sequence[Stroke]) -> tuple[LineWork, ...]:
    """Marks or folds with what of their runs lies outside an area."""
    region = Region(tuple(area))
    x0, y0, x1, y1 = map(float, region.bounds())
    left: list[LineWork] = []
    for line in lines:
        if all(_outside_box(run, x0, y0, x1, y1) for run in line.runs):
            left.append(line)
            continue
        runs = tuple(part for run in line.runs for part in clipped_outside(run, region)
                     if part.length() > PLACE_TOLERANCE)
        left.append(replace(line, runs=runs))
    return tuple(left)


def _outside_box(run: Stroke, x0: float, y0: float, x1: float, y1: float) -> bool:
    a0, b0, a1, b1 = run.box
    return (a0 > x1 + PLACE_TOLERANCE or a1 < x0 - PLACE_TOLERANCE or b0 > y1 + PLACE_TOLERANCE
            or b1 < y0 - PLACE_TOLERANCE)
