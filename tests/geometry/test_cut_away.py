"""Areas cut away from a piece."""
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
    Line,
    Point,
    Region,
    ShapeError,
    closed,
    cut_away,
    gap,
    parameter_at,
    polygon,
    rectangle,
    reversed_path,
    signed_area,
)
from tests.geometry.strategies import curved_loops, straight_loops, turned
from tests.time_limits import examples

quick = settings(deadline=None, max_examples=examples(70))
STRIP = rectangle(252, 139)


def box(x0, y0, x1, y1):
    return Region.rectangle(x0, y0, x1, y1).outline


def total(loops):
    return sum(signed_area(loop.path) for loop in loops)


def corners(loop):
    return [tuple(s.start) for s in loop.path]


def shapely_of(loop):
    return shapely.Polygon([tuple(map(float, p)) for s in loop for p in s.flattened(1e-4)[:-1]])


def check_loops(loops):
    """Each loop is closed and simple; outer ones run counter-clockwise, holes lie in one of them."""
    outers = [shapely_of(loop.path) for loop in loops if not loop.is_hole]
    for loop in loops:
        assert closed(loop.path) and shapely_of(loop.path).is_valid
    for hole in (shapely_of(loop.path) for loop in loops if loop.is_hole):
        assert sum(outer.buffer(1e-6).contains(hole) for outer in outers) == 1


@quick
@given(straight_loops(), straight_loops())
def test_straight_areas_against_shapely(outline, removed):
    """Check from outside: outline = result + shapely's common part, and shapely's difference is the same
    area.
    """
    loops = cut_away(outline, removed)
    piece, gone = shapely_of(outline), shapely_of(removed)
    assert float(total(loops)) + piece.intersection(gone).area == pytest.approx(piece.area, abs=1e-8)
    check_loops(loops)
    left = shapely.union_all([shapely_of(loop.path) for loop in loops if not loop.is_hole])
    for hole in (loop for loop in loops if loop.is_hole):
        left = left.difference(shapely_of(hole.path))
    assert left.symmetric_difference(piece.difference(gone)).area < 1e-8


@quick
@given(straight_loops(), straight_loops())
def test_straight_areas_stay_exact_and_know_where_they_come_from(outline, removed):
    """Every new corner is a Fraction, and each stroke lies on the stroke that it names; none is broken
    needlessly.
    """
    for loop in cut_away(outline, removed):
        for k, (stroke, origin, index) in enumerate(loop.strokes):
            source = (outline if origin == "outline" else removed)[index]
            assert stroke.exact and parameter_at(source, stroke.start) is not None
            assert parameter_at(source, stroke.end) is not None
            assert loop.strokes[k - 1][1:] != (origin, index)


@quick
@given(straight_loops(), straight_loops(), st.floats(0.1, 6))
def test_turned_areas_against_shapely(outline, removed, angle):
    """Check from outside: the same holds where no coordinate is exact and edges lie along each other only
    nearly.
    """
    outline, removed = turned(outline, angle), turned(removed, angle)
    loops = cut_away(outline, removed)
    piece, gone = shapely_of(outline), shapely_of(removed)
    # Without a grid, GEOS takes two areas that touch along a slanted edge for one within the other.
    shared = shapely.intersection(piece, gone, grid_size=1e-9).area
    assert float(total(loops)) + shared == pytest.approx(piece.area, abs=1e-6)
    check_loops(loops)


@quick
@given(curved_loops(), st.one_of(curved_loops(), straight_loops()))
def test_curved_areas_keep_their_sum(outline, removed):
    """What A loses to B is what B loses to A: area(A) − area(A−B) = area(B) − area(B−A), arcs and all."""
    lost = abs(float(signed_area(outline))) - float(total(cut_away(outline, removed)))
    other = abs(float(signed_area(removed))) - float(total(cut_away(removed, outline)))
    assert lost == pytest.approx(other, abs=1e-6)


@settings(deadline=None, max_examples=examples(40))
@given(curved_loops(), curved_loops())
def test_curved_areas_against_shapely(outline, removed):
    """Check from outside: shapely's difference of the fine chords has nearly the same area."""
    loops = cut_away(outline, removed)
    piece, gone = shapely_of(outline), shapely_of(removed)
    assert float(total(loops)) == pytest.approx(piece.difference(gone).area,
                                                abs=1e-3 * (piece.length + gone.length))
    assert all(closed(loop.path) for loop in loops)


