"""The published properties of things: what may stand after a dot."""
from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from generator.dataclass import dataclass
from generator.language.evaluation.deferred_properties import DEFERRED_PROPERTIES
from generator.language.evaluation.prose_wording import piece_extents
from generator.paper.orientation import own_axis, own_side, same_direction, side_axis, side_coordinate
from generator.paper.patterns import bays, flattened
from generator.paper.plan_builder import CallContext
from generator.paper.records import Face, Fold, FoldDirection, Glue, Mark, Paper, Seam, Side
from generator.paper.values import (
    Bay,
    Edge,
    Group,
    JointHandle,
    LargestContents,
    PartResults,
    Piece,
    PiecePlace,
    Size,
    SolidSize,
    UnboundPoint,
    VocabularyWord,
)
from generator.paper.verbs.nets import edges_of, hinge_of
from generator.units import Quantity, length, number


@dataclass(frozen=True, slots=True)
class EachMember:
    """A group whose members are selected from one by one: ``petals.edges.each[3]``."""

    items: tuple[object, ...]


# the kind of the second argument is the key under which the getter stands in PROPERTIES
PropertyGetter = Callable[[CallContext, Any], object]


def _marks(_context: CallContext, mark: Mark) -> object:
    if mark.position is not None:
        return mark.position
    return Group(tuple(position for position, _ in mark.positions))


def _mark_length(context: CallContext, mark: Mark) -> Quantity:
    if mark.length is None:
        context.refuse("attribute-unknown", "a hole has no length", "it has .marks")
    return mark.length


def _bay_end(side: Side) -> PropertyGetter:
    def get(context: CallContext, bay: Bay) -> PiecePlace:
        state = context.state(bay.piece)
        axis = side_axis(side)
        if own_axis(state.orientation, axis) != bay.axis:
            ends = "bottom, top and middle" if axis == "x" else "left, right and middle"
            context.refuse("attribute-unknown", f"this bay has no {side} of its own", f"it has {ends}")
        low_first = same_direction(state.orientation, axis) == (side in (Side.LEFT, Side.BOTTOM))
        return PiecePlace(bay.piece, bay.axis, bay.low if low_first else bay.high)
    return get


def _bay_middle(_context: CallContext, bay: Bay) -> PiecePlace:
    return PiecePlace(bay.piece, bay.axis, (bay.low + bay.high) / number(2))


def _piece_side(side: Side) -> PropertyGetter:
    def get(context: CallContext, piece: Piece) -> PiecePlace:
        state = context.state(piece)
        own = own_side(state.orientation, side)
        return PiecePlace(piece.id, side_axis(own), side_coordinate(state, own))
    return get


def _edges(context: CallContext, piece: Piece) -> object:
    state = context.state(piece)
    if not state.faces:
        context.refuse("attribute-unknown", "a sheet has no edges to attach to",
                       "begin the net with panel(…)")
    return edges_of(context, state.faces[0])


def _faces(context: CallContext, piece: Piece) -> Group[Face]:
    return Group(context.state(piece).faces)


def _hinges(context: CallContext, piece: Piece) -> Group[Mark]:
    state = context.state(piece)
    hung = {(face.act, face.index) for face in state.faces if 0 in face.joined}
    return Group(tuple(mark for mark in state.marks if (mark.act, mark.index) in hung))


def seen_direction(context: CallContext, fold: Fold) -> VocabularyWord:
    """The fold as seen from the side that was up when it was made: turned over, a mountain is a valley."""
    piece, history = next((p, h) for p,
                          h in context.states.items() if any(m.id == fold.mark for m in h[-1][1].marks))
    orientation = next(state.orientation for act, state in reversed(history) if act <= fold.act)
    if (context.info(piece).up == "printed") != orientation.over:
        return VocabularyWord(fold.direction.value)
    return VocabularyWord("valley" if fold.direction is FoldDirection.MOUNTAIN else "mountain")


def _order(context: CallContext, joint: JointHandle) -> Group[Quantity]:
    detail = context.acts[joint.act].detail
    if not isinstance(detail, Glue):
        context.refuse("attribute-unknown", "only glued faces have an order", "name what glue(…) gives")
    return Group(tuple(number(k) for k in detail.order))


