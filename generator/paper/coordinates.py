"""Bind what the source says of a place to a coordinate in the piece's own frame."""
from __future__ import annotations

from collections.abc import Iterable

from generator.dataclass import dataclass
from generator.geometry import Point
from generator.paper.orientation import (
    coordinate_inside,
    distance_inside,
    own_axis,
    own_side,
    same_direction,
    side_axis,
    side_coordinate,
)
from generator.paper.plan_builder import CallContext
from generator.paper.records import Mark, PieceState, Side
from generator.paper.values import (
    Bay,
    Group,
    PiecePlace,
    PlaceSpan,
    ReflectedPlace,
    ShiftedPlace,
    UnboundPoint,
    VocabularyWord,
)
from generator.units import Quantity, number

LOW_SIDE = {"x": Side.LEFT, "y": Side.BOTTOM}


@dataclass(frozen=True, slots=True)
class BoundLine:
    """A line in the own frame: ``at`` on ``axis``; ``position`` is its distance from reader's ``side``."""

    axis: str
    at: Quantity
    position: Quantity
    side: Side


def bind_place(context: CallContext, state: PieceState, axis: str, value: object, side: Side | None = None,
         parameter: str | None = None) -> BoundLine:
    """Bind a place on the reader's ``axis`` ("x" across, "y" up); distances count from ``side``.

    Raises Trouble where the value is a line of another piece or across the axis.
    """
    side = side or LOW_SIDE[axis]
    if side_axis(side) != axis:
        context.refuse("call-kind", f"a place on {axis} cannot be measured from the {side}",
                   "x is measured from left or right, y from top or bottom", at="measured_from")
    if isinstance(value, Quantity):
        own = own_side(state.orientation, side)
        return BoundLine(side_axis(own), coordinate_inside(state, own, value), value, side)
    at = _line_coordinate(context, state, axis, value, parameter)
    own = own_side(state.orientation, side)
    return BoundLine(side_axis(own), at, distance_inside(state, own, at), side)


def _line_coordinate(context: CallContext, state: PieceState, axis: str, value: object,
                     parameter: str | None) -> Quantity:
    if isinstance(value, VocabularyWord):
        return _edge_coordinate(context, state, axis, value.value, parameter)
    if isinstance(value, ShiftedPlace):
        base = _line_coordinate(context, state, axis, value.base,
                                parameter) if not isinstance(value.base, Quantity) else value.base
        return base + (value.by if same_direction(state.orientation, axis) else -value.by)
    if isinstance(value, ReflectedPlace):
        base = bind_place(context, state, axis, value.base, None, parameter).at
        if reader_axis(state, value.about) != axis:
            return base
        return bind_place(context, state, axis, value.about, None, parameter).at * number(2) - base
    return _own_line_coordinate(context, state, axis, value, parameter)


def reader_axis(state: PieceState, line: object) -> str:
    """On which of the reader's axes a line is one place.

    A bare distance and ``middle_coordinate`` count as upright ones.
    """
    if isinstance(line, ShiftedPlace):
        return reader_axis(state, line.base)
    if isinstance(line, VocabularyWord):
        return "y" if line.value in ("top", "bottom") else "x"
    own = getattr(line, "axis", None)
    return own_axis(state.orientation, own) if own else "x"     # a quarter turn exchanges the axes either way


def _edge_coordinate(context: CallContext, state: PieceState, axis: str, name: str,
                     parameter: str | None) -> Quantity:
    if name == "middle":
        return middle_coordinate(state, own_axis(state.orientation, axis))
    if name not in {side.value for side in Side}:
        context.refuse("call-kind", f"the word '{name}' is no place on the piece",
                   "use left, right, top, bottom or middle", at=parameter)
    side = Side(name)
    if side_axis(side) != axis:
        context.refuse("call-kind", f"'{name}' is no place on {axis}",
                   "use left or right on x, top or bottom on y", at=parameter)
    return side_coordinate(state, own_side(state.orientation, side))


def middle_coordinate(state: PieceState, axis: str) -> Quantity:
    """Own coordinate of the middle of a piece along an own axis."""
    low, high = (Side.LEFT, Side.RIGHT) if axis == "x" else (Side.BOTTOM, Side.TOP)
    return (side_coordinate(state, low) + side_coordinate(state, high)) / number(2)


