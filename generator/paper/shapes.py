"""The shapes of the board way: drawn between points of a piece that lies on the table.

Free-standing shapes: panels, flaps and tabs, not yet on any piece; edges count from the lower left corner.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from generator.geometry import (
    Arc,
    Circle,
    EllipseArc,
    Line,
    Point,
    Real,
    ShapeError,
    Stroke,
    Transform,
    arc_by_radius,
    crosses_itself,
    distance,
    regular_polygon,
)
from generator.geometry import rectangle as rectangle_lines
from generator.geometry import trapezoid as trapezoid_lines
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.paper.parameter_kinds import (
    AngleArg,
    Length,
    Number,
    OutlineArg,
    PlaceArg,
    ShapeArg,
    SideArg,
    SpotArg,
)
from generator.paper.plan_builder import CallContext
from generator.paper.values import Group, Outline, PlaceValue, ReflectedPlace, Shape, ShapeFrame, UnboundPoint
from generator.units import Quantity


def at(_context: CallContext, x: PlaceArg, y: PlaceArg) -> UnboundPoint:
    """The point at a place across (x) and a place up (y)."""
    return UnboundPoint(x, y)


def line(_context: CallContext, start: SpotArg, end: SpotArg) -> Shape:
    """A straight line from point to point."""
    def draw(frame: ShapeFrame) -> tuple[Stroke, ...]:
        a, b = frame.spot(start), frame.spot(end)
        if a == b:
            frame.refuse("zero-length", "this line ends where it begins", "give two different points")
        return (Line(a, b),)
    return Shape("a line", (start, end), draw)


def arc(context: CallContext, start: SpotArg, end: SpotArg, *, bulge: Length | None = None,
        radius: Length | None = None,
        side: SideArg | None = None) -> Shape:
    """A circle's arc from point to point, by its bulge (height over the chord) or its radius.

    It bulges to the left of the way from start to end; ``side=right`` or a
    negative bulge turns it over.
    """
    size = radius if bulge is None else bulge
    if size is None or (bulge is not None and radius is not None):
        raise context.refusal("call-missing", "an arc needs either its bulge or its radius",
                              "give bulge=… or radius=…")
    left = side is None or side.value != "right"

    def draw(frame: ShapeFrame) -> tuple[Stroke, ...]:
        a, b = frame.spot(start), frame.spot(end)
        to_left = left != frame.mirrors
        if radius is None:
            return (Arc(a, b, size.value if to_left else -size.value),)
        return (arc_by_radius(a, b, size.value, to_left),)
    return Shape("an arc", (start, end), draw, sizes=(-size if size.value < 0 else size,))


def ellipse(_context: CallContext, start: SpotArg, end: SpotArg, *, width: Length, height: Length,
            side: SideArg | None = None) -> Shape:
    """The part of an oval, ``width`` across and ``height`` up, that runs from point to point.

    The shorter of the two ways, bulging to the left of the way from start to
    end; ``side=right`` turns it over.
    """
    left = side is None or side.value != "right"

    def draw(frame: ShapeFrame) -> tuple[Stroke, ...]:
        rx, ry = width.value / 2, height.value / 2
        if frame.axes_swapped:
            rx, ry = ry, rx
        return (EllipseArc(frame.spot(start), frame.spot(end), rx, ry, left != frame.mirrors),)
    return Shape("an oval's arc", (start, end), draw, sizes=(width, height))


def circle(_context: CallContext, centre: SpotArg, *, diameter: Length) -> Shape:
    """A whole circle about a point."""
    def draw(frame: ShapeFrame) -> tuple[Stroke, ...]:
        if diameter.value <= 0:
            raise ShapeError("a circle needs a diameter above nothing")
        return (Circle(frame.spot(centre), diameter.value / 2),)
    return Shape("a circle", (centre,), draw, closed=True, sizes=(diameter,))


def polygon(context: CallContext, *corners: SpotArg) -> Shape:
    """A closed line through at least three points."""
    if len(corners) < 3:
        context.refuse("call-missing", "a polygon needs at least three corners", "give three or more points")

    def draw(frame: ShapeFrame) -> tuple[Stroke, ...]:
        points = [frame.spot(corner) for corner in corners]
        if any(a == b for a, b in zip(points, points[1:] + points[:1], strict=True)):
            raise ShapeError("two corners of this polygon are the same point")
        sides = tuple(Line(a, b) for a, b in zip(points, points[1:] + points[:1], strict=True))
        if crosses_itself(sides):
            raise ShapeError("the sides of this polygon cross each other; name its corners in order round it")
        return sides
    return Shape("a polygon", corners, draw, closed=True)


def placed(_context: CallContext, shape: OutlineArg, corner: SpotArg, *,
           turned: AngleArg | None = None) -> Shape:
    """A free shape laid on a piece, its first corner at a point.

    Its first edge is level, or turned leftward by an angle.
    """
    def draw(frame: ShapeFrame) -> tuple[Stroke, ...]:
        strokes, start = shape.draw(None), frame.spot(corner)
        turn = _rotation(turned.degrees) if turned is not None else Transform.identity()
        move = turn.then(frame.to_piece_frame).then(Transform.shift(start.x, start.y))
        return tuple(stroke.moved(move) for stroke in strokes)
    return Shape(shape.phrase, (corner,), draw, closed=True, sizes=shape.sizes)


def _rotation(degrees: Real) -> Transform:
    quarters = degrees / 90
    if quarters == int(quarters):
        return Transform.quarter(int(quarters))
    return Transform.rotation(math.radians(degrees))


def mirrored_shape(shape: Shape, about: PlaceValue) -> Shape:
    """A shape mirrored about a mark, a place or ``middle``."""
    def draw(frame: ShapeFrame) -> tuple[Stroke, ...]:
        axis, at_ = frame.line(about)
        flip = Transform.mirror_x() if axis == "x" else Transform.mirror_y()
        shift = Transform.shift(2 * at_, 0) if axis == "x" else Transform.shift(0, 2 * at_)
        return tuple(stroke.moved(flip.then(shift)) for stroke in shape.draw(frame))
    return Shape(shape.phrase, tuple(_reflected_point(spot, about) for spot in shape.spots), draw,
                 shape.closed,
                 shape.sizes)


def _reflected_point(spot: UnboundPoint, about: PlaceValue) -> UnboundPoint:
    return UnboundPoint(ReflectedPlace(spot.x, about), ReflectedPlace(spot.y, about))


def around(context: CallContext, shape: ShapeArg, *, centre: SpotArg, count: Number) -> Group[object]:
    """``count`` copies of a shape turned evenly (leftward) about a point, the first where it is."""
    if isinstance(shape, Group):
        return Group(tuple(around(context, each, centre=centre, count=count) for each in shape.items))
    copies = whole_number(context, count, "count", most=500)
    context.count_work(copies)
    return Group(tuple(_rotated_copy(shape, centre, k, copies) for k in range(copies)))


def _rotated_copy(shape: Shape, centre: UnboundPoint, k: int, copies: int) -> Shape:
    def draw(frame: ShapeFrame) -> tuple[Stroke, ...]:
        middle: Point = frame.spot(centre)
        turns = -k if frame.mirrors else k   # leftward for the reader, also on a piece turned over
        turn = Transform.quarter(4 * turns // copies) if (4 * k) % copies == 0 else Transform.rotation(
            2 * math.pi * turns / copies)
        move = Transform.shift(-middle.x, -middle.y).then(turn).then(Transform.shift(middle.x, middle.y))
        moved: tuple[Stroke, ...] = tuple(stroke.moved(move) for stroke in shape.draw(frame))
        return moved
    return Shape(shape.phrase, shape.spots if k == 0 else (), draw, shape.closed, shape.sizes)


def whole_number(context: CallContext, value: Quantity, parameter: str, least: int = 1,
                 most: int = 1000) -> int:
    """A count as an int. Raises Trouble where it is not whole or out of bounds."""
    if not isinstance(value.value, Fraction) or value.value.denominator != 1:
        context.refuse("call-kind", "a count must be a whole number", "give 1, 2, 3 …", at=parameter)
    count = int(value.value)
    if count > most:
        context.refuse("too-much", f"{count} is more than the {most} that a box can need", at=parameter)
    if count < least:
        context.refuse("call-kind", f"a count of {count} is less than {least}", f"give {least} or more",
                   at=parameter)
    return count


def ngon(context: CallContext, sides: Number, *, side: Length) -> Outline:
    """A regular polygon by its number of sides and the length of a side.

    Edges count from the first, leftward.
    """
    n = whole_number(context, sides, "sides", least=3, most=100)
    return Outline(f"a regular polygon of {n} sides", lambda _: regular_polygon(n, side.value), (side,),
                   lambda _: (side,) * n)


def rectangle(_context: CallContext, *, width: Length | None = None, height: Length) -> Outline:
    """A rectangle; without a width it is as wide as the edge it is attached to."""
    def draw(edge: Quantity | None) -> tuple[Stroke, ...]:
        return rectangle_lines(_size_or_edge(width, edge, "rectangle"), height.value)
    return Outline("a rectangle", draw, _known_sizes(width, height),
                   lambda edge: (_known_size(width, edge), height) * 2)


def trapezoid(_context: CallContext, *, base: Length | None = None, top: Length, height: Length) -> Outline:
    """A trapezoid with equal legs: base (as wide as its edge when left out), top and height."""
    def draw(edge: Quantity | None) -> tuple[Stroke, ...]:
        return trapezoid_lines(_size_or_edge(base, edge, "trapezoid"), top.value, height.value)

    def lengths(edge: Quantity | None) -> tuple[Quantity, ...]:
        foot = _known_size(base, edge)
        leg = _leg_length(foot - top, height)
        return foot, leg, top, leg
    return Outline("a trapezoid", draw, _known_sizes(base, top, height), lengths)


def triangle(_context: CallContext, *, base: Length | None = None, height: Length) -> Outline:
    """A triangle with equal legs on a base (as wide as its edge when left out)."""
    def draw(edge: Quantity | None) -> tuple[Stroke, ...]:
        wide = _size_or_edge(base, edge, "triangle")
        if wide <= 0 or height.value <= 0:
            raise ShapeError("a triangle needs a base and a height above nothing")
        return _closed_lines((Point(Fraction(0), Fraction(0)), Point(wide, Fraction(0)),
                              Point(wide / 2, height.value)))

    def lengths(edge: Quantity | None) -> tuple[Quantity, ...]:
        foot = _known_size(base, edge)
        leg = _leg_length(foot, height)
        return foot, leg, leg
    return Outline("a triangle", draw, _known_sizes(base, height), lengths)


def tab(context: CallContext, *, depth: Length, slope: AngleArg | None = None) -> Outline:
    """A glue tab on the whole of an edge, tapered at both ends by ``slope`` (60 deg when left out)."""
    degrees = float(slope.degrees) if slope is not None else 60.0
    if not 10 <= degrees <= 90:
        context.refuse("shape-wrong", f"a tab cannot taper at {degrees:g}°", "use 10 to 90 deg", at="slope")

    def draw(edge: Quantity | None) -> tuple[Stroke, ...]:
        wide = _size_or_edge(None, edge, "tab")
        cut = Fraction(0) if degrees == 90 else float(depth.value) / math.tan(math.radians(degrees))
        if 2 * cut >= wide:
            raise ShapeError("this tab is too deep for its edge: its slopes meet before its end")
        return trapezoid_lines(wide, wide - 2 * cut, depth.value)
    return Outline("a tab", draw, (depth,))


def gore(context: CallContext, *, radius: Length, gores: Number) -> Outline:
    """Half of one gore of a dome.

    Half width r·cos(s/r)·tan(π/n) at s along the middle, to a point at s = πr/2.

    The tan form is the one that closes with s measured along the centre line.
    """
    n = whole_number(context, gores, "gores", least=3, most=100)

    def draw(edge: Quantity | None) -> tuple[Stroke, ...]:
        r, steps = float(radius.value), 24
        left = [_gore_point(r, n, k / steps) for k in range(steps + 1)]     # foot to tip
        wide = -left[0].x
        right = [Point(-p.x, p.y) for p in left]
        ordered = [Point(p.x + wide, p.y) for p in (left[0], *right, *reversed(left[1:-1]))]
        if edge is not None and abs(float(edge.value) - 2 * wide) > PLACE_TOLERANCE:
            raise ShapeError(f"this gore is {2 * wide:.2f} mm wide at its foot, its edge is not")
        return _closed_lines(ordered)
    return Outline("a gore", draw, (radius,))


def _gore_point(r: float, n: int, share: float) -> Point:
    s = share * math.pi * r / 2
    return Point(-r * math.cos(s / r) * math.tan(math.pi / n), s)


def _closed_lines(points: Sequence[Point]) -> tuple[Stroke, ...]:
    return tuple(Line(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True) if a != b)


def _leg_length(overhang: Quantity, height: Quantity) -> Quantity:
    """One of two equal legs that overcome ``overhang`` together; exact where its square is one."""
    half = overhang.value / 2
    return Quantity(distance(Point(Fraction(0), Fraction(0)), Point(half, height.value)), 1,
                    overhang.names | height.names)


def _size_or_edge(size: Quantity | None, edge: Quantity | None, what: str) -> Real:
    if size is not None:
        return size.value
    if edge is None:
        raise ShapeError(f"a {what} that hangs on no edge needs its width")
    return edge.value


def _known_size(size: Quantity | None, edge: Quantity | None) -> Quantity:
    """A size, else the edge's; one of them is there, since the shape was drawn before."""
    found = size if size is not None else edge
    assert found is not None
    return found


def _known_sizes(*sizes: Quantity | None) -> tuple[Quantity, ...]:
    return tuple(size for size in sizes if size is not None)
