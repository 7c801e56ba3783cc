"""Sums with quantities: kinds, names, exactness and limits."""
from __future__ import annotations

import math
from fractions import Fraction

import pytest

from generator.units import TOLERANCE, ZERO, Angle, Quantity, QuantityError, length, number
from generator.units.quantity import MAX_VALUE

PANEL = length(30, "panel")
SIDES = number(8, frozenset({"sides"}))


def code_of(work) -> tuple[str, str]:
    """The code and the message that ``work()`` is refused with."""
    with pytest.raises(QuantityError) as caught:
        work()
    return caught.value.code, str(caught.value)


@pytest.mark.parametrize(("work", "message"), [
    (lambda: PANEL + SIDES, "a length cannot be added to a number"),
    (lambda: SIDES + PANEL, "a number cannot be added to a length"),
    (lambda: PANEL * PANEL + PANEL, "an area cannot be added to a length"),
    (lambda: PANEL - number(1), "a number cannot be taken from a length"),
    (lambda: number(1) - PANEL * PANEL * PANEL, "a volume cannot be taken from a number"),
    (lambda: number(1) / PANEL + number(1), "a quantity of mm to the power -1 cannot be added to a number"),
])
def test_kinds_do_not_mix(work, message):
    """Adding and taking away need two of one kind, and the refusal names both in the order they
    were given.
    """
    assert code_of(work) == ("units-mixed", message)


@pytest.mark.parametrize("nothing", [number(0), ZERO, PANEL - PANEL, number(0.0)])
def test_dividing_by_nothing_is_refused(nothing):
    """Every nothing is refused as a divisor, exact or not, named or not."""
    assert code_of(lambda: PANEL / nothing) == ("number-wrong", "this divides by nothing")


def test_a_sum_beyond_all_paper_is_refused():
    """Neither a huge value, nor an infinite one, nor a fraction of thousands of digits is carried on."""
    edge = number(MAX_VALUE)
    assert (edge + number(0)).value == MAX_VALUE
    tiny = number(Fraction(1, 3 ** 900))
    for work in (lambda: edge + number(1), lambda: edge * edge, lambda: number(-1) - edge,
                 lambda: number(1e200) * number(1e200), lambda: number(math.inf) - number(math.inf)):
        assert code_of(work) == ("number-wrong", "this comes to more than any paper could hold")
    assert code_of(lambda: tiny * tiny) == ("number-wrong",
                                            "this comes to a finer fraction than any tool could make")


def test_a_result_names_all_it_came_from():
    """Names are joined by every sum, also where they cancel."""
    wall = length(60, "wall")
    assert (SIDES * PANEL + wall).names == {"sides", "panel", "wall"}
    assert (PANEL - PANEL).names == {"panel"}
    assert (PANEL / wall).names == {"panel", "wall"}
    assert (-PANEL).names == {"panel"}


def test_exact_until_a_float_comes_in():
    """Fractions stay fractions; one float makes every later result about, for good."""
    exact = PANEL * SIDES / number(3)
    assert exact.exact and exact.value == 80
    about = length(math.sqrt(2))
    assert not about.exact and not (exact + about).exact and not (about - about).exact
    assert (exact + about).form is None


def test_numbers_and_lengths_are_made_of_their_kind():
    """A number has power 0 and a length power 1, be they exact or floats; only a float is about."""
    for make, power in ((number, 0), (length, 1)):
        assert [(make(v).power, make(v).exact) for v in (2, Fraction(1, 2), 2.0)] == [
            (power, True), (power, True), (power, False)]


def test_the_form_of_what_cancels_is_empty():
    """Terms that cancel leave no trace in the form."""
    assert (PANEL - PANEL).form == {}
    assert (number(0) * PANEL).form == {}
    assert (ZERO + PANEL).form == {"panel": 1}


def test_a_ratio_of_lengths_is_not_linear():
    """A length as panel / wall × foot has no affine form, since its factor changes with the lengths; a
    count's is fixed.
    """
    wall, foot = length(60, "wall"), length(40, "foot")
    assert (PANEL / wall * foot).form is None
    assert (foot * (PANEL / wall)).form is None
    assert (foot / (PANEL / wall)).form is None
    assert (SIDES * foot / number(2)).form == {"foot": 4}


def test_a_length_without_a_name_has_no_form():
    """25 mm that nobody named is no multiple of a named length, so neither is a sum with it."""
    assert length(25).form is None
    assert (PANEL + length(25)).form is None


def test_places_are_compared_with_a_tolerance_only_when_about():
    """Two exact lengths are the same or not; a float has one named tolerance, 1e-9 mm."""
    hair = Fraction(1, 10 ** 10)
    assert not length(30).same_as(length(30 + hair)) and length(30).below(length(30 + hair))
    assert length(30.0).same_as(length(30 + hair)) and not length(30.0).below(length(30 + hair))
    assert not length(30.0).same_as(length(30 + Fraction(TOLERANCE) * 2))
    assert length(math.sqrt(900)).same_as(length(30))


def test_equal_quantities_are_equal_whatever_their_forms():
    """A form is how a value came about, not what it is."""
    assert Quantity(Fraction(30), 1, frozenset({"panel"})) == PANEL + ZERO
    assert hash(PANEL) == hash(Quantity(Fraction(30), 1, frozenset({"panel"})))


def test_angles():
    """Degrees stay exact, radians are floats, and a negative angle keeps its names."""
    angle = Angle(Fraction(45, 2), frozenset({"splay"}))
    assert angle.exact and angle.radians == pytest.approx(math.pi / 8)
    assert -angle == Angle(Fraction(-45, 2), frozenset({"splay"}))
    assert not Angle(22.5).exact and angle.kind == "an angle"
