"""The lattice of a set of congruences, against divisibility tried out number by number."""
from __future__ import annotations

from fractions import Fraction
from itertools import product
from math import ceil, floor

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.units import Congruence, Lattice, UnboundNameError, lattice_of

NAMES = ("a", "b", "c")
STEPS = st.sampled_from([Fraction(1), Fraction(2), Fraction(1, 2), Fraction(3, 2), Fraction(127, 80)])
FORMS = st.dictionaries(st.sampled_from(NAMES),
                        st.sampled_from([Fraction(n, d) for n in (-3, -1, 1, 2, 5) for d in (1, 2)]),
                        min_size=1)
MORE = st.lists(st.builds(Congruence, FORMS, STEPS), max_size=4)
OWN = st.tuples(STEPS, STEPS, STEPS)


def own_grids(steps: tuple[Fraction, ...]) -> list[Congruence]:
    """Each name by itself on a grid."""
    return [Congruence({name: Fraction(1)}, step) for name, step in zip(NAMES, steps, strict=True)]


def divides(congruences: list[Congruence], point: dict[str, Fraction]) -> bool:
    """The congruences tried one by one, by plain division."""
    sums = [(sum((c * point[n] for n, c in each.form.items()), Fraction(0)), each.step)
            for each in congruences]
    return all((total / step).denominator == 1 for total, step in sums)


def points(steps: tuple[Fraction, ...], most: Fraction) -> list[dict[str, Fraction]]:
    """Every point of the own grids from 0 to ``most``."""
    lines = [[k * step for k in range(int(most / step) + 1)] for step in steps]
    return [dict(zip(NAMES, values, strict=True)) for values in product(*lines)]


def reached(grid: Lattice, ends: dict[str, tuple[Fraction, Fraction]]) -> list[dict[str, Fraction]]:
    """Every point that the lattice itself gives between the ends, from its last name to its first."""
    found: list[dict[str, Fraction]] = [{}]
    for k in range(len(NAMES) - 1, -1, -1):
        found = [{**at, NAMES[k]: v} for at in found for v in grid.values(k, at, *ends[NAMES[k]])]
    return found


@settings(deadline=None, max_examples=25)
@given(OWN, MORE)
def test_a_point_is_on_the_lattice_when_every_sum_divides(steps, more):
    """Membership, the points it gives, and their number agree with division tried out."""
    congruences = own_grids(steps) + more
    grid = lattice_of(NAMES, congruences)
    most = 2 * max(steps)
    inside = [point for point in points(steps, most) if divides(congruences, point)]
    ends = dict.fromkeys(NAMES, (Fraction(0), most))
    assert all(grid.holds(point) == divides(congruences, point) for point in points(steps, most))
    assert sorted(map(sorted_items, reached(grid, ends))) == sorted(map(sorted_items, inside))
    assert grid.count(ends) == len(inside)


def sorted_items(point: dict[str, Fraction]) -> list[tuple[str, Fraction]]:
    """A point in an order that can be sorted."""
    return sorted(point.items())


@settings(deadline=None, max_examples=25)
@given(OWN, MORE)
def test_every_row_is_made_of_the_congruences(steps, more):
    """The numbers in ``transform`` prove it: so many times each congruence, added up, is the row."""
    congruences = own_grids(steps) + more
    grid = lattice_of(NAMES, congruences)
    for row, multiples in zip(grid.rows, grid.transform, strict=True):
        for j, name in enumerate(NAMES):
            assert sum(k * c.form.get(name, Fraction(0)) / c.step for k,
                       c in zip(multiples, congruences, strict=True)) == \
                Fraction(row[j], grid.denominator)
    assert all(row[k] > 0 and not any(row[:k]) for k, row in enumerate(grid.rows))


def test_half_way_ticks_need_panels_on_twice_the_grid():
    """Ticks half-way across panels, on a board of 5 mm: the panel is a multiple of 10 mm (elementary)."""
    panel = {"panel": Fraction(1)}
    grid = lattice_of(("panel",),
                      [Congruence(panel, Fraction(5)), Congruence({"panel": Fraction(1, 2)}, Fraction(5))])
    assert list(grid.values(0, {}, Fraction(1), Fraction(40))) == [10, 20, 30, 40]


def test_limits_are_rounded_inward():
    """11 ± 0.3 mm are 0.422 to 0.444 in (ANSI/IEEE 268): the values within a window are its limits rounded
    inward.
    """
    inch = Fraction("25.4")
    grid = lattice_of(("ease",), [Congruence({"ease": Fraction(1)}, inch / 1000)])
    values = [value / inch for value in grid.values(0, {}, Fraction("10.7"), Fraction("11.3"))]
    assert (values[0], values[-1]) == (Fraction("0.422"), Fraction("0.444"))


def test_what_nothing_ties_together_falls_apart():
    """Lengths that share a sum make one component, a length by itself another."""
    one, two = Fraction(1), Fraction(2)
    grid = lattice_of(NAMES, [*own_grids((one, one, one)), Congruence({"a": one, "b": one}, two)])
    assert sorted(map(sorted, grid.components())) == [["a", "b"], ["c"]]


def test_many_points_are_counted_without_walking():
    """Forty lengths of thirty marks each are 30^40 points; where sums tie too many of them together nothing
    is said.
    """
    names = tuple(f"n{k}" for k in range(40))
    each = [Congruence({name: Fraction(1)}, Fraction(1)) for name in names]
    ends = dict.fromkeys(names, (Fraction(1), Fraction(30)))
    assert lattice_of(names, each).count(ends) == 30 ** 40
    tied = [Congruence({n: Fraction(k + 1) for k, n in enumerate(names[:6])}, Fraction(997 * (k + 1)))
            for k in range(5)]
    wide = dict.fromkeys(names, (Fraction(1), Fraction(3000)))
    assert lattice_of(names, [*each, *tied]).count(wide) is None


def test_a_length_that_nothing_binds_is_named():
    """Without a congruence of its own a length could be anything."""
    with pytest.raises(UnboundNameError) as free:
        lattice_of(("a", "b"), [Congruence({"a": Fraction(1)}, Fraction(1))])
    assert free.value.name == "b"


def test_the_ends_belong_to_the_window():
    """A mark on the very end of a window is taken; one beyond it is not."""
    grid = lattice_of(("a",), [Congruence({"a": Fraction(1)}, Fraction(2))])
    assert list(grid.values(0, {}, Fraction(4), Fraction(8))) == [4, 6, 8]
    assert list(grid.values(0, {}, Fraction(41, 10), Fraction(79, 10))) == [6]
    assert ceil(Fraction(41, 10) / 2) * 2 == 6 == floor(Fraction(79, 10) / 2) * 2