@pytest.mark.parametrize("removed", [
    box(240, 0, 252, 40),                                   # flush on two sides
    box(240, -5, 260, 40),                                  # sticking out over both
    reversed_path(box(240, 0, 252, 40)),                    # travelled the other way
])
def test_a_corner_cut_from_a_strip(removed):
    """The usual case: the outline goes round the missing corner, and the new edges name the removed area."""
    loop, = cut_away(STRIP, removed)
    assert corners(loop) == [(0, 0), (240, 0), (240, 40), (252, 40), (252, 139), (0, 139)]
    assert [origin for _, origin, _ in loop.strokes] == ["outline", "removed", "removed", "outline",
                                                         "outline", "outline"]
    assert [index for _, origin, index in loop.strokes if origin == "outline"] == [0, 1, 2, 3]
    assert all(s.exact for s in loop.path) and signed_area(loop.path) == 252 * 139 - 12 * 40


def test_an_end_cut_from_a_strip():
    """Flush on three sides: the strip gets shorter and has four corners as before."""
    loop, = cut_away(STRIP, box(240, 0, 252, 139))
    assert corners(loop) == [(0, 0), (240, 0), (240, 139), (0, 139)]
    assert [traced[1:] for traced in loop.strokes] == [("outline", 0), ("removed", 3), ("outline", 2),
                                                       ("outline", 3)]


def test_a_notch_cut_from_an_edge():
    """Flush on one side: the edge is parted, both parts name it."""
    loop, = cut_away(STRIP, box(100, 0, 120, 10))
    assert corners(loop) == [(0, 0), (100, 0), (100, 10), (120, 10), (120, 0), (252, 0), (252, 139), (0, 139)]
    assert [traced[1:] for traced in loop.strokes][:5] == [
        ("outline", 0), ("removed", 3), ("removed", 2), ("removed", 1), ("outline", 0)]


def test_a_window_is_a_hole():
    """An area wholly inside leaves the outline as it is and adds a clockwise hole."""
    outer, hole = cut_away(STRIP, box(10, 10, 30, 20))
    assert outer.path == STRIP and not outer.is_hole and hole.is_hole
    assert signed_area(hole.path) == -200 and {origin for _, origin, _ in hole.strokes} == {"removed"}


def test_a_window_that_touches_the_edge_is_still_a_hole():
    """With one corner on an edge the paper around it stays in one piece: outline and hole touch."""
    outer, hole = cut_away(STRIP, polygon([Point(50, 0), Point(60, 20), Point(40, 20)]))
    assert outer.path == STRIP and hole.is_hole and total((outer, hole)) == 252 * 139 - 200


def test_a_strip_cut_in_two():
    """Two outer loops, in the order of the outline."""
    left, right = cut_away(STRIP, box(100, -1, 110, 140))
    assert corners(left) == [(0, 0), (100, 0), (100, 139), (0, 139)]
    assert corners(right) == [(110, 0), (252, 0), (252, 139), (110, 139)]


def test_pieces_that_share_only_a_corner_are_two():
    """Two corners cut away that meet in the middle leave two pieces, not one that hangs by a point."""
    loop, = cut_away(rectangle(20, 20), box(10, 10, 20, 20))
    first, second = cut_away(loop.path, box(0, 0, 10, 10))
    assert {signed_area(first.path), signed_area(second.path)} == {100}


def test_a_window_from_edge_to_edge_leaves_pieces():
    """A window whose four corners lie on the four edges leaves four corners of paper, not a frame that hangs
    by points.
    """
    diamond = polygon([Point(10, 0), Point(20, 10), Point(10, 20), Point(0, 10)])
    loops = cut_away(rectangle(20, 20), diamond)
    assert [signed_area(loop.path) for loop in loops] == [50] * 4


@pytest.mark.parametrize("removed", [box(-1, -1, 300, 300), STRIP, box(0, 0, 252, 139), reversed_path(STRIP),
                                     (Circle(Point(126, 70), 200),)])
def test_all_removed(removed):
    """An area that covers the piece leaves nothing."""
    assert cut_away(STRIP, removed) == ()


@pytest.mark.parametrize("removed", [
    box(300, 0, 310, 10), box(252, 0, 260, 139), box(252, 139, 260, 150), box(250, 139, 260, 150),
    polygon([Point(252, 70), Point(260, 60), Point(260, 80)]), (Circle(Point(257, 50), 5),)])
