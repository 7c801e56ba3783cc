"""Nothing fits: the set that is named contradicts itself, and does not without any one of its demands."""
from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.regauge import report_text
from generator.regauge.conflicts import restricted_to
from generator.regauge.search import best_choices
from generator.units import bench_from
from tests.regauge.sample_boxes import BENCHES, INCH, answer, sheet_of, six, wish

STRIP = "strip = sheet(width=4*panel + tab, height=wall)\npanels = score(strip, x=every(panel, 4))"


def is_smallest(found) -> None:
    """Every conflict contradicts itself, and leaving out any one demand leaves something."""
    assert found.best is None and found.conflicts
    for conflict in found.conflicts:
        assert not best_choices(restricted_to(found.problem, conflict.demands), "close", 1).choices
        for demand in conflict.demands:
            fewer = [d for d in conflict.demands if d is not demand]
            assert best_choices(restricted_to(found.problem, fewer), "close", 1).choices, demand.text


def said(found) -> list[set[str]]:
    """The conflicts in words."""
    return [{demand.text for demand in conflict.demands} for conflict in found.conflicts]


def test_a_window_without_a_mark():
    """Half-way ticks on a board of half inches want whole inches; about 38 mm there is none within 8 %."""
    coarse = {**BENCHES, "in": bench_from({"board": "1/2 in"}, "in")}
    text = sheet_of("panel: 38 mm, wall: 60 mm, tab: 10 mm",
                    f"{STRIP}\npeaks = tick(strip, x=midway(panels), edge=top)")
    found = answer(text, benches=coarse)
    is_smallest(found)
    assert any(demand.name == "panel" for demand in found.conflicts[0].demands)
    assert any("ticks of 'peaks'" in each for each in said(found)[0])
    assert any("hand rule" in each.text for each in found.relaxations)
    wider = next(each for each in found.relaxations if "--within" in each.text)
    assert wider.values["panel"] in (INCH, 2 * INCH)


def test_the_window_is_the_smallest_in_whole_per_cent():
    """What is offered fits, and one per cent less does not."""
    coarse = {**BENCHES, "in": bench_from({"board": "1/2 in"}, "in")}
    text = sheet_of("panel: 38 mm, wall: 60 mm, tab: 10 mm",
                    f"{STRIP}\npeaks = tick(strip, x=midway(panels), edge=top)")
    wider = next(each for each in answer(text, benches=coarse).relaxations if "--within" in each.text)
    percent = int(wider.text.split("--within ")[1].rstrip(")"))
    assert answer(text, wish(within=percent), coarse).best.values == wider.values
    assert answer(text, wish(within=percent - 1), coarse).best is None


@pytest.mark.parametrize(("kept", "names"), [
    ({"panel": "1 3/16 in"}, {"the scores of 'panels' on the scoring board (line 12)",
                              "panel kept at 1 3/16 in"}),
    ({"tab": "13/32 in"}, {"tab kept at 13/32 in", "'tab' on the rule"}),
])
def test_a_kept_length_that_no_tool_has(kept, names):
    """A value between the board's marks, and one between the rule's: the smallest telling set."""
    found = answer(sheet_of("panel: 30 mm, wall: 60 mm, tab: 10 mm", STRIP), wish(**kept))
    is_smallest(found)
    assert said(found)[0] == names
    assert found.relaxations[0].text.startswith(f"without keeping {next(iter(kept))}")


def test_two_kept_lengths_against_a_requirement():
    """Each of the two would do by itself; together they break what the design must keep, and its reason is
    told.
    """
    text = sheet_of("panel: 30 mm, wall: 60 mm, tab: 10 mm",
                    f'{STRIP}\nexpect(wall >= 2*panel, because="it must stand")')
    found = answer(text, wish(panel="1 1/4 in", wall="2 3/8 in"))
    is_smallest(found)
    assert said(found)[0] == {"panel kept at 1 1/4 in", "wall kept at 2 3/8 in",
                              "the requirement of line 13 (it must stand)"}
    assert {each.text for each in found.relaxations} == {"without keeping panel at 1 1/4 in",
                                                         "without keeping wall at 2 3/8 in"}


def test_a_sheet_that_is_too_small():
    """One strip of more than eleven inches never comes out of A5; the report says which sheet, and that
    dropping it helps.
    """
    found = answer(six(), wish(("a5", 1)))
    is_smallest(found)
    assert any("A5" in each for each in said(found)[0])
    assert any("A5" in each.text for each in found.relaxations)
    assert "nothing fits in inches" in report_text(found)


def test_what_fails_only_when_worked_out_is_told_as_that():
    """A requirement on a piece of paper is no sum of lengths: every choice fails, and the line and reason are
    told.
    """
    text = sheet_of("panel: 30 mm, wall: 61 mm, tab: 10 mm",
                    f'{STRIP}\nexpect(10*strip.height == 61*tab, because="it is so")')
    found = answer(text)
    assert found.best is None and not found.conflicts and found.leading.failed
    assert "line 13" in report_text(found) and "because it is so" in report_text(found)


@settings(deadline=None, max_examples=12)
@given(st.integers(25, 45), st.integers(50, 70), st.integers(8, 14), st.integers(14, 30), st.integers(28, 44))
def test_every_named_set_is_smallest(panel, wall, tab, kept_panel, kept_wall):
    """Whatever two lengths are kept at, on sixteenths: where nothing fits, the named sets are smallest."""
    text = sheet_of(f"panel: {panel} mm, wall: {wall} mm, tab: {tab} mm",
                    f"{STRIP}\npeaks = tick(strip, x=midway(panels), edge=top)\nexpect(wall >= panel)")
    found = answer(text, wish(panel=f"{kept_panel}/16 in", wall=f"{kept_wall}/16 in"))
    if found.best is None:
        is_smallest(found)
