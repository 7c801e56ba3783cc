"""The caddy of the design and the one that is published: what must be so in both editions, worked out again
from outside.
"""
from __future__ import annotations

from fractions import Fraction
from functools import cache
from itertools import pairwise
from pathlib import Path

import mpmath
import pytest

from generator.paper.records import Mark, PieceState
from generator.tutorial import Tutorial, load
from generator.tutorial.prose_evaluation import plain_text
from tests.language.small_tutorials import BENCHES

ROOT = Path(__file__).parents[2]
CADDIES = {"design": ROOT / "tests" / "sources" / "caddy.md",
           "published": ROOT / "tutorials" / "tea-caddy" / "index.md"}
SYSTEMS = ("mm", "in")
INCH = Fraction(127, 5)     # mm; NIST Handbook 44, Appendix C
# the design, section 4: sides, and mm or inches of panel, wall, foot, crown and tab
VALUES = {"mm": (30, 60, 40, 39, 12), "in": tuple(INCH * n / 8 for n in (10, 19, 13, 13, 4))}
SIDES = 8
# Common practice, no source: where the marks of the tools lie, mm
GRID = {"mm": {"board": Fraction(5), "trimmer": Fraction(1), "rule": Fraction(1), "template": Fraction(1)},
        "in": {"board": INCH / 8, "trimmer": INCH / 16, "rule": INCH / 16, "template": INCH / 16}}

both = pytest.mark.parametrize(("name", "system"), [(name, system) for name in CADDIES for system in SYSTEMS])


@cache
def caddy(name: str) -> Tutorial:
    """A caddy that must load without any finding."""
    loaded = load(CADDIES[name], f"{name}.md", BENCHES)
    assert loaded.tutorial is not None and loaded.findings == (), loaded.findings
    return loaded.tutorial


def strip(name: str, system: str) -> PieceState:
    """The strip as it is in the end."""
    return caddy(name).plans[system].state(0)


def marks(name: str, system: str, group: str) -> list[Mark]:
    """The marks of a group."""
    return [mark for mark in strip(name, system).marks if mark.name == group]


@both
def test_the_values_are_the_designs(name, system):
    """Panel, wall, foot, crown and tab as section 4 gives them; eight sides."""
    names = caddy(name).names
    assert tuple(names[n].values[system].value
                 for n in ("panel", "wall", "foot", "crown", "tab")) == VALUES[system]
    assert caddy(name).front.counts["sides"] == SIDES


@both
def test_the_crown_lies_in_the_closing_window(name, system):
    """Apothem ≤ crown ≤ circumradius (check values, row 27: elementary trigonometry), by mpmath."""
    panel, _, _, crown, _ = (mpmath.mpf(float(v)) for v in VALUES[system])
    apothem, circumradius = panel / 2 * mpmath.cot(mpmath.pi
                                                   / SIDES), panel / 2 * mpmath.csc(mpmath.pi / SIDES)
    tolerance = 1e-9 * panel
    assert apothem - tolerance <= crown <= circumradius + tolerance
    measured = max(float(rim.stroke.start.y)
                   for rim in strip(name, system).outline) - float(marks(name, system,
        "shoulder")[0].place)
    assert abs(measured - crown) < 1e-9
    said = caddy(name).names
    assert abs(float(said["apothem"].values[system])
               - apothem) < 1e-9 and abs(float(said["corner"].values[system]) - circumradius) < 1e-9


@both
def test_the_foot_flaps_cover_the_floor(name, system):
    """Each flap reaches at least from its wall to the middle of the floor: foot ≥ apothem."""
    panel, _, foot, _, _ = VALUES[system]
    assert mpmath.mpf(float(foot)) >= mpmath.mpf(float(panel)) / 2 * mpmath.cot(mpmath.pi / SIDES)
    flaps = [face for act in caddy(name).plans[system].acts if act.verb == "glue" and not act.detail.target
             for face in act.detail.faces]
    assert len(flaps) == SIDES and {float(face.size[1]) for face in flaps} == {float(foot)}


@both
def test_the_finished_size(name, system):
    """Twice the apothem across; the peaks meet √(crown² − apothem²) above the shoulder (row 27)."""
    panel, wall, _, crown, _ = (mpmath.mpf(float(v)) for v in VALUES[system])
    apothem = panel / 2 * mpmath.cot(mpmath.pi / SIDES)
    finish = caddy(name).plans[system].finish
    assert abs(float(finish["width"]) - 2 * apothem) < 1e-9
    assert abs(float(finish["height"]) - (wall + mpmath.sqrt(crown ** 2 - apothem ** 2))) < 1e-9


