"""Groups side by side: equal ones are paired off, single values repeat, and nothing is ever multiplied out.

Patterns: places and groups made from others.
"""
from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar, overload

from generator.paper.coordinates import as_piece_place, bind_place
from generator.paper.orientation import own_axis, same_direction, side_coordinate
from generator.paper.parameter_kinds import (
    Anything,
    GroupArg,
    Length,
    Lengths,
    Marks,
    Number,
    PlaceArg,
    Places,
    ShapesOrMarks,
)
from generator.paper.plan_builder import CallContext
from generator.paper.records import Mark, Side
from generator.paper.shapes import mirrored_shape, whole_number
from generator.paper.values import Bay, Group, PiecePlace, PlaceValue, Shape, ShiftedPlace, VocabularyWord
from generator.units import Quantity, number

A = TypeVar("A")
B = TypeVar("B")
C = TypeVar("C")


def members(value: Group[A] | A) -> tuple[A, ...]:
    """The members of a group; a single thing is the only one of its own."""
    return value.items if isinstance(value, Group) else (value,)


def has_group(*values: object) -> bool:
    """True where one of the values is a group, so that what is made of them is one too."""
    return any(isinstance(value, Group) for value in values)


@overload
def paired(context: CallContext, a: Group[A] | A, b: Group[B] | B, /) -> list[tuple[A, B]]: ...


@overload
def paired(context: CallContext, a: Group[A] | A, b: Group[B] | B, c: Group[C] | C,
           /) -> list[tuple[A, B, C]]: ...


@overload
def paired(context: CallContext, /, *values: object) -> Sequence[tuple[object, ...]]: ...


def paired(context: CallContext, /, *values: object) -> Sequence[tuple[object, ...]]:
    """One row for each member of the groups among ``values``; single values stand in every row.

    Raises Trouble where two groups are of unequal size.
    """
    sizes = [len(value) for value in values if isinstance(value, Group)]
    if len(set(sizes)) > 1:
        first, other = sizes[0], next(n for n in sizes if n != sizes[0])
        context.refuse("group-sizes", f"a group of {first} stands beside a group of {other}",
                   "use groups of equal size, or a single value")
    count = sizes[0] if sizes else 1
    context.count_work(5 * count)
    return [tuple(v.items[k] if isinstance(v, Group) else v for v in values) for k in range(count)]


def flattened(value: object) -> list[object]:
    """Groups within groups as one list."""
    if not isinstance(value, Group):
        return [value]
    return [leaf for item in value.items for leaf in flattened(item)]


def every(context: CallContext, step: Length, count: Number, *,
          start: Length | None = None) -> Group[Quantity]:
    """``count`` distances, each ``step`` further on: step, 2 steps, 3 steps … (from ``start`` if given)."""
    copies = whole_number(context, count, "count")
    context.count_work(copies)
    if step.value <= 0:
        context.refuse("length-negative", f"a step of {context.format_length(step)} leads nowhere",
                   "make it larger than nothing", at="step")
    places = tuple(step * number(k) for k in range(1, copies + 1))
    return Group(tuple(start + p for p in places) if start is not None else places)


def along(context: CallContext, *lengths: Lengths) -> Group[Quantity]:
    """Distances that follow one another, for panels of unequal width: a, a + b, a + b + c."""
    steps = [size for given in lengths for size in members(given)]
    if not steps:
        context.refuse("call-missing", "nothing follows one another here", "give the widths in their order")
    reached = [steps[0]]
    for step in steps[1:]:
        reached.append(reached[-1] + step)
    return Group(tuple(reached))


def group(context: CallContext, *things: Anything) -> Group[object]:
    """Several things as one group, in this order; groups among them are opened."""
    found = tuple(thing for given in things for thing in flattened(given))
    context.count_work(len(found))
    return Group(found)


def interleaved(context: CallContext, *groups: Anything) -> Group[object]:
    """Equal groups by turns: the first of each, then the second of each, as a ribbon takes holes in pairs."""
    return Group(tuple(thing for row in paired(context, *groups) for thing in row))


