"""Areas: what lies inside them and how large they are."""
from __future__ import annotations

import math
from fractions import Fraction

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.geometry import (
    Arc,
    Circle,
    EllipseArc,
    Line,
    Point,
    Region,
    ShapeError,
    Transform,
    closed,
    counter_clockwise,
    crosses_itself,
    polygon,
    rectangle,
    reversed_path,
    signed_area,
)
from tests.geometry.strategies import (
    EIGHTH,
    corner_lists,
    curved_loops,
    in_eighths,
    quarter_maps,
    straight_loops,
)
from tests.time_limits import examples

quick = settings(deadline=None, max_examples=examples(60))
places = st.builds(lambda x, y: Point(x * EIGHTH / 2, y * EIGHTH / 2), st.integers(-1, 13),
                   st.integers(-1, 13))


def shapely_of(corners):
    return shapely.Polygon([(float(x), float(y)) for x, y in corners])


@quick
@given(corner_lists())
def test_area_perimeter_and_bounds_against_shapely(corners):
    """Check from outside: shapely measures the same polygon alike; the area is exact, too."""
    region, known = Region(polygon(corners)), shapely_of(corners)
    assert type(region.area()) is Fraction and float(region.area()) == pytest.approx(known.area, rel=1e-12)
    assert float(region.perimeter()) == pytest.approx(known.length, rel=1e-12)
    assert tuple(map(float, region.bounds())) == pytest.approx(known.bounds, abs=1e-12)
    assert region.polygon().equals(known)


@settings(deadline=None, max_examples=examples(120))
@given(corner_lists(), places)
def test_containment_against_shapely(corners, place):
    """Check from outside: shapely says alike whether a grid point lies inside, outside, or on the edge.

    The grid points hit corners and edges often.
    """
    known = shapely.Polygon(in_eighths(corners))
    asked = shapely.Point(*in_eighths([place]))
    region = Region(polygon(corners))
    assert region.contains(place) == known.contains(asked)
    assert region.on_edge(place) == known.boundary.covers(asked)


@quick
@given(curved_loops(), st.floats(0.013, 0.99), st.floats(0.017, 0.99))
def test_curved_areas_against_shapely(loop, across, up):
    """Check from outside: shapely's polygon of fine chords has the same area and holds the same points."""
    region = Region(loop)
    known = region.polygon(1e-4)
    assert float(region.area()) == pytest.approx(known.area, abs=2e-4 * known.length)
    x0, y0, x1, y1 = known.bounds
    asked = shapely.Point(x0 + across * (x1 - x0), y0 + up * (y1 - y0))
    if known.boundary.distance(asked) > 1e-3:
        assert region.contains(Point(asked.x, asked.y)) == known.contains(asked)


@quick
@given(straight_loops(), quarter_maps)
def test_areas_do_not_move(loop, move):
    """Shifts and quarter turns keep the area, mirrors turn its sign, travelling back does too."""
    there = [s.moved(move) for s in loop]
    assert signed_area(there) == signed_area(loop) * (-1 if move.mirrors else 1)
    assert signed_area(reversed_path(loop)) == -signed_area(loop)
    assert signed_area(counter_clockwise(loop)) == abs(signed_area(loop))


def test_areas_of_curves():
    """A circle πr², half a circle, half an ellipse πab/2 (textbook)."""
    assert signed_area((Circle(Point(1, 2), 10),)) == pytest.approx(math.pi * 100)
    assert signed_area((Circle(Point(1, 2), 10, clockwise=True),)) == pytest.approx(-math.pi * 100)
    base = Line(Point(0, 0), Point(20, 0))
    assert float(Region((base, Arc(base.end, base.start, -10))).area()) == pytest.approx(math.pi * 50)
    assert float(Region((base, EllipseArc(base.end, base.start, 10, 6, left=False))).area()) == pytest.approx(
        math.pi * 30)


def test_a_flat_cap_keeps_its_digits():
    """The cap of an arc with a bulge of 1 µm over 30 mm is two thirds of bulge × chord (textbook, for flat
    arcs).
    """
    cap = signed_area((Arc(Point(0, 0), Point(30, 0), -0.001), Line(Point(30, 0), Point(0, 0))))
    assert cap == pytest.approx(2 / 3 * 0.001 * 30, rel=1e-7)


def test_holes_are_no_part_of_an_area():
    """A point in a hole is outside; area and perimeter count the hole."""
    hole = (Circle(Point(10, 10), 3),)
    region = Region(rectangle(30, 20), (hole,))
    assert not region.contains(Point(10, 10)) and region.contains(Point(20, 10))
    assert region.on_edge(Point(13, 10)) and not region.contains(Point(13, 10))
    assert float(region.area()) == pytest.approx(600 - 9 * math.pi)
    assert float(region.perimeter()) == pytest.approx(100 + 6 * math.pi)
    assert len(region.polygon().interiors) == 1


