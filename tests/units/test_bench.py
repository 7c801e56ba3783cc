"""The tools of a household and their marks."""
from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.units import (
    TOLERANCE,
    TOOLS,
    QuantityError,
    as_text,
    bench_from,
    default_bench,
    display_measure,
    length,
    number,
)
from tests.units.strategies import INCH

INCH_BENCH = default_bench("in")
METRIC_BENCH = default_bench("mm")


def test_the_marks_that_tools_carry_unless_something_is_said():
    """Common practice, no source: boards of eighths and of 5 mm, trimmers and rules of sixteenths and of 1
    mm.
    """
    assert {tool: INCH_BENCH.grid(tool) / INCH for tool in TOOLS} == {
        "board": Fraction(1, 8), "trimmer": Fraction(1, 16), "rule": Fraction(1, 16),
        "template": Fraction(1, 16),
        "punch": Fraction(1, 16)}
    assert {tool: METRIC_BENCH.grid(tool) for tool in TOOLS} == {
        "board": 5, "trimmer": 1, "rule": 1, "template": 1, "punch": 1}
    assert INCH_BENCH.tools["board"].reach == 12 * INCH and METRIC_BENCH.tools["board"].reach == 300
    assert INCH_BENCH.tools["rule"].reach is None


def test_a_bench_as_the_settings_give_it():
    """Each tool has what is given for it; templates and punches follow the rule; the rest stays usual."""
    bench = bench_from({"board": "1/4 in", "rule": "1/32 in", "board_length": "16 in",
                        "trimmer_length": "12 in"}, "in")
    assert bench.system == "in"
    assert [bench.grid(tool) / INCH for tool in TOOLS] == [Fraction(1, 4), Fraction(1, 16),
                                                           *[Fraction(1, 32)] * 3]
    assert bench.tools["board"].reach == 16 * INCH and bench.tools["trimmer"].reach == 12 * INCH


def test_a_household_may_have_tools_of_both_systems():
    """An inch board beside a metric punch rule: each tool knows its own system."""
    bench = bench_from({"punch": "1 mm"}, "in")
    assert (bench.tools["punch"].system, bench.grid("punch")) == ("mm", 1)
    assert bench.tools["board"].system == "in"


def test_a_bench_does_not_change():
    """The tools of a bench are fixed once it is laid out."""
    with pytest.raises(TypeError):
        INCH_BENCH.tools["board"] = INCH_BENCH.tools["rule"]


@pytest.mark.parametrize(("given_text", "message", "hint"), [
    ({"board": "0 in"}, "board: 0 in is nothing", "give a length above nothing"),
    ({"board": "-1/8 in"}, "board: -1/8 in is below nothing", "give a length above nothing"),
    ({"board": "1/8"}, "board: the length 1/8 has no unit", "write 1/8 mm, 1/8 cm or 1/8 in"),
    ({"board": 5}, "board: 5 has no unit", "write a length such as 1/8 in or 5 mm"),
    ({"bord": "5 mm"}, 'a bench has no "bord"', "did you mean board?"),
    ({"glue gun": "5 mm"}, 'a bench has no "glue gun"',
     "its tools are board, trimmer, rule, template, punch"),
    ({"rule": "0 mm", "bord": "5 mm", "trimmer": "0 mm"},
     'rule: 0 mm is nothing; a bench has no "bord"; trimmer: 0 mm is nothing',
     "give a length above nothing; did you mean board?"),
])
def test_a_bench_that_cannot_be(given_text, message, hint):
    """All that is wrong is said at once, each with its setting and what would mend it."""
    with pytest.raises(QuantityError) as caught:
        bench_from(given_text, "in")
    assert (caught.value.code, str(caught.value), caught.value.hint) == ("bench-wrong", message, hint)


def test_a_system_that_is_none():
    """There are two systems."""
    with pytest.raises(QuantityError, match='there is no bench for "ft"') as caught:
        default_bench("ft")
    assert caught.value.hint == "use mm or in"


@pytest.mark.parametrize(("mm", "tool", "where", "below", "above"), [
    (INCH * 7 / 4, "board", "on", "1 3/4 in", "1 3/4 in"),
    (INCH * 29 / 16, "board", "off", "1 3/4 in", "1 7/8 in"),
    (INCH * 29 / 16, "rule", "on", "1 13/16 in", "1 13/16 in"),
    (Fraction(30), "rule", "off", "1 1/8 in", "1 3/16 in"),
    (Fraction(0), "board", "on", "0 in", "0 in"),
    (-INCH / 16, "board", "off", "−1/8 in", "0 in"),
    (math.sqrt(2) * 25.4, "board", "about", "1 3/8 in", "1 1/2 in"),
    (math.sqrt(4) * 25.4, "board", "about", "2 in", "2 in"),
])
def test_where_a_length_lies_on_a_tool(mm, tool, where, below, above):
    """On a mark, off it, or about; with the marks on both sides of it."""
    assert INCH_BENCH.on_grid(length(mm), tool) == where
    assert tuple(as_text(display_measure(q, "in"))
                 for q in INCH_BENCH.nearest(length(mm), tool)) == (below, above)


@settings(deadline=None)
@given(st.fractions(min_value=-500, max_value=500) | st.floats(min_value=-500, max_value=500),
       st.sampled_from(TOOLS))
def test_the_nearest_marks_are_neighbours_on_both_sides(mm, tool):
    """Both are on the grid, not more than a step apart, and the length is between them (a float within 1e-9
    mm).
    """
    for bench in (INCH_BENCH, METRIC_BENCH):
        below, above = bench.nearest(length(mm), tool)
        slack = Fraction(TOLERANCE) if isinstance(mm, float) else 0
        assert bench.on_grid(below, tool) == bench.on_grid(above, tool) == "on"
        assert above.value - below.value in (0, bench.grid(tool))
        assert below.value - slack <= Fraction(mm) <= above.value + slack
        if not isinstance(mm, float):
            assert (below.value == above.value) == (bench.on_grid(length(mm), tool) == "on")


def test_only_lengths_lie_on_a_tool():
    """A number or an area has no place on a rule."""
    for wrong in (number(3), length(3) * length(3)):
        for ask in (INCH_BENCH.on_grid, INCH_BENCH.nearest):
            with pytest.raises(QuantityError, match="does not lie on the marks of a tool") as caught:
                ask(wrong, "board")
            assert caught.value.code == "units-mixed"
