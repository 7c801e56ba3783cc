"""Every mark lies on a mark of the tool that makes it, or the finding names the nearest that would."""
from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.findings import Severity
from generator.units import bench_from, default_bench
from tests.tutorial.small_source import BENCHES, FENCE, PROSE, front, load, source


def told(text: str, benches=BENCHES) -> list[tuple[str, str, str]]:
    """Severity, message and hint of what is off the grid."""
    return [(str(f.severity), f.message, f.hint) for f in load(text, benches).findings
            if f.code == "off-grid"]


def test_what_lies_on_the_grid_is_silent():
    """30 mm on a board of 5 mm, 1 1/4 in on a board of eighths."""
    assert told(source()) == []


def test_off_the_grid_is_a_warning_in_the_drawn_edition():
    """The design may be drawn as its author likes; the page goes out, the finding names the nearest marks and
    the name.
    """
    text = source(front=front("panel: 30 mm", "panel: 31 mm"))
    (severity, message, hint), = told(text)
    assert (severity == "warning" and "metric" in message and "31, 62 and 93 mm" in message
            and "scoring board" in message)
    assert "30 mm and 35 mm" in hint and "'panel'" in hint
    assert load(text).tutorial is not None


def test_off_the_grid_is_an_error_in_the_regauged_edition():
    """The other edition was chosen for its tools: nothing goes out until every mark lies on them."""
    text = source(front=front("panel: 1 1/4 in", "panel: 1 5/16 in"))
    found = told(text)
    assert {severity for severity, _, _ in found} == {"error"} and load(text).tutorial is None
    board, = [f for f in found if "scoring board" in f[1]]
    assert "inch" in board[1] and "1 5/16" in board[1] and "1 1/4 in and 1 3/8 in" in board[2]


def test_the_drawn_edition_is_the_one_the_source_says():
    """Drawn in inches, the metric edition is the one that must fit."""
    told_in = front("drawn_in: mm", "drawn_in: in").replace("panel: 30 mm, wall: 60 mm, tab: 10 mm",
        "panel: 1 1/4 in, wall: 2 1/2 in, tab: 3/8 in")
    text = source(front=told_in.replace("{in: {panel: 1 1/4 in, wall: 2 1/2 in, tab: 3/8 in}}",
        "{mm: {panel: 31 mm, wall: 60 mm, tab: 10 mm}}"))
    assert [(severity, "metric" in message) for severity, message, _ in told(text)] == [("error", True)]


@pytest.mark.parametrize(("statement", "tool", "what"), [
    ("u = score(strip, y=tab/4)", "scoring board", "2.5 mm"),
    ("u = cut(strip, y=tab/4)", "trimmer", "2.5 mm"),
    ("u = slit(strip, y=tab/4, x=left..panel)", "rule", "2.5 mm"),
    ("u = tick(strip, x=tab/4, edge=top)", "scoring board", "2.5 mm"),
    ("u = tick(strip, x=tab/4, edge=top, tool=rule)", "rule", "2.5 mm"),
    ("u = punch(strip, x=tab/4, y=tab, diameter=tab/4)", "rule", "2.5 mm"),
    ("u = score(strip, line(at(left, tab/4), at(panel, top)))", "template", "2.5 mm"),
    ("u = cut(strip, x=tab, y=bottom..tab/4)", "trimmer", "2.5 mm"),
    ("remove(strip, x=left..tab, y=bottom..tab/4)", "trimmer", "2.5 mm"),
    ("notch(strip, edge=top, at=panel/2, width=tab/4, depth=tab)", "rule", "13.8 and 16.2 mm"),
    ("u = score(strip, arc(at(panel, tab), at(panel, 2*tab), bulge=tab/4))", "template", "2.5 mm"),
    ("q = sheet(width=tab/4, height=tab)", "trimmer", "2.5 mm"),
    ("u = score(strip, y=hypot(tab, tab))", "scoring board", "14.1 mm")])
def test_each_tool_has_its_grid(statement, tool, what):
    """Scores and ticks on the board, cuts on the trimmer, the rest on the rule; spans, notches, curves and
    blanks too.
    """
    text = source(fence=FENCE + "\n" + statement, front=front("tab: 3/8 in", "tab: 1/2 in"))
    metric = [f for f in told(text) if "metric" in f[1]]
    assert len(metric) == 1 and metric[0][0] == "warning"
    assert tool in metric[0][1] and what in metric[0][1].replace("about ", ""), metric


@pytest.mark.parametrize("statement", [
    "u = cut(strip, x=panels.first, y=bottom..wall/2)", "remove(strip, x=panels.last..right, y=bottom..top)",
    "u = score(strip, line(at(panels.first, bottom), at(panels[2], top)))",
    "u = punch(strip, x=panel/2, y=tab, diameter=tab/8)",
    "u = faces(strip, x=panels.bays, y=bottom..tab/7)",
    "u = score(strip, line(at(hypot(tab, tab), bottom), at(panel, top)))"])
def test_what_needs_no_mark_of_its_own(statement):
    """Edges, marks that are there, the size of a punch, named areas, and what is about on a template that is
    printed.
    """
    assert [f for f in told(source(fence=FENCE + "\n" + statement)) if "metric" in f[1]] == []


def test_a_finer_bench_takes_what_a_coarse_one_does_not():
    """With a board of single millimetres 31 mm is on the grid."""
    fine = {**BENCHES, "mm": bench_from({"board": "1 mm"}, "mm")}
    assert told(source(front=front("panel: 30 mm", "panel: 31 mm")), fine) == []


def test_every_group_is_told_once():
    """One finding a statement, with the first three of nine measures and how many more there are; 155 is on
    the grid.
    """
    text = source(front=front("sides: 4", "sides: 9").replace("panel: 30 mm", "panel: 31 mm"))
    (_, message, _), = told(text)
    assert "31, 62 and 93 mm (and 5 more)" in message


@settings(deadline=None, max_examples=25)
@given(st.integers(20 * 16, 60 * 16))
def test_the_grid_is_division(sixteenths):
    """A panel of n/16 mm is on a metric board exactly where n is a multiple of 80."""
    text = source(fence=FENCE.replace("fold(panels, mountain)", ""), prose=PROSE,
                  front=front("panel: 30 mm", f"panel: {float(Fraction(sixteenths, 16))} mm"))
    board = [f for f in load(text).findings if f.code == "off-grid" and "board" in f.message]
    assert bool(board) == bool(sixteenths % 80)
    assert all(f.severity is Severity.WARNING for f in board)


def test_the_benches_of_the_tests_are_the_defaults():
    """Common practice, no source: board 5 mm and 1/8 in, trimmer and rule 1 mm and 1/16 in."""
    inch = Fraction(127, 5)
    assert [BENCHES["mm"].grid(t) for t in ("board", "trimmer", "rule")] == [5, 1, 1]
    assert [BENCHES["in"].grid(t) for t in ("board", "trimmer", "rule")] == [inch / 8, inch / 16, inch / 16]
    assert default_bench("mm") == BENCHES["mm"]
