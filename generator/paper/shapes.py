"""The shapes of the board way: drawn between points of a piece that lies on the table."""
from __future__ import annotations

import math

from generator.geometry import (
    Arc,
    Circle,
    EllipseArc,
    Line,
    Point,
    ShapeError,
    Stroke,
    Transform,
    arc_by_radius,
    crosses_itself,
)
from generator.paper.job import Job
from generator.paper.kinds import AngleArg, Length, Number, OutlineArg, PlaceArg, ShapeArg, SideArg, SpotArg
from generator.paper.values import Group, Reflected, Shape, Spot
from generator.units import Quantity


def at(job: Job, x: PlaceArg, y: PlaceArg) -> Spot:
    """The point at a place across (x) and a place up (y)."""
    return Spot(x, y)


def line(job: Job, start: SpotArg, end: SpotArg) -> Shape:
    """A straight line from point to point."""
    def draw(bind):
        a, b = bind.spot(start), bind.spot(end)
        if a == b:
            bind.job.refuse("zero-length", "this line ends where it begins", "give two different points",
                            at=bind.parameter)
        return (Line(a, b),)
    return Shape("a line", (start, end), draw)


def arc(job: Job, start: SpotArg, end: SpotArg, *, bulge: Length = None, radius: Length = None,
        side: SideArg = None) -> Shape:
    """A circle's arc from point to point, by its bulge (height over the chord) or its radius.

    It bulges to the left of the way from start to end; ``side=right`` or a
    negative bulge turns it over.
    """
    if (bulge is None) == (radius is None):
        job.refuse("call-missing", "an arc needs either its bulge or its radius", "give bulge=… or radius=…")
    left = side is None or side.value != "right"

    def draw(bind):
        a, b = bind.spot(start), bind.spot(end)
        to_left = left != bind.mirrors
        if bulge is not None:
            return (Arc(a, b, bulge.value if to_left else -bulge.value),)
        return (arc_by_radius(a, b, radius.value, to_left),)
    size = bulge if bulge is not None else radius
    return Shape("an arc", (start, end), draw, sizes=(-size if size.value < 0 else size,))


def ellipse(job: Job, start: SpotArg, end: SpotArg, *, width: Length, height: Length,
            side: SideArg = None) -> Shape:
    """The part of an oval, ``width`` across and ``height`` up, that runs from point to point.

    The shorter of the two ways, bulging to the left of the way from start to
    end; ``side=right`` turns it over.
    """
    left = side is None or side.value != "right"

    def draw(bind):
        rx, ry = width.value / 2, height.value / 2
        if bind.quartered:
            rx, ry = ry, rx
        return (EllipseArc(bind.spot(start), bind.spot(end), rx, ry, left != bind.mirrors),)
    return Shape("an oval's arc", (start, end), draw, sizes=(width, height))


def circle(job: Job, centre: SpotArg, *, diameter: Length) -> Shape:
    """A whole circle about a point."""
    def draw(bind):
        if diameter.value <= 0:
            raise ShapeError("a circle needs a diameter above nothing")
        return (Circle(bind.spot(centre), diameter.value / 2),)
    return Shape("a circle", (centre,), draw, closed=True, sizes=(diameter,))


def polygon(job: Job, *corners: SpotArg) -> Shape:
    """A closed line through at least three points."""
    if len(corners) < 3:
        job.refuse("call-missing", "a polygon needs at least three corners", "give three or more points")

    def draw(bind):
        points = [bind.spot(corner) for corner in corners]
        if any(a == b for a, b in zip(points, points[1:] + points[:1], strict=True)):
            raise ShapeError("two corners of this polygon are the same point")
        sides = tuple(Line(a, b) for a, b in zip(points, points[1:] + points[:1], strict=True))
        if crosses_itself(sides):
            raise ShapeError("the sides of this polygon cross each other; name its corners in order round it")
        return sides
    return Shape("a polygon", corners, draw, closed=True)


def placed(job: Job, shape: OutlineArg, corner: SpotArg, *, turned: AngleArg = None) -> Shape:
    """A free shape laid on a piece, its first corner at a point, its first edge level (or turned leftward by an angle)."""
    def draw(bind):
        strokes, start = shape.draw(None), bind.spot(corner)
        turn = _rotation(turned.degrees) if turned is not None else Transform.identity()
        move = turn.then(bind.into_own).then(Transform.shift(start.x, start.y))
        return tuple(stroke.moved(move) for stroke in strokes)
    return Shape(shape.says, (corner,), draw, closed=True, sizes=shape.sizes)


def _rotation(degrees: object) -> Transform:
    quarters = degrees / 90
    if quarters == int(quarters):
        return Transform.quarter(int(quarters))
    return Transform.rotation(math.radians(degrees))


def mirrored_shape(shape: Shape, about: object) -> Shape:
    """A shape mirrored about a mark, a place or ``middle``."""
    def draw(bind):
        axis, at_ = bind.line(about)
        flip = Transform.mirror_x() if axis == "x" else Transform.mirror_y()
        shift = Transform.shift(2 * at_, 0) if axis == "x" else Transform.shift(0, 2 * at_)
        return tuple(stroke.moved(flip.then(shift)) for stroke in shape.draw(bind))
    return Shape(shape.says, tuple(_reflected(spot, about) for spot in shape.spots), draw, shape.closed, shape.sizes)


def _reflected(spot: Spot, about: object) -> Spot:
    return Spot(Reflected(spot.x, about), Reflected(spot.y, about))


def around(job: Job, shape: ShapeArg, *, centre: SpotArg, count: Number) -> Group:
    """``count`` copies of a shape turned evenly (leftward) about a point, the first where it is."""
    if isinstance(shape, Group):
        return Group(tuple(around(job, each, centre=centre, count=count) for each in shape.items))
    copies = whole(job, count, "count", most=500)
    job.spend(copies)
    return Group(tuple(_turned(shape, centre, k, copies) for k in range(copies)))


def _turned(shape: Shape, centre: Spot, k: int, copies: int) -> Shape:
    def draw(bind):
        middle: Point = bind.spot(centre)
        turns = -k if bind.mirrors else k   # leftward for the reader, also on a piece turned over
        turn = Transform.quarter(4 * turns // copies) if (4 * k) % copies == 0 else Transform.rotation(
            2 * math.pi * turns / copies)
        move = Transform.shift(-middle.x, -middle.y).then(turn).then(Transform.shift(middle.x, middle.y))
        moved: tuple[Stroke, ...] = tuple(stroke.moved(move) for stroke in shape.draw(bind))
        return moved
    return Shape(shape.says, shape.spots if k == 0 else (), draw, shape.closed, shape.sizes)


def whole(job: Job, value: Quantity, parameter: str, least: int = 1, most: int = 1000) -> int:
    """A count as an int. Raises Trouble where it is not whole or out of bounds."""
    if not value.exact or value.value.denominator != 1:
        job.refuse("call-kind", "a count must be a whole number", "give 1, 2, 3 …", at=parameter)
    count = int(value.value)
    if count > most:
        job.refuse("too-much", f"{count} is more than the {most} that a box can need", at=parameter)
    if count < least:
        job.refuse("call-kind", f"a count of {count} is less than {least}", f"give {least} or more", at=parameter)
    return count


