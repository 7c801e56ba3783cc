"""Patterns: places and groups made from others."""
from __future__ import annotations

from generator.paper.job import Job
from generator.paper.kinds import GroupArg, Length, Marks, Number, PlaceArg, Places, ShapesOrMarks
from generator.paper.lie import rises, side_at
from generator.paper.places import as_place, middle
from generator.paper.records import Mark, Side
from generator.paper.shapes import mirrored_shape, whole
from generator.paper.values import Bay, Group, Place, Shape, Shifted, Word
from generator.units import Quantity, number


def every(job: Job, step: Length, count: Number, *, start: Length = None) -> Group:
    """``count`` distances, each ``step`` further on: step, 2 steps, 3 steps … (from ``start`` if given)."""
    copies = whole(job, count, "count")
    job.spend(copies)
    if step.value <= 0:
        job.refuse("length-negative", f"a step of {job.say(step)} leads nowhere", "make it larger than nothing", at="step")
    places = tuple(step * number(k) for k in range(1, copies + 1))
    return Group(tuple(start + p for p in places) if start is not None else places)


def midway(job: Job, marks: Marks) -> object:
    """The places half-way along each bay of parallel marks, the first bay from the starting edge."""
    return Group(tuple(Place(bay.piece, bay.axis, (bay.low + bay.high) / number(2)) for bay in bays(job, marks).items))


def bays(job: Job, marks: object) -> Group:
    """The spans between neighbouring marks of one piece, from the edge they are measured from."""
    items = marks.items if isinstance(marks, Group) else (marks,)
    if not items or not all(isinstance(m, Mark) and m.axis == items[0].axis and m.axis for m in items):
        job.refuse("call-kind", "only parallel marks have bays between them", "use marks made with x=… or y=…")
    state = job.state(items[0].piece)
    first = items[0]
    low = side_at(state, Side.LEFT if first.axis == "x" else Side.BOTTOM)
    high = side_at(state, Side.RIGHT if first.axis == "x" else Side.TOP)
    rising = len(items) < 2 or items[0].place.below(items[1].place)
    if len(items) == 1:
        rising = _from_low(job, first)
    edge = low if rising else high
    ends = [edge, *(m.place for m in items)]
    pairs = zip(ends, ends[1:], strict=False)
    return Group(tuple(Bay(first.piece, first.axis, *((a, b) if rising else (b, a))) for a, b in pairs))


def _from_low(job: Job, mark: Mark) -> bool:
    state = job.state(mark.piece)
    low = side_at(state, Side.LEFT if mark.axis == "x" else Side.BOTTOM)
    return mark.position is None or (mark.place - low).same_as(mark.position)


def offset(job: Job, places: Places, by: Length) -> object:
    """Places moved to the right (or upward) by a length; a negative one moves them back."""
    if isinstance(places, Group):
        return Group(tuple(offset(job, each, by) for each in places.items))
    if isinstance(places, Quantity):
        return places + by
    if isinstance(places, Word):
        return Shifted(places, by)
    if isinstance(places, Shifted):
        return Shifted(places.base, places.by + by)
    place = as_place(job, places, "places")
    state = job.state(place.piece)
    reader = place.axis if state.lie.quarters % 2 == 0 else ("y" if place.axis == "x" else "x")
    return Place(place.piece, place.axis, place.at + (by if rises(state.lie, reader) else -by))


def mirrored(job: Job, what: ShapesOrMarks, *, about: PlaceArg = None) -> object:
    """Shapes or marks mirrored about a mark or ``middle``; marks become places on the other half.

    Without ``about`` it is the middle of the piece: the upright one for shapes.
    """
    if isinstance(what, Group):
        return Group(tuple(mirrored(job, each, about=about) for each in what.items))
    if isinstance(what, Shape):
        return mirrored_shape(what, about if about is not None else Word("middle"))
    place = as_place(job, what, "what")
    centre = as_place(job, about, "about").at if isinstance(about, Mark | Place) else middle(
        job.state(place.piece), place.axis)
    return Place(place.piece, place.axis, centre * number(2) - place.at)


def rotated(job: Job, group: GroupArg, by: Number = None) -> Group:
    """A group begun further on (one, or ``by``); those passed over come last."""
    items = group.items if isinstance(group, Group) else (group,)
    k = (whole(job, by, "by", least=0) if by is not None else 1) % len(items)
    return Group(items[k:] + items[:k])


def reversed_order(job: Job, group: GroupArg) -> Group:
    """A group from last to first."""
    return Group(tuple(reversed(group.items if isinstance(group, Group) else (group,))))