def midway(context: CallContext, marks: Marks) -> Group[PiecePlace]:
    """The places half-way along each bay of parallel marks, the first bay from the starting edge."""
    return Group(tuple(PiecePlace(bay.piece, bay.axis, (bay.low + bay.high) / number(2))
                       for bay in bays(context, marks).items))


def bays(context: CallContext, marks: Mark | Group[Mark]) -> Group[Bay]:
    """The spans between neighbouring marks of one piece, from the edge they are measured from."""
    items = members(marks)
    places = [PiecePlace(m.piece, m.axis, m.place) for m in items
              if isinstance(m, Mark) and m.axis and m.place is not None]
    if not items or len(places) < len(items) or len({(p.piece, p.axis) for p in places}) > 1:
        raise context.refusal("call-kind", "only parallel marks have bays between them",
                              "use marks made with x=… or y=…")
    context.count_work(2 * len(items))
    first, state = places[0], context.state(places[0].piece)
    low = side_coordinate(state, Side.LEFT if first.axis == "x" else Side.BOTTOM)
    high = side_coordinate(state, Side.RIGHT if first.axis == "x" else Side.TOP)
    rising = (first.at.below(places[1].at)
              if len(places) > 1 else _from_low_side(low, first, items[0].position))
    ends = [low if rising else high, *(p.at for p in places)]
    pairs = [(a, b) if rising else (b, a) for a, b in zip(ends, ends[1:], strict=False)]
    if not all(a.below(b) for a, b in pairs):
        context.refuse("call-kind", "these marks do not follow one another from one edge to the other",
                       "bays lie between marks in the order in which they lie on the paper")
    return Group(tuple(Bay(first.piece, first.axis, a, b) for a, b in pairs))


def _from_low_side(low: Quantity, place: PiecePlace, position: Quantity | None) -> bool:
    """Whether ``position`` is the distance of a place from the left or the bottom edge."""
    return position is None or (place.at - low).same_as(position)


def offset(context: CallContext, places: Places, by: Lengths) -> PlaceValue | Group[PlaceValue]:
    """Places moved to the right (or upward) by a length; a negative one moves them back."""
    rows: list[tuple[PlaceValue, Quantity]] = paired(context, places, by)
    moved = tuple(_moved_place(context, place, size) for place, size in rows)
    return Group(moved) if has_group(places, by) else moved[0]


def _moved_place(context: CallContext, place: PlaceValue, by: Quantity) -> PlaceValue:
    if isinstance(place, Quantity):
        return place + by
    if isinstance(place, VocabularyWord):
        return ShiftedPlace(place, by)
    if isinstance(place, ShiftedPlace):
        return ShiftedPlace(place.base, place.by + by)
    place = as_piece_place(context, place, "places")
    state = context.state(place.piece)
    # a quarter turn exchanges the axes either way
    rising = same_direction(state.orientation, own_axis(state.orientation, place.axis))
    return PiecePlace(place.piece, place.axis, place.at + (by if rising else -by))


def mirrored(context: CallContext, what: ShapesOrMarks, *, about: PlaceArg | None = None) -> object:
    """Shapes or marks mirrored about a mark or ``middle``; marks become places on the other half.

    Without ``about`` it is the middle of the piece: the upright one for shapes.
    """
    if isinstance(what, Group):
        return Group(tuple(mirrored(context, one, about=about) for one in what.items))
    line = about if about is not None else VocabularyWord("middle")
    if isinstance(what, Shape):
        return mirrored_shape(what, line)
    place = as_piece_place(context, what, "what")
    state = context.state(place.piece)
    centre = bind_place(context, state, own_axis(state.orientation, place.axis), line, None, "about").at
    return PiecePlace(place.piece, place.axis, centre * number(2) - place.at)


def rotated(context: CallContext, group: GroupArg, by: Number | None = None) -> Group[object]:
    """A group begun further on (one, or ``by``); those passed over come last."""
    items = members(group)
    if not items:
        return Group(())
    k = (whole_number(context, by, "by", least=0) if by is not None else 1) % len(items)
    return Group(items[k:] + items[:k])


def reversed_order(_context: CallContext, group: GroupArg) -> Group[object]:
    """A group from last to first."""
    return Group(tuple(reversed(members(group))))
