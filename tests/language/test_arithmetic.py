"""Sums, angles, comparisons and the functions of school, against Python's and mpmath's own."""
from __future__ import annotations

import math
from fractions import Fraction

import mpmath
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.units import Angle
from tests.paper.statement_evaluation import codes, made, value, wrong
from tests.time_limits import examples

SIZE = {"a": 30, "b": 20, "w": 200}


def worth(text: str, **mm: object) -> object:
    """The bare value of an expression."""
    found = value(made("u = a", counts={"n": 8}, **(mm or SIZE)), text)
    return found.degrees if isinstance(found, Angle) else found.value


@pytest.mark.parametrize(("text", "comes_to"), [
    ("a + b*2", 70), ("(a + b)*2", 100), ("a - b - b", -10), ("w/a/2", Fraction(10, 3)), ("a*b", 600),
    ("a*b/a", 20),
    ("-a + w", 170),
    ("2*-a", -60), ("a/b", Fraction(3, 2)), ("1/3 + 1/6", Fraction(1, 2)), ("0.1 + 0.2", Fraction(3, 10)),
    ("n*a", 240),
    ("--a", 30),
    ("sqrt(a*a + 4*b*b)", 50), ("sqrt(16)", 4), ("hypot(3*a, 4*a)", 150), ("abs(b - a)", 10), ("abs(a)", 30),
    ("min(a, b, w)", 20),
    ("max(a, b, w)", 200), ("min(every(a, 3))", 30), ("max(1, 2, n)", 8), ("60 deg + 30 deg", 90),
    ("90 deg - 30 deg", 60),
    ("180 deg / n", Fraction(45, 2)), ("3*(20 deg)", 60), ("(20 deg)*3", 60), ("-(20 deg)", -20),
    ("90 deg / (30 deg)", 3),
    ("a*(90 deg / (45 deg))", 60), ("abs(-1/2)", Fraction(1, 2))])
def test_sums_are_exact(text, comes_to):
    """Order, brackets and signs as in school; fractions without rounding; angles with angles and numbers."""
    assert worth(text) == comes_to


@settings(deadline=None, max_examples=examples(60))
@given(st.integers(-179, 179), st.fractions(-20, 20, max_denominator=40))
def test_functions_of_angles_against_mpmath(degrees, ratio):
    """sin, cos, tan and atan agree with mpmath to the last digits of a float."""
    angle = mpmath.radians(degrees)
    assert math.isclose(worth(f"sin({degrees} deg)"), mpmath.sin(angle), abs_tol=1e-15)
    assert math.isclose(worth(f"cos({degrees} deg)"), mpmath.cos(angle), abs_tol=1e-15)
    if degrees not in (90, -90):
        assert math.isclose(worth(f"tan({degrees} deg)"), mpmath.tan(angle), rel_tol=1e-12, abs_tol=1e-15)
    top, below = ratio.numerator, ratio.denominator
    assert math.isclose(worth(f"atan({top}/{below})"), mpmath.degrees(mpmath.atan(mpmath.mpf(top) / below)),
                        abs_tol=1e-13)


@settings(deadline=None, max_examples=examples(40))
@given(st.fractions(Fraction(1, 8), 200, max_denominator=64),
       st.fractions(Fraction(1, 8), 200, max_denominator=64))
def test_roots_against_mpmath(a, b):
    """The long side of a right triangle, and the root of an area."""
    long = mpmath.sqrt(mpmath.mpf(a.numerator) ** 2 / a.denominator ** 2
                       + mpmath.mpf(b.numerator) ** 2 / b.denominator ** 2)
    assert math.isclose(float(worth("hypot(a, b)", a=a, b=b)), long, rel_tol=1e-14)
    assert math.isclose(float(worth("sqrt(a*a + b*b)", a=a, b=b)), long, rel_tol=1e-14)
    assert worth("sqrt(a*a)", a=a, b=b) == a


