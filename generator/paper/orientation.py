"""How a piece lies before the reader, and what its sides are called there.

A Lie is (quarters clockwise, then turned over about the upright line). The
own frame of the piece never moves; here reader's sides become own sides.
"""
from __future__ import annotations

from generator.paper.records import Orientation, PieceState, Side
from generator.units import ZERO, Quantity

# clockwise from the top; a quarter turn clockwise brings own left to the top
_CLOCKWISE_SIDES = (Side.TOP, Side.RIGHT, Side.BOTTOM, Side.LEFT)
_MIRRORED_SIDES = {Side.LEFT: Side.RIGHT, Side.RIGHT: Side.LEFT, Side.TOP: Side.TOP, Side.BOTTOM: Side.BOTTOM}


def turned(orientation: Orientation, quarters: int) -> Orientation:
    """The lie after ``quarters`` more turns clockwise, as the reader sees them."""
    # a turned-over piece turns the other way in its own frame
    step = -quarters if orientation.over else quarters
    return Orientation((orientation.quarters + step) % 4, orientation.over)


def turned_over(orientation: Orientation) -> Orientation:
    """The lie after turning the piece over as one turns a page."""
    return Orientation(orientation.quarters, not orientation.over)


def side_up(at_first: str, orientation: Orientation) -> str:
    """The side of a piece that is up, "plain" or "printed", by the one that was up at first."""
    other = {"plain": "printed", "printed": "plain"}
    return other.get(at_first, at_first) if orientation.over else at_first


def own_side(orientation: Orientation, side: Side) -> Side:
    """Which side of the own frame lies at the reader's ``side``."""
    seen = _MIRRORED_SIDES[side] if orientation.over else side
    return _CLOCKWISE_SIDES[(_CLOCKWISE_SIDES.index(seen) - orientation.quarters) % 4]


def reader_side(orientation: Orientation, own: Side) -> Side:
    """The inverse of :func:`own_side`."""
    return next(side for side in _CLOCKWISE_SIDES if own_side(orientation, side) is own)


def own_axis(orientation: Orientation, axis: str) -> str:
    """The own axis along which the reader's ``axis`` ("x" or "y") runs."""
    if orientation.quarters % 2 == 0:
        return axis
    return "y" if axis == "x" else "x"


def side_axis(side: Side) -> str:
    """The axis on which a side is one coordinate: left and right are places on x."""
    return "x" if side in (Side.LEFT, Side.RIGHT) else "y"


def lower_left_corner(state: PieceState) -> tuple[Quantity, Quantity]:
    """Lower left corner of the bounding rectangle in the own frame."""
    return state.origin or (ZERO, ZERO)


def side_coordinate(state: PieceState, own: Side) -> Quantity:
    """Coordinate of an own side of the bounding rectangle."""
    x, y = lower_left_corner(state)
    if own is Side.LEFT:
        return x
    if own is Side.RIGHT:
        return x + state.width if state.origin else state.width
    if own is Side.BOTTOM:
        return y
    return y + state.height if state.origin else state.height


def same_direction(orientation: Orientation, axis: str) -> bool:
    """True when the reader's ``axis`` (to the right, or upward) runs with the own axis it lies on."""
    low = own_side(orientation, Side.LEFT if axis == "x" else Side.BOTTOM)
    return low in (Side.LEFT, Side.BOTTOM)


def coordinate_inside(state: PieceState, own: Side, distance: Quantity) -> Quantity:
    """Coordinate of the line at ``distance_inside`` inside an own side."""
    edge = side_coordinate(state, own)
    if own in (Side.LEFT, Side.BOTTOM):
        return distance if edge is ZERO else edge + distance
    return edge - distance


def distance_inside(state: PieceState, own: Side, at: Quantity) -> Quantity:
    """How far the line at coordinate ``at`` lies inside an own side."""
    edge = side_coordinate(state, own)
    if own in (Side.LEFT, Side.BOTTOM):
        return at if edge is ZERO else at - edge
    return edge - at