def _own_line_coordinate(context: CallContext, state: PieceState, axis: str, value: object,
                         parameter: str | None) -> Quantity:
    line = as_piece_place(context, value, parameter)
    if line.piece != state.piece:
        context.refuse("piece-wrong", f"this mark is on '{context.info(line.piece).name}', "
                   f"the work is on '{context.info(state.piece).name}'", "name a mark of the same piece",
                   at=parameter)
    if line.axis != own_axis(state.orientation, axis):
        across = "up and down" if axis == "x" else "across"
        context.refuse("call-kind", f"this mark does not run {across}, so it is no place on {axis}",
                   "x takes upright marks, y takes level ones; a turned piece changes which is which",
                   at=parameter)
    return line.at


def as_piece_place(context: CallContext, value: object, parameter: str | None = None) -> PiecePlace:
    """A mark or a place as a Place. Raises Trouble for a mark that is not parallel to an edge."""
    if isinstance(value, PiecePlace):
        return value
    if isinstance(value, Mark):
        if value.axis is None or value.place is None:
            context.refuse("call-kind", "this mark is not parallel to an edge, so it is no single place",
                       "name its ends, or use another mark", at=parameter)
        return PiecePlace(value.piece, value.axis, value.place)
    raise context.refusal("call-kind", "this is no place on the piece", "give a distance, a mark or an edge",
                      at=parameter)


def span_coordinates(context: CallContext, state: PieceState, axis: str, value: object,
                     parameter: str) -> tuple[Quantity, Quantity]:
    """The two own coordinates of a span on the reader's ``axis``, the lower first.

    Raises Trouble when empty.
    """
    if isinstance(value, Bay):
        if value.piece != state.piece or value.axis != own_axis(state.orientation, axis):
            context.refuse("piece-wrong", "this bay lies on another piece, or along the other axis",
                           at=parameter)
        return value.low, value.high
    assert isinstance(value, PlaceSpan)
    first, last = (bind_place(context, state, axis, only_member(end), None, parameter).at
                   for end in (value.first, value.last))
    if first.same_as(last):
        context.refuse("zero-length", "this span begins where it ends", "give two different places",
                       at=parameter)
    return (first, last) if first.below(last) else (last, first)


def only_member(value: object) -> object:
    """The only member of a group of one, else the value itself."""
    return value.items[0] if isinstance(value, Group) and len(value) == 1 else value


def bind_point(context: CallContext, state: PieceState, spot: UnboundPoint) -> tuple[BoundLine, BoundLine]:
    """The two lines through a point of the piece as it lies: across, then up."""
    return bind_place(context, state, "x", spot.x), bind_place(context, state, "y", spot.y)


def point_positions(state: PieceState, bounds: Iterable[BoundLine]) -> tuple[tuple[Quantity, Side], ...]:
    """The distances a reader sets to find a point: across from the left, up from the bottom.

    A point on an edge of the piece needs no distance along that axis.
    """
    return tuple((bound.position, bound.side) for bound in bounds if not on_edge(state, bound.axis, bound.at))


def on_edge(state: PieceState, axis: str, at: Quantity) -> bool:
    """Whether a line of the own frame lies on an edge of the bounding rectangle."""
    sides = (Side.LEFT, Side.RIGHT) if axis == "x" else (Side.BOTTOM, Side.TOP)
    return any(side_coordinate(state, side).same_as(at) for side in sides)


def end_positions(context: CallContext, state: PieceState, axis: str,
                  span: object) -> tuple[tuple[Quantity, Side], ...]:
    """The distances a reader sets for the ends of a span.

    None for an edge of the piece or a mark that is there.
    """
    if not isinstance(span, PlaceSpan):
        return ()
    bounds = [bind_place(context, state, axis, only_member(end)) for end in (span.first, span.last)]
    return tuple((bound.position, bound.side) for bound in bounds
                 if not on_edge(state, bound.axis, bound.at) and not _has_mark_at(state, bound))


def _has_mark_at(state: PieceState, bound: BoundLine) -> bool:
    return any(mark.axis == bound.axis and mark.place is not None and mark.place.same_as(bound.at)
               for mark in state.marks)


def point(x: Quantity, y: Quantity) -> Point:
    """Quantities as a bare point of the own frame, in mm."""
    return Point(x.value, y.value)