@pytest.mark.parametrize(("text", "holds"), [
    ("a < b", False), ("b < a", True), ("a <= a", True), ("a >= w", False), ("a == 3*b/2", True),
    ("a != b", True),
    ("b < a < w", True),
    ("b < a > w", False), ("a < b or b < a", True), ("a < b and b < a", False), ("not a < b", True),
    ("45 deg < 90 deg", True),
    ("1 < 2 < 3 < n", True), ("a*b == b*a", True), ("hypot(a, a)*hypot(a, a) == 2*a*a", True),
    ("top == top", True),
    ("top != left", True)])
def test_comparisons(text, holds):
    """Chains hold where every link does; what is about is equal within the tolerance."""
    assert value(made("u = a", counts={"n": 8}, **SIZE), text).holds is holds


@pytest.mark.parametrize(("text", "code"), [
    ("a + 1", "units-mixed"), ("a*b + a", "units-mixed"), ("a - 45 deg", "units-mixed"),
    ("sqrt(a)", "units-mixed"),
    ("sqrt(b*b - a*a)", "number-wrong"), ("a/(b - b)", "number-wrong"), ("tan(90 deg)", "number-wrong"),
    ("sin(a)", "call-kind"),
    ("sin(45)", "call-kind"), ("atan(a)", "call-kind"), ("min()", "call-missing"),
    ("min(a, 1)", "units-mixed"),
    ("a < 1", "units-mixed"),
    ("a < 45 deg", "units-mixed"), ("top < left", "units-mixed"), ("not a", "call-kind"),
    ("a and b", "call-kind"),
    ("-top", "units-mixed"),
    ("hypot(a, 2)", "call-kind"), ("45 deg * (2 deg)", "units-mixed"), ("45 deg / 0", "units-mixed"),
    ("12 mm", "length-in-fence"),
    ("a*a*a*a*a*a*a*a*a*a*a*a", "number-wrong"), ("top + left", "units-mixed"), ("nought", "name-unknown"),
    ("(1..2)", "call-kind")])
def test_sums_without_sense_are_refused(text, code):
    """What cannot be worked out is refused.

    Kinds that do not mix, roots and quotients that do not exist, words that are no measures, lengths typed by
    hand.
    """
    assert codes(f"u = {text}", **SIZE) == [code]


def test_names_are_made_once_and_before_they_are_used():
    """A name of the front matter, of a statement before or of the language is not made again.

    Order counts.
    """
    assert codes("a = b", **SIZE) == ["name-twice"] and codes("u = a\nu = b", **SIZE) == ["name-twice"]
    assert codes("top = a", **SIZE) == ["name-twice"] and codes("u = v\nv = a", **SIZE) == ["name-early"]
    found, = wrong("u = pnael", panel=30)
    assert found.hint == "did you mean 'panel'?"


def test_what_rests_on_something_wrong_is_not_blamed():
    """One mistake is one finding, however many statements follow from it."""
    assert codes("u = a + 1\nv = u + a\nx1 = hypot(v, u)\nexpect(v < u)", **SIZE) == ["units-mixed"]


def test_a_value_made_and_thrown_away_is_told():
    """A sum without a name does nothing; a name for a call that gives nothing stands for nothing."""
    assert codes("a + b", **SIZE) == ["words-wrong"] and codes("hypot(a, b).first", **SIZE) == ["words-wrong"]
    assert codes("p = sheet(width=a, height=a)\nu = turn_over(p)", **SIZE) == ["call-kind"]


def test_work_has_an_end():
    """A source that asks for far too much is refused within a moment."""
    assert codes("u = every(a, 900)\nv = every(u, 900)\n" + "\n".join(f"s{i} = v + v" for i in range(50)),
                 **SIZE)[0] == "too-much"
    assert codes("p = sheet(width=w, height=w)\n" + "\n".join(
        f"u{i} = punch(p, x=a, y=b, diameter=every(b/900, 900))" for i in range(3)), **SIZE)[-1] == "too-much"
