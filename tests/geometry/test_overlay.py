"""Overlay of areas against what plane geometry gives by hand."""
from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from shapely import GeometryCollection, LineString, MultiPolygon, Point, Polygon, box

from generator.geometry.overlay import (
    area_without,
    common_area,
    common_areas,
    polygonal,
    shared_area,
    united_area,
)


def _turned(corners, angle):
    """A polygon turned about the origin, so that its sides are slanted and its corners inexact."""
    c, s = math.cos(angle), math.sin(angle)
    return Polygon([(x * c - y * s, x * s + y * c) for x, y in corners])


@pytest.mark.parametrize("k", range(40))
def test_areas_that_touch_along_a_slanted_edge_share_nothing(k):
    """However they lie, neither is taken for a part of the other."""
    angle, size = 0.1 + 0.07 * k, 5 + 4.7 * k
    above = _turned([(0, 0), (size, 0), (size, 30), (0, 30)], angle)
    below = _turned([(0.2 * size, 0), (0.2 * size, -20), (0.7 * size, -20), (0.7 * size, 0)], angle)
    assert shared_area(above, below).is_empty
    assert area_without(above, below).area == pytest.approx(30 * size, abs=1e-5)
    assert united_area([above, below]).area == pytest.approx(30 * size + 20 * 0.5 * size, abs=1e-5)


@pytest.mark.parametrize(("above", "below", "angle"), [
    ([(3, 0), (11, 0), (13, 3)], [(2, 0), (10, 0), (10, -6)], 3.4086817381378802),
    ([(3, 0), (0.75, 0), (0.25, 1.25)], [(2.5, 0), (0.25, 0), (0.5, -1.25)], 1.0955564133409932)])
def test_triangles_on_both_sides_of_a_line(above, below, angle):
    """Cases that plain floats get wrong: GEOS 3.14 takes one for a part of the other."""
    above, below = _turned(above, angle), _turned(below, angle)
    assert shared_area(above, below).is_empty
    assert area_without(above, below).area == pytest.approx(above.area, abs=1e-6)


def test_only_areas_are_kept():
    """Squares that meet in an edge, a corner, or in a sliver of rounding have no area in common."""
    square = box(0, 0, 10, 10)
    for other in (box(10, 0, 20, 10), box(10, 10, 20, 20), box(10 - 2e-9, 0, 20, 10)):
        assert shared_area(square, other).is_empty
    assert area_without(square, box(1e-9, -1, 11, 11)).is_empty


def test_the_areas_of_two_squares():
    """Shifted by half a side both ways: a quarter is shared, and seven quarters are covered."""
    a, b = box(0, 0, 10, 10), box(5, 5, 15, 15)
    assert (shared_area(a, b).area, area_without(a, b).area, united_area([a, b]).area) == (25, 75, 175)
    assert len(area_without(a, box(4, -1, 6, 11)).geoms) == 2
    assert united_area([]).is_empty


COMB = Polygon([(0, 0), (10, 0), (10, 5), (7, 5), (7, 3), (3, 3), (3, 5), (0, 5)])


def test_an_answer_of_mixed_dimension_keeps_its_areas():
    """A square that overlaps a comb and touches its ground shares an area and a line with it."""
    square = box(2, 3, 9, 8)
    assert common_area(COMB, square).area == pytest.approx(6)
    assert {part.geom_type for part in shapely.get_parts(common_area(COMB, square))} == {"Polygon"}
    others = np.array([square, box(3, 3, 7, 9)], dtype=object)
    pairs = common_areas(np.array([COMB, COMB], dtype=object), others)
    assert [each.area for each in pairs] == [pytest.approx(6), 0]
    # what could not be united before: GEOS refuses collections of areas and lines
    assert united_area(pairs).area == pytest.approx(6)


def test_areas_within_collections_are_found():
    """Whatever lies beside them, and however deep."""
    areas = MultiPolygon([box(0, 0, 1, 1), box(2, 0, 3, 1)])
    mixed = GeometryCollection([areas, LineString([(5, 5), (6, 6)]),
                                Point(9, 9)])
    assert polygonal(mixed).area == 2
    bow_tie = Polygon([(0, 0), (2, 2), (2, 0), (0, 2)])
    assert polygonal(bow_tie).is_valid and polygonal(bow_tie).area == pytest.approx(2)
    assert common_area(bow_tie, box(0, 0, 2, 2)).area == pytest.approx(2)
