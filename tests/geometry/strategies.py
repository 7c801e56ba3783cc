"""Random points, strokes, outlines and maps for property tests.

Corners lie on a coarse grid of eighths of an inch, so that edges often lie
along each other and corners often meet: the cases that go wrong first.
"""
from __future__ import annotations

import math
from fractions import Fraction

import shapely
from hypothesis import assume
from hypothesis import strategies as st

from generator.geometry import (
    Arc,
    Circle,
    EllipseArc,
    Line,
    Point,
    Region,
    ShapeError,
    Stroke,
    Transform,
    crosses_itself,
    gap,
    moved,
    polygon,
    reversed_path,
    signed_area,
)

EIGHTH = Fraction(127, 40)      # mm
OFF_GRID = (1 / 97, 1 / 89)     # of a step, so that no two corners lie in one direction

steps = st.integers(0, 8)
points = st.builds(lambda x, y: Point(x * EIGHTH, y * EIGHTH), st.integers(-20, 20), st.integers(-20, 20))
lengths = st.fractions(Fraction(1, 4), 60, max_denominator=16)
quarter_maps = st.builds(
    lambda turns, over, dx, dy: (Transform.mirror_x() if over else Transform.identity()).then(
        Transform.quarter(turns)).then(Transform.shift(dx, dy)),
    st.integers(-3, 3), st.booleans(), lengths, lengths)
rigid_maps = st.builds(lambda turn, after: Transform.rotation(turn).then(after), st.floats(-7, 7),
                       quarter_maps)


@st.composite
def lines(draw: st.DrawFn) -> Line:
    """A line between two different exact points."""
    a, b = draw(points), draw(points)
    assume(a != b)
    return Line(a, b)


@st.composite
def arcs(draw: st.DrawFn) -> Arc:
    """An arc of any sweep, bulging either way."""
    a, b, bulge = draw(points), draw(points), draw(lengths)
    assume(a != b)
    return Arc(a, b, bulge if draw(st.booleans()) else -bulge)


@st.composite
def ellipse_arcs(draw: st.DrawFn) -> EllipseArc:
    """An ellipse arc that reaches both of its points, not always along level axes."""
    a, b = draw(points), draw(points)
    assume(a != b)
    slim, wide = draw(st.fractions(Fraction(1, 4), 4,
                                   max_denominator=8)), draw(st.fractions(1, 3, max_denominator=8))
    tilt = draw(st.sampled_from((0.0, 0.0, 0.4, -1.2)))
    dx, dy = float(b.x - a.x), float(b.y - a.y)
    across, up = dx * math.cos(tilt) + dy * math.sin(tilt), dy * math.cos(tilt) - dx * math.sin(tilt)
    least = Fraction(math.hypot(across, up / float(slim)) / 2 * 1.0001).limit_denominator(1000)
    rx = least * wide
    try:
        return EllipseArc(a, b, rx, rx * slim, draw(st.booleans()), tilt)
    except ShapeError:      # the rounded radius came out a little too small
        assume(False)


circles = st.builds(Circle, points, lengths, st.booleans())
open_strokes = st.one_of(lines(), arcs(), ellipse_arcs())
strokes = st.one_of(open_strokes, circles)


@st.composite
def corner_lists(draw: st.DrawFn, size: int = 6) -> list[Point]:
    """Corners of a simple polygon, counter-clockwise: grid points in order of their direction from their
    middle.
    """
    grid = st.tuples(st.integers(0, size), st.integers(0, size))
    corners = draw(st.lists(grid, min_size=3, max_size=9, unique=True))
    middle = [sum(values) / len(corners) + off for values,
              off in zip(zip(*corners, strict=True), OFF_GRID, strict=True)]
    corners.sort(key=lambda c: math.atan2(c[1] - middle[1], c[0] - middle[0]))
    known = shapely.Polygon(corners)
    assume(known.is_valid and known.area > 0)
    return [Point(x * EIGHTH, y * EIGHTH) for x, y in corners]


@st.composite
def rectangles(draw: st.DrawFn, size: int = 6) -> tuple[Line, ...]:
    """A level rectangle on the grid."""
    x0, x1 = sorted(draw(st.lists(st.integers(0, size), min_size=2, max_size=2, unique=True)))
    y0, y1 = sorted(draw(st.lists(st.integers(0, size), min_size=2, max_size=2, unique=True)))
    return Region.rectangle(x0 * EIGHTH, y0 * EIGHTH, x1 * EIGHTH, y1 * EIGHTH).outline


@st.composite
def straight_loops(draw: st.DrawFn) -> tuple[Line, ...]:
    """A closed outline of straight lines on the grid, travelled either way."""
    loop = draw(st.one_of(rectangles(), corner_lists().map(polygon)))
    return reversed_path(loop) if draw(st.booleans()) else loop


@st.composite
def curved_edges(draw: st.DrawFn, a: Point, b: Point) -> Stroke:
    """A stroke from one corner to the next: straight, an arc or an ellipse arc."""
    kind, left = draw(st.sampled_from(("line", "arc", "arc", "ellipse"))), draw(st.booleans())
    share = draw(st.sampled_from((Fraction(1, 2), Fraction(1, 4), Fraction(1, 7)))) * (1 if left else -1)
    if kind == "arc":
        return Arc(a, b, EIGHTH * 2 * share)
    rx, ry = draw(st.integers(2, 5)) * EIGHTH / 2, draw(st.integers(2, 5)) * EIGHTH / 2
    try:
        return EllipseArc(a, b, rx, ry, left) if kind == "ellipse" else Line(a, b)
    except ShapeError:      # too far apart for this ellipse
        return Line(a, b)


@st.composite
def curved_loops(draw: st.DrawFn) -> tuple[Stroke, ...]:
    """A closed outline that may have curved edges, or is a circle; it does not run into itself."""
    if draw(st.integers(0, 3)) == 0:
        return (draw(st.builds(Circle, corner_lists().map(lambda c: c[0]),
                               st.integers(1, 6).map(lambda r: r * EIGHTH / 2),
                               st.booleans())),)
    corners = draw(corner_lists(4))
    loop = tuple(draw(curved_edges(a, b)) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))
    if crosses_itself(loop):
        loop = polygon(corners)
    assume(abs(signed_area(loop)) > 1)
    return reversed_path(loop) if draw(st.booleans()) else loop


def turned(loop: tuple[Stroke, ...], radians: float) -> tuple[Stroke, ...]:
    """A loop turned about the origin, so that no coordinate is exact."""
    return moved(loop, Transform.rotation(radians))


def in_eighths(places: list[Point]) -> list[tuple[float, float]]:
    """Grid points in whole eighths of an inch: floats that shapely reckons with exactly."""
    return [(float(x / EIGHTH), float(y / EIGHTH)) for x, y in places]


def far_apart(a: Point, b: Point) -> bool:
    """Whether two points differ by more than the tolerance of 1e-9 mm."""
    return gap(a, b) > 1e-9