def _count_of_joint(context: CallContext, joint: JointHandle) -> Quantity:
    act = context.acts[joint.act]
    if isinstance(act.detail, Glue):
        return number(len(act.detail.faces))
    return number(len(act.detail.pairs) if isinstance(act.detail, Seam) else len(act.marks))


def _measured_from(context: CallContext, mark: Mark) -> VocabularyWord:
    if mark.measured_from is None:
        context.refuse("attribute-unknown", "this mark is not one distance from one edge", "use .marks")
    return VocabularyWord(mark.measured_from.value)


def _solid_side(name: str) -> PropertyGetter:
    def get(context: CallContext, bulk: SolidSize) -> Quantity:
        side: Quantity | None = getattr(bulk, name)
        if side is None:
            context.refuse("attribute-unknown", f"what is round has no {name}",
                       "it has .across" + (" and .high" if bulk.high else ""))
        return side
    return get


_BAY_SIDES = {side.value: _bay_end(side) for side in Side}

PROPERTIES: Mapping[type, Mapping[str, PropertyGetter]] = {
    Mark: {"marks": _marks, "bays": lambda context, m: bays(context, m), "length": _mark_length,
           "measured_from": _measured_from},
    Bay: {**_BAY_SIDES, "middle": _bay_middle, "width": lambda _, b: b.high - b.low},
    Face: {"width": lambda context, f: piece_extents(context, f)[0], "height": lambda context,
           f: piece_extents(context, f)[1],
           "edges": lambda context, f: edges_of(context, f), "hinge": hinge_of},
    Edge: {"length": lambda _, e: e.length},
    Piece: {**{side.value: _piece_side(side) for side in Side}, "width": lambda context,
            p: piece_extents(context, p)[0],
            "height": lambda context, p: piece_extents(context, p)[1], "edges": _edges, "faces": _faces,
            "hinges": _hinges},
    Paper: {"thickness": lambda context, p: _paper_property(context, p, "thickness"),
            "weight": lambda context, p: _paper_property(context, p, "weight")},
    Fold: {"seen": seen_direction},
    JointHandle: {"order": _order, "count": _count_of_joint},
    Size: {"width": lambda _, s: s.width, "height": lambda _, s: s.height},
    SolidSize: {name: _solid_side(name) for name in ("across", "deep", "high")},
    LargestContents: {"tin": lambda _, c: c.tin, "box": lambda _, c: c.box, "ball": lambda _, c: c.ball},
    UnboundPoint: {},
}

GROUP_PROPERTIES: Mapping[str, Callable[[CallContext, Group[Any]], object]] = {
    "first": lambda context, g: _member_at(context, g, 0),
    "last": lambda context, g: _member_at(context, g, -1),
    "odd": lambda _, g: Group(g.items[::2]),
    "even": lambda _, g: Group(g.items[1::2]),
    "all": lambda _, g: Group(tuple(flattened(g))),
    "count": lambda _, g: number(len(g)),
    "each": lambda _, g: EachMember(g.items),
    "bays": lambda context, g: bays(context, g),
}

# a single thing is the only one of its group
SINGLE_VALUE_PROPERTIES: Mapping[str, Callable[[object], object]] = {
    "all": lambda one: one, "first": lambda one: one, "last": lambda one: one, "count": lambda _: number(1)}


def _paper_property(context: CallContext, paper: Paper, name: str) -> object:
    value = getattr(paper, name)
    if value is None:
        context.refuse("attribute-unknown", f"the paper '{paper.name}' says nothing of its {name}",
                   f"add {name} to it in the front matter")
    own = f"{paper.name}.{name}"
    if isinstance(value, Quantity):     # the name it depends on is the paper's
        return length(value.value, own)
    return number(value, frozenset({own}))


def _member_at(context: CallContext, group: Group[object], k: int) -> object:
    if not group.items:
        context.refuse("select-range", "this group is empty", "give it members first")
    return group.items[k]


def property_names(value: object, deferred: bool = False) -> tuple[str, ...]:
    """What may stand after a dot behind this value.

    With ``deferred`` also what folding and cutting tell of it.
    """
    if isinstance(value, Group):
        inner = property_names(value.items[0], deferred) if value.items else ()
        return tuple(dict.fromkeys((*GROUP_PROPERTIES, *inner)))
    if isinstance(value, PartResults):
        return value.names
    return (*PROPERTIES.get(type(value), ()), *(DEFERRED_PROPERTIES.get(type(value), ()) if deferred else ()))
