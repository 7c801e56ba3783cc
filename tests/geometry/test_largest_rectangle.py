"""The roomiest rectangle: against every rectangle there is, and exact where its bounds are."""
from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.geometry import largest_rectangle, tallest_rectangles
from tests.time_limits import examples

SIZE = 6


def _by_trying(free: shapely.Geometry, values: list[Fraction]) -> float:
    """The largest area among all rectangles between these values."""
    best = 0.0
    for x0, x1 in combinations(values, 2):
        for y0, y1 in combinations(values, 2):
            box = shapely.box(float(x0), float(y0), float(x1), float(y1))
            if box.difference(free).area < 1e-9:
                best = max(best, float((x1 - x0) * (y1 - y0)))
    return best


@settings(deadline=None, max_examples=examples(40))
@given(st.sets(st.tuples(st.integers(0, SIZE - 1), st.integers(0, SIZE - 1)), max_size=14))
def test_no_rectangle_is_larger(taken):
    """In a square with some of its fields taken away, nothing larger is found by trying every rectangle."""
    free = shapely.box(0, 0, SIZE,
                       SIZE).difference(shapely.union_all([shapely.box(x, y, x + 1, y + 1) for x,
                                                           y in taken]))
    values = [Fraction(k) for k in range(SIZE + 1)]
    found = largest_rectangle(free, values, values)
    area = 0.0 if found is None else float((found[2] - found[0]) * (found[3] - found[1]))
    assert abs(area - _by_trying(free, values)) < 1e-9


def test_its_sides_stay_exact():
    """A side lies exactly where the value says, though the area it is tried in is of floats."""
    third = Fraction(1, 3)
    assert largest_rectangle(shapely.box(1 / 3, 0, 2, 1), [third, Fraction(2)],
                             [Fraction(0), Fraction(1)]) == (third, 0, 2, 1)


def test_nothing_fits_into_nothing():
    """An area without a rectangle between the values gives none."""
    values = [Fraction(0), Fraction(1)]
    assert largest_rectangle(shapely.Polygon(), values, values) is None
    assert not list(tallest_rectangles(shapely.box(0.2, 0.2, 0.8, 0.8), values, values))


def test_many_values_are_thinned_to_the_exact_ones():
    """Hundreds of values from a curve do not make it slow, and exact ones are kept."""
    values = [Fraction(0), Fraction(10), *(k / 40 for k in range(1, 399))]
    assert largest_rectangle(shapely.box(0, 0, 10, 10), values, values) == (0, 0, 10, 10)