@both
def test_every_mark_lies_on_its_tools_grid(name, system):
    """Blank, scores, ticks, cuts, holes and curves: every distance that is set is a whole number of the
    tool's steps.
    """
    state, grid = strip(name, system), GRID[system]
    assert state.width.value % grid["trimmer"] == 0 and state.height.value % grid["trimmer"] == 0
    checked = 0
    for mark in state.marks:
        for distance, _ in mark.positions:
            assert distance.exact and distance.value % grid[mark.tool] == 0, (mark.name, distance)
            checked += 1
    assert checked > 8 + 8 + 8 + 2 * 8
    assert [m.position.value % grid["board"] for m in marks(name, system, "peaks")] == [0] * SIDES
    assert {m.sizes[0].value % grid["template"] for m in marks(name, system, "curves")} == {0}


@both
def test_the_panels_close(name, system):
    """Eight equal bays and a tab are the whole strip; the tab is not wider than a panel; half-way ticks are
    half-way.
    """
    panel, _, _, _, tab = VALUES[system]
    scores = [m.position.value for m in marks(name, system, "panels")]
    assert [b - a for a, b in pairwise([0, *scores])] == [panel] * SIDES
    assert strip(name, system).width.value - scores[-1] == tab <= panel
    assert [m.position.value for m in marks(name, system, "peaks")] == [s - panel / Fraction(2)
                                                                        for s in scores]


@both
def test_the_tab_lies_clear_of_floor_and_curves(name, system):
    """Above the shoulder and below the foot line no paper is left beyond the last panel score."""
    panel, wall, foot, _, tab = VALUES[system]
    corners = {(rim.stroke.start.x, rim.stroke.start.y) for rim in strip(name, system).outline}
    last = SIDES * panel
    assert {(x, y) for x, y in corners if x > last} == {(last + tab, foot), (last + tab, foot + wall)}
    for mark in marks(name, system, "curves"):
        assert all(float(run.bounds()[2]) <= float(last) + 1e-9 for run in mark.runs) and mark.runs


@both
def test_the_curves_run_from_shoulder_to_peak(name, system):
    """Sixteen arcs, two a side that mirror each other, from the corners of each side to its peak, swung
    towards its middle.
    """
    panel, wall, foot, crown, _ = VALUES[system]
    curves, low, high = marks(name, system, "curves"), foot + wall, foot + wall + crown
    ends = [tuple(mark.whole[0].start) + tuple(mark.whole[0].end) for mark in curves]
    up = [(panel * k, low, panel * k + panel / Fraction(2), high) for k in range(SIDES)]
    down = [(panel * k + panel / Fraction(2), high, panel * (k + 1), low) for k in range(SIDES)]
    assert ends == up + down
    for a, b, k in zip(curves[:SIDES], curves[SIDES:], range(SIDES), strict=True):
        x, y = map(float, a.whole[0].at(0.5))
        u, v = map(float, b.whole[0].at(0.5))
        assert abs((x + u) / 2 - float(panel) * (k + 0.5)) < 1e-9 and abs(y
                                                                          - v) < 1e-9 and x > float(panel) * (
                                                                              k + 0.25)


@both
def test_nothing_is_typed_by_hand(name, system):
    """Every step is worded, and no digit of its words stands in the source."""
    for step in caddy(name).steps:
        assert plain_text(step.prose, system).strip()
        assert not any(c.isdigit() for part in step.prose if isinstance(part, str) for c in part)


def test_the_published_caddy_is_complete():
    """About twelve steps, from cutting the strip to tying the ribbon, each with its picture, with care and
    credit.
    """
    tutorial = caddy("published")
    assert 10 <= len(tutorial.steps) <= 14 and all(step.has_picture for step in tutorial.steps)
    assert tutorial.steps[0].title.startswith("Cut") and "tie" in tutorial.steps[-1].title
    verbs = {act.verb for act in tutorial.drawn.acts}
    assert {"sheet", "score", "tick", "cut", "remove", "punch", "fold", "glue", "thread", "gather"} <= verbs
    assert tutorial.cautions and tutorial.tools and tutorial.supplies and tutorial.front.credit.licence
