"""Each measure once, in both systems, where there is room for it or in the list."""
from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from generator.drawing.steps.step_picture import step_pictures
from generator.paper.records import Side
from tests.drawing.recording_queries import DRAWN, OTHER, texts
from tests.drawing.sample_plans import Work, inch, mm
from tests.tutorial.site_tutorials import on_shelf


def test_many_marks_go_to_the_list():
    """Where no figures have room, the first, second and last are drawn and all are listed, with the step
    between.
    """
    work = Work()
    work.next_step()
    work.sheet("comb", mm(250), mm(60))
    work.next_step()
    work.upright("tick", "teeth", [mm(5 * k) for k in range(1, 50)], 56, 60)
    shown = step_pictures(work.plan(), work_in_inches(), 2)[0]
    assert {"5 mm", "10 mm", "245 mm", "49 × 5 mm"} <= set(texts(shown.recording))
    row, = shown.rows
    assert row.number is None and row.mm.startswith("5, 10, 15") and row.mm.endswith("and 245 mm")
    assert row.after == "from the left edge" and row.inch.endswith("in")


def work_in_inches():
    """The comb in inches: a tooth every quarter inch."""
    work = Work("in")
    work.next_step()
    work.sheet("comb", inch("25/2"), inch("19/8"))
    work.next_step()
    work.upright("tick", "teeth", [inch(Fraction(k, 4)) for k in range(1, 50)], 56, 60)
    return work.plan()


def test_crowded_marks_get_numbers():
    """Where figures have no room but numbers have, each mark has a badge, and the list says its measure."""
    work = Work()
    work.next_step()
    work.sheet("card", mm(200), mm(60))
    work.next_step()
    places = [7, 15, 24, 33, 41, 52, 60, 71, 79, 90, 101, 112, 121, 133, 145]
    work.upright("score", "folds", [mm(p) for p in places], 0, 60)
    shown = step_pictures(work.plan(), None, 2)[0]
    numbers = [i.arguments[0].number
               for i in sorted(shown.recording.of("badge"), key=lambda i: i.arguments[0].at.x)]
    assert numbers == list(range(1, 16)) == [row.number for row in shown.rows]
    assert [row.mm for row in shown.rows] == [f"{p} mm" for p in places]


def test_measures_from_both_ends_lie_on_different_sides():
    """What is measured from the right has a row of its own, with its origin at the right."""
    work = Work()
    work.next_step()
    work.sheet("card", mm(200), mm(60))
    work.next_step()
    work.upright("score", "one", [mm(50), mm(60)], 0, 60)
    work.upright("score", "two", [mm(20), mm(30)], 0, 60, side=Side.RIGHT)
    shown = step_pictures(work.plan(), None, 2)[0].recording
    first, second = (i.arguments[0] for i in shown.of("dimension"))
    assert first.origin.x < second.origin.x and first.origin.y < second.origin.y


def test_without_the_other_edition_measures_stand_once():
    """A plan alone is drawn too: one wording, shown whatever system the reader chose."""
    shown = step_pictures(DRAWN, None, 2)[0].recording
    assert all(i.arguments[0].words.is_plain for i in shown.of("label")
               if i.arguments[0].words.mm in ("30", "60"))


def test_drawn_in_inches_the_wordings_keep_their_places():
    """Inches stay above and millimetres below, whichever edition is drawn."""
    recording = step_pictures(OTHER, DRAWN, 2)[0].recording
    assert texts(recording)[:2] == ["30", "60"] and texts(recording, "in")[:2] == ["1 1/4", "2 1/2"]


def test_inexact_measures_say_so():
    """A float is "about", even where an exact length of the same size was worded before."""
    def wording(place):
        work = Work()
        work.next_step()
        work.sheet("card", mm(100), mm(60))
        work.next_step()
        work.upright("score", "one", [place], 0, 60)
        return texts(step_pictures(work.plan(), None, 2)[0].recording)
    assert "50 mm" in wording(mm(50))
    assert "about 50 mm" in wording(replace(mm(50), value=50.0))


def test_a_window_says_where_it_lies():
    """Its four edges are measured from the nearer sides of the sheet, in both editions."""
    tutorial = on_shelf("window-carton")
    shown = step_pictures(tutorial.plans["in"], tutorial.plans["mm"], 7)[0].recording
    # inches are drawn as fractions beside them
    found = {words.removesuffix(" mm") for words in texts(shown)}
    assert {"112", "72", "45", "80"} <= found
