"""The table of measuring systems, against NIST Handbook 44, Appendix C.

*From memory*: 1 in is 25.4 mm, 1 yd is 36 in.
"""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.paper.sheet_layouts import STOCK_SHEETS
from generator.units import INCH, METRIC, SYSTEMS, TOOLS, default_bench, other_system, system_of


def test_the_inch_is_what_the_standard_says():
    """25.4 mm exactly, and a yard 914.4 mm; a metre is 1000 mm."""
    assert (INCH.mm, METRIC.mm) == (Fraction("25.4"), 1)
    assert (INCH.roll_length, METRIC.roll_length) == (Fraction("914.4"), 1000)


def test_every_system_is_found_by_its_code_and_has_another():
    """Each is the other of the other."""
    assert list(SYSTEMS) == ["mm", "in"]
    assert [system_of(code).code for code in SYSTEMS] == list(SYSTEMS)
    assert [other_system(code) for code in SYSTEMS] == ["in", "mm"]


@pytest.mark.parametrize("code", ["", "cm", "inch", "MM"])
def test_an_unknown_system_is_an_error(code):
    """None is taken for another."""
    with pytest.raises(ValueError, match="no such system"):
        system_of(code)
    with pytest.raises(ValueError, match="no such system"):
        other_system(code)


@pytest.mark.parametrize("system", SYSTEMS.values(), ids=SYSTEMS)
def test_its_steps_fit_each_other(system):
    """A tool's coarse marks lie on its fine ones, and the printed paper is in the table of sheets."""
    for step in (system.board_step, system.rule_step, system.graded_step, *system.handy_steps):
        assert step % system.finest == 0
    assert list(system.handy_steps) == sorted(system.handy_steps, reverse=True)
    assert system.print_paper in STOCK_SHEETS
    bench = default_bench(system.code)
    assert set(bench.tools) == set(TOOLS)
    assert bench.grid("board") == system.board_step and bench.grid("punch") == system.rule_step
