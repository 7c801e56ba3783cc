"""The published properties of things: what may stand after a dot."""
from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from generator.language.prose import extents
from generator.paper.job import Job
from generator.paper.lie import own_axis, own_side, rises, side_at, side_axis
from generator.paper.nets import edges_of
from generator.paper.patterns import bays
from generator.paper.records import Direction, Face, Fold, Mark, Paper, Side
from generator.paper.values import Bay, Edge, Group, Piece, Place, Size, Spot, Word
from generator.units import Quantity, number


@dataclass(frozen=True, slots=True)
class Each:
    """A group whose members are selected from one by one: ``petals.edges.each[3]``."""

    items: tuple[object, ...]


Getter = Callable[[Job, object], object]


def _marks(job: Job, mark: Mark) -> object:
    if mark.position is not None:
        return mark.position
    return Group(tuple(position for position, _ in mark.positions))


def _mark_length(job: Job, mark: Mark) -> object:
    names = frozenset().union(*(p.names for p, _ in mark.positions)) if mark.positions else frozenset()
    return Quantity(sum(s.length() for s in mark.whole), 1, names)


def _bay_end(side: Side) -> Getter:
    def get(job: Job, bay: Bay) -> Place:
        state = job.state(bay.piece)
        axis = side_axis(side)
        if own_axis(state.lie, axis) != bay.axis:
            ends = "bottom, top and middle" if axis == "x" else "left, right and middle"
            job.refuse("attribute-unknown", f"this bay has no {side} of its own", f"it has {ends}")
        low_first = rises(state.lie, axis) == (side in (Side.LEFT, Side.BOTTOM))
        return Place(bay.piece, bay.axis, bay.low if low_first else bay.high)
    return get


def _bay_middle(job: Job, bay: Bay) -> Place:
    return Place(bay.piece, bay.axis, (bay.low + bay.high) / number(2))


def _piece_side(side: Side) -> Getter:
    def get(job: Job, piece: Piece) -> Place:
        state = job.state(piece)
        own = own_side(state.lie, side)
        return Place(piece.id, side_axis(own), side_at(state, own))
    return get


def _edges(job: Job, piece: Piece) -> object:
    state = job.state(piece)
    if not state.faces:
        job.refuse("attribute-unknown", "a sheet has no edges to attach to", "begin the net with panel(…)")
    return edges_of(job, state.faces[0])


def _seen(job: Job, fold: Fold) -> Word:
    """The fold as seen from the side that is up now: turned over, a mountain is a valley."""
    mark_piece = next(p for p, history in job.states.items() if any(m.id == fold.mark for m in history[-1][1].marks))
    printed_up = (job.info(mark_piece).up == "printed") != job.state(mark_piece).lie.over
    if printed_up:
        return Word(fold.direction.value)
    return Word("valley" if fold.direction is Direction.MOUNTAIN else "mountain")


def _measured_from(job: Job, mark: Mark) -> Word:
    if mark.measured_from is None:
        job.refuse("attribute-unknown", "this mark is not one distance from one edge", "use .marks")
    return Word(mark.measured_from.value)


_SIDES = {side.value: _bay_end(side) for side in Side}

ATTRIBUTES: Mapping[type, Mapping[str, Getter]] = {
    Mark: {"marks": _marks, "bays": lambda job, m: bays(job, m), "length": _mark_length,
           "measured_from": _measured_from},
    Bay: {**_SIDES, "middle": _bay_middle, "width": lambda job, b: b.high - b.low},
    Face: {"width": lambda job, f: extents(job, f)[0], "height": lambda job, f: extents(job, f)[1],
           "edges": lambda job, f: edges_of(job, f)},
    Edge: {"length": lambda job, e: e.length},
    Piece: {**{side.value: _piece_side(side) for side in Side}, "width": lambda job, p: extents(job, p)[0],
            "height": lambda job, p: extents(job, p)[1], "edges": _edges},
    Paper: {"thickness": lambda job, p: _of_paper(job, p, "thickness"),
            "weight": lambda job, p: _of_paper(job, p, "weight")},
    Fold: {"seen": _seen},
    Size: {"width": lambda job, s: s.width, "height": lambda job, s: s.height},
    Spot: {},
}

OF_GROUPS: Mapping[str, Callable[[Job, Group], object]] = {
    "first": lambda job, g: _one(job, g, 0),
    "last": lambda job, g: _one(job, g, -1),
    "odd": lambda job, g: Group(g.items[::2]),
    "even": lambda job, g: Group(g.items[1::2]),
    "all": lambda job, g: Group(tuple(flat(g))),
    "count": lambda job, g: number(len(g)),
    "each": lambda job, g: Each(g.items),
    "bays": lambda job, g: bays(job, g),
}


def _of_paper(job: Job, paper: Paper, name: str) -> object:
    value = getattr(paper, name)
    if value is None:
        job.refuse("attribute-unknown", f"the paper '{paper.name}' says nothing of its {name}",
                   f"add {name} to it in the front matter")
    return number(value) if isinstance(value, int) else value


def _one(job: Job, group: Group, k: int) -> object:
    if not group.items:
        job.refuse("select-range", "this group is empty", "give it members first")
    return group.items[k]


def flat(value: object) -> list[object]:
    """Groups within groups as one list."""
    if not isinstance(value, Group):
        return [value]
    return [leaf for item in value.items for leaf in flat(item)]


def names_of(value: object) -> tuple[str, ...]:
    """What may stand after a dot behind this value."""
    if isinstance(value, Group):
        inner = names_of(value.items[0]) if value.items else ()
        return tuple(dict.fromkeys((*OF_GROUPS, *inner)))
    return tuple(ATTRIBUTES.get(type(value), ()))
