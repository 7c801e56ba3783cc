"""Bind what the source says of a place to a coordinate in the piece's own frame."""
from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from generator.geometry import Point
from generator.paper.job import Job
from generator.paper.lie import away, distance, own_axis, own_side, rises, side_at, side_axis
from generator.paper.records import Mark, PieceState, Side
from generator.paper.values import Bay, Between, Group, Place, Reflected, Shifted, Spot, Word
from generator.units import Quantity, number

LOW = {"x": Side.LEFT, "y": Side.BOTTOM}


@dataclass(frozen=True, slots=True)
class Bound:
    """A line in the own frame: ``at`` on ``axis``; ``position`` is its distance from reader's ``side``."""

    axis: str
    at: Quantity
    position: Quantity
    side: Side


def bind(job: Job, state: PieceState, axis: str, value: object, side: Side | None = None,
         parameter: str | None = None) -> Bound:
    """Bind a place on the reader's ``axis`` ("x" across, "y" up); distances count from ``side``.

    Raises Trouble where the value is a line of another piece or across the axis.
    """
    side = side or LOW[axis]
    if side_axis(side) != axis:
        job.refuse("call-kind", f"a place on {axis} cannot be measured from the {side}",
                   "x is measured from left or right, y from top or bottom", at="measured_from")
    if isinstance(value, Quantity):
        own = own_side(state.lie, side)
        return Bound(side_axis(own), away(state, own, value), value, side)
    at = _line(job, state, axis, value, parameter)
    own = own_side(state.lie, side)
    return Bound(side_axis(own), at, distance(state, own, at), side)


def _line(job: Job, state: PieceState, axis: str, value: object, parameter: str | None) -> Quantity:
    if isinstance(value, Word):
        return _edge(job, state, axis, value.value, parameter)
    if isinstance(value, Shifted):
        base = _line(job, state, axis, value.base, parameter) if not isinstance(value.base, Quantity) else value.base
        return base + (value.by if rises(state.lie, axis) else -value.by)
    if isinstance(value, Reflected):
        base = bind(job, state, axis, value.base, None, parameter).at
        if reader_axis(state, value.about) != axis:
            return base
        return bind(job, state, axis, value.about, None, parameter).at * number(2) - base
    return _own_line(job, state, axis, value, parameter)


def reader_axis(state: PieceState, line: object) -> str:
    """On which of the reader's axes a line is one place; a bare distance and ``middle`` count as upright ones."""
    if isinstance(line, Shifted):
        return reader_axis(state, line.base)
    if isinstance(line, Word):
        return "y" if line.value in ("top", "bottom") else "x"
    own = getattr(line, "axis", None)
    return own_axis(state.lie, own) if own else "x"     # a quarter turn exchanges the axes either way


def _edge(job: Job, state: PieceState, axis: str, name: str, parameter: str | None) -> Quantity:
    if name == "middle":
        return middle(state, own_axis(state.lie, axis))
    if name not in {side.value for side in Side}:
        job.refuse("call-kind", f"the word '{name}' is no place on the piece", "use left, right, top, bottom or middle",
                   at=parameter)
    side = Side(name)
    if side_axis(side) != axis:
        job.refuse("call-kind", f"'{name}' is no place on {axis}",
                   "use left or right on x, top or bottom on y", at=parameter)
    return side_at(state, own_side(state.lie, side))


def middle(state: PieceState, axis: str) -> Quantity:
    """Own coordinate of the middle of a piece along an own axis."""
    low, high = (Side.LEFT, Side.RIGHT) if axis == "x" else (Side.BOTTOM, Side.TOP)
    return (side_at(state, low) + side_at(state, high)) / number(2)


def _own_line(job: Job, state: PieceState, axis: str, value: object, parameter: str | None) -> Quantity:
    line = as_place(job, value, parameter)
    if line.piece != state.piece:
        job.refuse("piece-wrong", f"this mark is on '{job.info(line.piece).name}', "
                   f"the work is on '{job.info(state.piece).name}'", "name a mark of the same piece", at=parameter)
    if line.axis != own_axis(state.lie, axis):
        across = "up and down" if axis == "x" else "across"
        job.refuse("call-kind", f"this mark does not run {across}, so it is no place on {axis}",
                   "x takes upright marks, y takes level ones; a turned piece changes which is which", at=parameter)
    return line.at


def as_place(job: Job, value: object, parameter: str | None = None) -> Place:
    """A mark or a place as a Place. Raises Trouble for a mark that is not parallel to an edge."""
    if isinstance(value, Place):
        return value
    if isinstance(value, Mark):
        if value.axis is None or value.place is None:
            job.refuse("call-kind", "this mark is not parallel to an edge, so it is no single place",
                       "name its ends, or use another mark", at=parameter)
        return Place(value.piece, value.axis, value.place)
    job.refuse("call-kind", "this is no place on the piece", "give a distance, a mark or an edge", at=parameter)


def extent(job: Job, state: PieceState, axis: str, value: object, parameter: str) -> tuple[Quantity, Quantity]:
    """The two own coordinates of a span on the reader's ``axis``, the lower first. Raises Trouble when empty."""
    if isinstance(value, Bay):
        if value.piece != state.piece or value.axis != own_axis(state.lie, axis):
            job.refuse("piece-wrong", "this bay lies on another piece, or along the other axis", at=parameter)
        return value.low, value.high
    assert isinstance(value, Between)
    first, last = (bind(job, state, axis, single(end), None, parameter).at for end in (value.first, value.last))
    if first.same_as(last):
        job.refuse("zero-length", "this span begins where it ends", "give two different places", at=parameter)
    return (first, last) if first.below(last) else (last, first)


def single(value: object) -> object:
    """The only member of a group of one, else the value itself."""
    return value.items[0] if isinstance(value, Group) and len(value) == 1 else value


def bind_spot(job: Job, state: PieceState, spot: Spot) -> tuple[Bound, Bound]:
    """The two lines through a point of the piece as it lies: across, then up."""
    return bind(job, state, "x", spot.x), bind(job, state, "y", spot.y)


def positions_of(state: PieceState, bounds: Iterable[Bound]) -> tuple[tuple[Quantity, Side], ...]:
    """The distances a reader sets to find a point: across from the left, up from the bottom.

    A point on an edge of the piece needs no distance along that axis.
    """
    return tuple((bound.position, bound.side) for bound in bounds if not on_edge(state, bound.axis, bound.at))


def on_edge(state: PieceState, axis: str, at: Quantity) -> bool:
    """Whether a line of the own frame lies on an edge of the bounding rectangle."""
    sides = (Side.LEFT, Side.RIGHT) if axis == "x" else (Side.BOTTOM, Side.TOP)
    return any(side_at(state, side).same_as(at) for side in sides)


def end_positions(job: Job, state: PieceState, axis: str, span: object) -> tuple[tuple[Quantity, Side], ...]:
    """The distances a reader sets for the ends of a span: none for an edge of the piece or a mark that is there."""
    if not isinstance(span, Between):
        return ()
    bounds = [bind(job, state, axis, single(end)) for end in (span.first, span.last)]
    return tuple((bound.position, bound.side) for bound in bounds
                 if not on_edge(state, bound.axis, bound.at) and not _marked(state, bound))


def _marked(state: PieceState, bound: Bound) -> bool:
    return any(mark.axis == bound.axis and mark.place.same_as(bound.at) for mark in state.marks)


def point(x: Quantity, y: Quantity) -> Point:
    """Quantities as a bare point of the own frame, in mm."""
    return Point(x.value, y.value)
