"""Both editions are whole, and so alike that one picture serves them: what is found where they are not."""
from __future__ import annotations

import pytest

from generator.findings import render
from tests.tutorial.small_source import PROSE, STANDING, front, load, source, tutorial

LENGTHS = "lengths: {panel: 30 mm, wall: 60 mm, tab: 10 mm, a: 20 mm, b: 40 mm}"
INCHES = "editions: {in: {panel: 1 1/4 in, wall: 2 1/2 in, tab: 3/8 in, a: A, b: B}}"


def two(a: str, b: str, fence: str, used: str = "{{ a }} {{ b }}") -> str:
    """A source with two more lengths, 20 and 40 mm, and these in inches."""
    told = front("lengths: {panel: 30 mm, wall: 60 mm, tab: 10 mm}", LENGTHS).replace(
        "editions: {in: {panel: 1 1/4 in, wall: 2 1/2 in, tab: 3/8 in}}",
        INCHES.replace("A", a).replace("B", b))
    return source(fence=f"{STANDING}\n{fence}", prose=f"{PROSE} {used}", front=told)


def found(text: str) -> list[tuple[str, str]]:
    """Code and message of each finding that is neither about a grid nor about a length far from the drawn
    one.
    """
    return [(f.code, f.message) for f in load(text).findings if f.code not in ("off-grid", "edition-stale")]


def test_each_edition_has_its_own_values():
    """The same statements, two plans: 30 mm beside 1 1/4 in, never a conversion."""
    plans = tutorial(source()).plans
    assert [m.position.value for m in plans["mm"].state(0).marks] == [30, 60, 90, 120]
    # quarters of an inch
    assert [m.position.value * 5 / 127 * 4 for m in plans["in"].state(0).marks] == [5, 10, 15, 20]
    assert (plans["mm"].system, plans["in"].system) == ("mm", "in")


def test_prose_speaks_both():
    """One inlay, two wordings; what has no unit and is the same is said once."""
    step, = tutorial(source()).steps
    inlays = {part.expression: part for part in step.prose if not isinstance(part, str)}
    assert (inlays["tab"].wordings["mm"].text, inlays["tab"].wordings["in"].text) == ("10 mm", "3/8 in")
    assert inlays["words(sides)"].shared and not inlays["tab"].shared
    assert inlays["panels.marks"].wordings["in"].text == "1 1/4, 2 1/2, 3 3/4 and 5 in"


def test_marks_that_change_places():
    """A tick before another in one edition and behind it in the other cannot be one picture."""
    ticks = "low = tick(strip, y=a, edge=left)\nhigh = tick(strip, y=b, edge=left)"
    code, message = found(two("2 in", "1 in", ticks))[0]
    assert code == "editions-differ" and "'high' and 'low' change places" in message
    assert found(two("3/4 in", "1 5/8 in", ticks)) == []


def test_more_marks_in_one_edition():
    """A count that comes out otherwise makes other marks; the finding says how many."""
    (code, message), = found(two("3/4 in", "2 1/4 in", "u = score(strip, y=every(a, b/a))"))
    assert code == "editions-differ" and "2 marks" in message and "3 marks" in message


def test_other_corners():
    """Two areas that meet in one edition and not in the other leave outlines of different corners."""
    fence = "remove(strip, x=left..a, y=bottom..tab)\nremove(strip, x=left..b/2, y=tab..2*tab)"
    (code, message), = found(two("3/4 in", "1 in", fence))
    assert code == "editions-differ" and "outline of 'strip'" in message
    assert found(two("3/4 in", "1 1/2 in", fence)) == []


def test_a_mark_that_ends_otherwise():
    """A score that is parted by a window in one edition only."""
    fence = "remove(strip, x=panel..2*panel, y=a..b)\nu = score(strip, y=wall/2)"
    (code, message), = found(two("3/4 in", "1 1/8 in", fence))
    assert code == "editions-differ" and "'u' ends otherwise" in message


@pytest.mark.parametrize(("a", "b", "edition"), [("3 in", "1 5/8 in", "inch"), ("3/4 in", "1 5/8 in", None)])
def test_a_requirement_that_fails_in_one_edition(a, b, edition):
    """The message says in which; the other edition is not blamed."""
    text = two(a, b, 'expect(a < b, because="the flap must be covered")')
    if edition is None:
        assert found(text) == []
    else:
        each, = (f for f in load(text).findings if f.code == "expect-fails")
        assert each.edition == "in" and "3 in" in each.message and "the flap must be covered" in each.message
        assert f"the flap must be covered (in the {edition} edition only) [expect-fails]" in render(each)


def test_a_requirement_that_fails_in_both_is_told_once():
    """In the words of the drawn edition."""
    (code, message), = found(two("3/4 in", "1 5/8 in", "expect(a > b)"))
    assert code == "expect-fails" and "20 mm" in message and "only" not in message


def test_an_error_in_one_edition_only():
    """A mark that leaves the paper in inches alone is an error that says so, and nothing goes out."""
    loaded = load(two("3 in", "1 5/8 in", "u = score(strip, y=a)"))
    assert loaded.tutorial is None
    assert [(f.code, f.edition) for f in loaded.findings
            if f.code != "edition-stale"] == [("mark-off-piece", "in")]


def test_an_error_in_both_editions_is_told_once():
    """One mistake in the source is one finding."""
    assert [f.code for f in load(source(fence=STANDING
                                        + "\nu = score(strip, z=panel)")).findings] == ["call-parameter"]


def test_all_problems_in_one_run():
    """Two statements, the prose and a requirement that is not met: each is told at once, in the order of the
    source.
    """
    text = source(fence=STANDING
                  + "\nu = score(strip, x=nothing)\nexpect(panel > wall)\nv = cut(strip, y=2*wall)",
                  prose=PROSE + " {{ nought }}")
    told = load(text).findings
    # of more than three findings two unknown names are one
    assert [f.code for f in told] == ["name-unknown", "expect-fails", "mark-off-piece"]
    assert "'nothing'" in told[0].message and "'nought'" in told[0].message
    assert [f.line for f in told] == sorted(f.line for f in told) and all(f.hint for f in told)