def test_points_at_the_height_of_corners_and_chords():
    """The count of edges to the right is not led astray by corners, level edges, or the chord of an arc."""
    house = Region(polygon([Point(x, y) for x, y in ((0, 0), (10, 0), (10, 10), (5, 15), (0, 10))]))
    assert house.contains(Point(5, 10)) and not house.contains(Point(-1,
                                                                     10)) and not house.contains(Point(-1, 0))
    arch = Region((Line(Point(0, 0), Point(0, 10)), Arc(Point(0, 10), Point(10, 10), 5),
                   Line(Point(10, 10), Point(10, 0)),
                   Line(Point(10, 0), Point(0, 0))))
    assert arch.contains(Point(5, 10)) and arch.contains(Point(5, 14)) and not arch.contains(Point(-1, 10))
    assert not arch.contains(Point(0.5, 14)) and arch.on_edge(Point(5,
                                                                    15)) and not arch.contains(Point(11, 10))


@pytest.mark.parametrize("turns", range(4))
@pytest.mark.parametrize("bulge", [5, -5])
@pytest.mark.parametrize("shear", [0, 10])
def test_points_on_the_chord_of_an_arc(turns, bulge, shear):
    """On its chord a point is inside whether the arc bulges out or in, whichever way it faces, unless the arc
    cuts it off.
    """
    corners = [Point(0, 0), Point(20, 0), Point(20 + shear, 10), Point(shear, 10)]
    lines = polygon(corners)
    loop = (lines[0], Arc(lines[1].start, lines[1].end, -bulge), *lines[2:])
    for move in (Transform.quarter(turns), Transform.mirror_x().then(Transform.quarter(turns))):
        region = Region(tuple(s.moved(move) for s in loop))
        assert region.contains(move.apply(Point(20 + shear / 2, 5))) == (bulge > 0)
        assert region.contains(move.apply(Point(shear / 2 + 2, 5)))


def test_large_arcs_bound_areas_too():
    """More than half a circle over a short chord: the keyhole's round part is inside."""
    keyhole = Region((Arc(Point(0, 0), Point(4, 0), 10), Line(Point(4, 0), Point(0, 0))))
    assert keyhole.contains(Point(2, 5)) and keyhole.contains(Point(-2,
                                                                    5)) and not keyhole.contains(Point(2, -1))


def test_rectangle_takes_any_two_corners():
    """The corners may come in either order; the outline runs counter-clockwise."""
    assert Region.rectangle(30, 20, 0, 0) == Region.rectangle(0, 0, 30, 20)
    assert signed_area(Region.rectangle(30, 0, 0, 20).outline) == 600
    with pytest.raises(ShapeError, match="a width and a height"):
        Region.rectangle(5, 0, 5, 20)


def test_an_open_outline_is_no_area():
    """A loop must end where it begins."""
    open_path = rectangle(30, 20)[:3]
    assert not closed(open_path) and closed(rectangle(30, 20)) and closed((Circle(Point(0, 0), 1),
                                                                           )) and not closed(())
    with pytest.raises(ShapeError, match="end where it begins"):
        Region(open_path)


def test_outlines_that_run_into_themselves():
    """A bow tie crosses itself, a pinched outline touches itself; plain ones, and lens and circle, do not."""
    bow = [Point(0, 0), Point(10, 10), Point(10, 0), Point(0, 10)]
    pinched = [Point(0, 0), Point(10, 0), Point(10, 10), Point(5, 0), Point(0, 10)]
    assert crosses_itself(polygon(bow)) and crosses_itself(polygon(pinched))
    assert not crosses_itself(rectangle(30, 20)) and not crosses_itself((Circle(Point(0, 0), 1),))
    assert not crosses_itself((Arc(Point(0, 0), Point(10, 0), 2), Arc(Point(10, 0), Point(0, 0), 2)))
    assert crosses_itself((Line(Point(0, 0), Point(10, 0)), Line(Point(10, 0), Point(0, 0))))


@quick
@given(corner_lists())
def test_simple_polygons_against_shapely(corners):
    """Check from outside: what shapely calls valid does not run into itself; with two corners changed over it
    may.
    """
    assert not crosses_itself(polygon(corners))
    swapped = [corners[1], corners[0], *corners[2:]]
    assert crosses_itself(polygon(swapped)) == (not shapely.Polygon(in_eighths(swapped)).exterior.is_simple)