def test_an_area_beside_the_piece(removed):
    """Apart, flush from outside, or touching in a corner: the outline stays the very same."""
    loop, = cut_away(STRIP, removed)
    assert loop.path == STRIP and [traced[1:] for traced in loop.strokes] == [("outline", k)
                                                                              for k in range(4)]


def test_a_clockwise_outline_comes_out_counter_clockwise():
    """Indices still name the strokes as they were given."""
    given_loop = reversed_path(STRIP)
    loop, = cut_away(given_loop, box(240, 0, 252, 40))
    assert signed_area(loop.path) > 0
    assert all(parameter_at(given_loop[i], s.at(Fraction(1, 2))) is not None for s, o, i in loop.strokes
               if o == "outline")


def test_an_arch_cut_from_an_edge_keeps_its_ends():
    """An area bounded by an arc: the arc stays one, its given ends stay exact."""
    arch = (Arc(Point(10, 139), Point(40, 139), -4), Line(Point(40, 139), Point(10, 139)))
    loop, = cut_away(STRIP, arch)
    cut = next(s for s, origin, _ in loop.strokes if origin == "removed")
    assert cut == Arc(Point(40, 139), Point(10, 139), 4)
    assert float(signed_area(loop.path)) == pytest.approx(252 * 139 - float(Region(arch).area()), abs=1e-9)


def test_a_corner_rounded_with_a_circle():
    """Where a circle crosses an exact edge the new corner keeps the edge's coordinate exactly."""
    loop, = cut_away(STRIP, (Circle(Point(0, 0), 10),))
    cut = next(s for s, origin, _ in loop.strokes if origin == "removed")
    assert isinstance(cut, Arc) and float(cut.radius) == pytest.approx(10)
    assert cut.start.x == 0 and cut.end.y == 0 and gap(cut.start, Point(0, 10)) < 1e-9
    assert float(signed_area(loop.path)) == pytest.approx(252 * 139 - 25 * math.pi, abs=1e-9)


@pytest.mark.parametrize(("centre", "area"),
                         [((252, 50), math.pi * 50), ((0, 50), math.pi * 50), ((30, 10), math.pi * 100)])
def test_a_round_window_over_an_edge_or_touching_it(centre, area):
    """A thumb notch of half a circle is one arc, wherever the circle begins; a touching circle is a whole
    hole.
    """
    loops = cut_away(STRIP, (Circle(Point(*centre), 10),))
    cuts = [s for loop in loops for s, origin, _ in loop.strokes if origin == "removed"]
    assert len(cuts) == 1 and float(total(loops)) == pytest.approx(252 * 139 - area, abs=1e-9)


def test_holes_are_handed_on_after_the_outline():
    """A second cut over a hole joins the two; a hole apart from it stays, and its strokes count on."""
    outer, hole = cut_away(STRIP, box(10, 10, 30, 20))
    loop, = cut_away(outer.path + hole.path, box(20, 0, 40, 15))
    assert not loop.is_hole and signed_area(loop.path) == 252 * 139 - 200 - 20 * 15 + 10 * 5
    assert {index for _, origin, index in loop.strokes if origin == "outline"} == set(range(8))
    first, second, third = cut_away(outer.path + hole.path, (Circle(Point(100, 50), 5),))
    assert first.path == STRIP and {second.path, third.path} >= {hole.path}
    assert [index for _, _, index in second.strokes] == [4, 5, 6, 7]


@quick
@given(straight_loops(), straight_loops(), straight_loops())
def test_the_order_of_two_cuts_does_not_matter(outline, first, second):
    """Cutting one area after the other leaves the same paper as the other way round."""
    areas = []
    for a, b in ((first, second), (second, first)):
        loops = cut_away(outline, a)
        if sum(not loop.is_hole for loop in loops) != 1:     # in parts, each would be cut by itself
            return
        areas.append(total(cut_away(tuple(s for loop in loops for s in loop.path), b)))
    assert areas[0] == areas[1]


def test_open_outlines_are_refused():
    """What does not end where it begins bounds no area."""
    with pytest.raises(ShapeError, match="ends where it begins"):
        cut_away(STRIP, STRIP[:3])
    with pytest.raises(ShapeError, match="ends where it begins"):
        cut_away(STRIP[:3], STRIP)
