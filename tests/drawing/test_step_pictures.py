"""What is in the picture of a step: this step strong, the rest quiet, each measure once, the piece as it lies."""
from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from generator.drawing import Role, Sign, Surface, legend, overview_picture, sample, step_pictures
from generator.drawing.recording import Recording
from generator.geometry import Circle, Line, Point
from generator.paper.records import Direction, Lie, Side
from tests.drawing.bench_paper import STEPS, Work, caddy, inch, line, loop, mm

DRAWN, OTHER = caddy("mm"), caddy("in")


def picture(name: str):
    """The last picture of a step of the caddy, by the step's title."""
    return step_pictures(DRAWN, OTHER, STEPS.index(name) + 1)[-1]


def texts(recording: Recording, system: str = "mm") -> list[str]:
    """What the labels say in one system."""
    return [getattr(i.given[0].words, "mm" if system == "mm" else "inch") for i in recording.of("label")]


def strokes(recording: Recording, role: Role, fresh: bool) -> list:
    """All strokes of one meaning."""
    return [s for i in recording.of("stroke") if i.given[1:] == (role, fresh) for s in i.given[0]]


def surfaces(recording: Recording) -> list[Surface]:
    """What areas are filled, in order."""
    return [i.given[1] for i in recording.of("area")]


def test_this_step_is_fresh_and_all_else_is_old():
    """The step's eight scores are fresh; the sheet's edge was there."""
    recording = picture("score the panels").recording
    assert len(strokes(recording, Role.SCORE, True)) == 8
    assert not strokes(recording, Role.SCORE, False) and not strokes(recording, Role.CUT, True)
    assert len(strokes(recording, Role.EDGE, False)) == 4


def test_a_later_step_shows_them_quiet():
    """What was fresh in one picture is quiet in the next."""
    recording = picture("foot and shoulder").recording
    assert len(strokes(recording, Role.SCORE, True)) == 2
    assert len(strokes(recording, Role.SCORE, False)) == 8


def test_every_mark_has_its_distance_once():
    """Eight running figures in both systems, the unit once, from a circle at the left edge."""
    recording = picture("score the panels").recording
    assert texts(recording)[:8] == ["30", "60", "90", "120", "150", "180", "210", "240"]
    assert texts(recording, "in")[:8] == ["1 1/4", "2 1/2", "3 3/4", "5", "6 1/4", "7 1/2", "8 3/4", "10"]
    assert texts(recording).count("mm") == 1
    dimension, = (i.given[0] for i in recording.of("dimension"))
    assert dimension.running and len(dimension.stops) == 8


def test_dimensions_are_true_to_the_drawing():
    """From the origin to a stop the line is as long as the figure says, at the scale of the paper's width."""
    recording = picture("score the panels").recording
    edge = [s for s in strokes(recording, Role.EDGE, False) if s.start.y == s.end.y][0]
    scale = float(edge.length()) / 252
    dimension, = (i.given[0] for i in recording.of("dimension"))
    for place, stop in zip(range(30, 241, 30), dimension.stops, strict=True):
        assert stop.x - dimension.origin.x == pytest.approx(place * scale)


def test_the_sheet_is_measured_across_and_up():
    """Two dimension lines with arrows at both ends; the upright one is read from the right (ISO 129-1; from memory)."""
    recording = picture("cut the strip").recording
    labels = {i.given[0].words.mm: i.given[0] for i in recording.of("label")}
    assert not labels["252 mm"].upright and labels["139 mm"].upright
    assert labels["252 mm"].words.inch == "10 1/2 in" and labels["139 mm"].words.inch == "5 5/8 in"
    assert [i.given[0].running for i in recording.of("dimension")] == [False, False]
    for label, dimension in ((labels["252 mm"], 0), (labels["139 mm"], 1)):
        line = list(recording.of("dimension"))[dimension].given[0]
        above = label.at.y > line.origin.y if not label.upright else label.at.x < line.origin.x
        assert above, "words stand above their line"


def test_ticks_on_the_top_edge_are_measured_at_the_top():
    """A row lies on the side that its marks reach."""
    recording = picture("ticks").recording
    dimension, = (i.given[0] for i in recording.of("dimension"))
    assert dimension.origin.y > max(s.end.y for s in strokes(recording, Role.TICK, True))


def test_what_is_cut_away_is_hatched_and_then_gone():
    """In its step the removed paper is hatched, with a cut line; a step later its place is empty."""
    now, later = picture("trim the tab").recording, picture("curves").recording
    assert surfaces(now).count(Surface.REMOVED) == 2
    assert len(strokes(now, Role.CUT, True)) == 4
    assert Surface.REMOVED not in surfaces(later)
    assert len(strokes(later, Role.EDGE, False)) == 8


def test_lines_on_known_places_need_no_measure():
    """The curves run from scores to ticks that are there already, so only their bulge is said."""
    recording = picture("curves").recording
    assert not list(recording.of("dimension"))
    assert "each bulge 4 mm" in texts(recording) and "each bulge 3/16 in" in texts(recording, "in")


def test_a_cut_replaces_part_of_a_score():
    """The feet are cut along what was score, of which the rest is still drawn."""
    recording = picture("cut the feet").recording
    cuts, rest = strokes(recording, Role.CUT, True), strokes(recording, Role.SCORE, False)
    assert len(cuts) == 8
    assert min(s.bounds()[1] for s in rest if s.start.x == s.end.x) == pytest.approx(cuts[0].bounds()[3])


def test_holes_are_measured_both_ways_and_sized():
    """Across from the left, down from the top, and their size with a leader."""
    recording = picture("holes").recording
    assert len(list(recording.of("hole"))) == 8
    assert {"15", "225", "8 mm", "each hole 3 mm"} <= set(texts(recording))
    assert "each hole 1/8 in" in texts(recording, "in")
    assert len(list(recording.of("leader"))) == 1


def test_folds_are_named_as_they_are_seen():
    """The walls are mountains from the printed side; with the plain side up they are valleys and fold up."""
    recording = picture("fold").recording
    assert len(strokes(recording, Role.VALLEY, True)) == 8 and len(strokes(recording, Role.MOUNTAIN, True)) == 7
    assert {i.given[0].sign for i in recording.of("symbol")} == {Sign.FOLD_UP, Sign.FOLD_BACK}
    assert {"fold up", "fold back"} <= set(texts(recording))


def test_a_score_folded_in_part_stays_a_score_in_the_rest():
    """The eighth score is folded below the shoulder only."""
    work = Work()
    work.next_step()
    work.sheet("card", mm(100), mm(60))
    mark, = work.upright("score", "middle", [mm(50)], 0, 60)
    work.next_step()
    work.fold([(mark, Direction.VALLEY, [line(50, 0, 50, 20), line(50, 30, 50, 40)])])
    recording = step_pictures(work.plan(), None, 2)[0].recording
    scale = 100 / next(s.length() for s in strokes(recording, Role.EDGE, False) if s.start.y == s.end.y)
    lengths = [round(float(s.length()) * scale, 6) for s in strokes(recording, Role.SCORE, False)]
    assert lengths == [10, 20]


def test_glue_shows_where_and_under_what():
    """The glued face is dotted, the face it goes under is hatched and framed as hidden, an arrow leads over."""
    recording = picture("glue the seam").recording
    assert {Surface.GLUE, Surface.UNDER} <= set(surfaces(recording))
    assert strokes(recording, Role.HIDDEN, True)
    assert Sign.GOES in {i.given[0].sign for i in recording.of("symbol")}
    assert {"glue", "under here"} <= set(texts(recording))


def test_glue_in_an_order_numbers_the_faces():
    """From left to right the feet are 1, 3, 5, 7, 2, 4, 6, 8."""
    badges = sorted(picture("glue the floor").recording.of("badge"), key=lambda i: i.given[0].at.x)
    assert [i.given[0].number for i in badges] == [1, 3, 5, 7, 2, 4, 6, 8]


def test_a_ribbon_goes_over_and_under():
    """Between eight holes the ribbon is seen three times and hidden four times; its ends are seen."""
    pictures = step_pictures(DRAWN, OTHER, STEPS.index("ribbon") + 1)
    assert [p.piece for p in pictures] == ["strip"], "the ribbon needs no picture of its own"
    recording = pictures[0].recording
    assert len(strokes(recording, Role.RIBBON, True)) == 2 + 3 and len(strokes(recording, Role.HIDDEN, True)) == 4
    assert "ribbon 600 mm" in texts(recording)


def test_each_picture_says_which_side_is_up():
    """Plain at first, printed once the piece is turned over."""
    assert "Plain side up" in texts(picture("holes").recording)
    work = Work()
    work.next_step()
    work.sheet("card", mm(100), mm(60))
    work.next_step()
    work.lie("turn_over", Lie(0, True))
    work.upright("score", "side", [mm(80)], 0, 60, side=Side.LEFT)
    turned = step_pictures(work.plan(), None, 2)[0]
    assert "Printed side up" in texts(turned.recording) and "after turning it over" in texts(turned.recording)
    assert surfaces(turned.recording) == [Surface.PRINTED]
    assert Sign.TURN_OVER in {i.given[0].sign for i in turned.recording.of("symbol")}


def test_the_piece_lies_as_it_was_turned():
    """After a quarter turn clockwise the long strip stands on end, and what was at the left is at the top."""
    work = Work()
    work.next_step()
    work.sheet("card", mm(200), mm(50))
    work.upright("cut", "near_left", [mm(20)], 0, 50)
    work.next_step()
    work.lie("turn", Lie(1))
    work.marks("score", "across", [line(100, 0, 100, 50)], [mm(100)], "x", Side.BOTTOM)
    turned = step_pictures(work.plan(), None, 2)[0].recording
    edge = strokes(turned, Role.EDGE, False)
    high = max(s.bounds()[3] for s in edge) - min(s.bounds()[1] for s in edge)
    wide = max(s.bounds()[2] for s in edge) - min(s.bounds()[0] for s in edge)
    assert high == pytest.approx(4 * wide)
    old, = strokes(turned, Role.CUT, False)
    assert old.start.y == pytest.approx(max(s.bounds()[3] for s in edge) - high / 10)
    assert "after a quarter turn clockwise" in texts(turned)


def test_turning_in_the_midst_of_a_step_begins_a_new_picture():
    """Work before and after a turn is shown on the piece as it lay each time."""
    work = Work()
    work.next_step()
    work.sheet("card", mm(100), mm(60))
    work.next_step()
    work.upright("score", "one", [mm(30)], 0, 60)
    work.lie("turn_over", Lie(0, True))
    work.upright("score", "two", [mm(70)], 0, 60)
    pictures = step_pictures(work.plan(), None, 2)
    assert [p.key for p in pictures] == ["step-2-card", "step-2-card-2"]
    assert [len(strokes(p.recording, Role.SCORE, True)) for p in pictures] == [1, 1]


def tag(width=mm(228), height=mm(280)):
    """A large sheet with one small hole near its top left corner."""
    work = Work()
    work.next_step()
    work.sheet("tag", width, height, up="printed")
    work.next_step()
    work.marks("punch", "eye", [Circle(Point(Fraction(13), height.value - 13), Fraction(5, 2))],
               positions=[((mm(13), Side.LEFT), (mm(13), Side.TOP))], sizes=(mm(5),))
    return work.plan()


def test_work_in_a_corner_is_shown_large_with_an_inset():
    """The picture shows the corner; the inset shows the whole sheet with a frame round that corner."""
    shown = step_pictures(tag(), None, 2)[0].recording
    frame, = (i for i in shown.of("stroke") if i.given[1] is Role.FRAME)
    inset = next(i for i in shown.items if i.process == "where" and i.method == "area")
    assert frame.box().within(inset.box().grown(1e-6))
    assert frame.box().width < inset.box().width / 3
    hole, = (i.given[0] for i in shown.of("hole"))
    assert hole.radius * 2 > 5 * 1.2, "a hole of 5 mm is drawn large"
    assert strokes(shown, Role.BREAK, False)
    assert {"13", "hole 5 mm"} <= set(texts(shown))


def test_work_all_over_is_shown_whole():
    """No inset where it would show nothing more."""
    assert not [i for i in picture("holes").recording.items if i.process == "where"]


def test_many_marks_go_to_the_list():
    """Where no figures have room, the first, second and last are drawn and all are listed, with the step between."""
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
    places = [7, 13, 24, 33, 41, 52, 60, 71, 79, 90, 101, 112, 121, 133, 140, 151]
    work.upright("score", "folds", [mm(p) for p in places], 0, 60)
    shown = step_pictures(work.plan(), None, 2)[0]
    numbers = [i.given[0].number for i in sorted(shown.recording.of("badge"), key=lambda i: i.given[0].at.x)]
    assert numbers == list(range(1, 17)) == [row.number for row in shown.rows]
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
    first, second = (i.given[0] for i in shown.of("dimension"))
    assert first.origin.x < second.origin.x and first.origin.y < second.origin.y


def test_without_the_other_edition_measures_stand_once():
    """A plan alone is drawn too: one wording, shown whatever system the reader chose."""
    shown = step_pictures(DRAWN, None, 2)[0].recording
    assert all(i.given[0].words.is_plain for i in shown.of("label") if i.given[0].words.mm in ("30", "60"))


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


def test_words_tell_the_same_as_the_picture():
    """Title and description name piece, side, deeds and every measure, once for each system."""
    shown = picture("score the panels")
    assert shown.title == "Strip, plain side up: eight scores"
    assert "scores at 30, 60, 90, 120, 150, 180, 210 and 240 mm from the left edge" in shown.description
    assert "1 1/4, 2 1/2, 3 3/4, 5, 6 1/4, 7 1/2, 8 3/4 and 10 in from the left edge" in shown.description
    assert "252 mm wide and 139 mm high" in shown.description
    assert "(" not in shown.description, "never a bracketed conversion"


def test_the_finished_blank_shows_everything():
    """All marks in one picture, its size at the head, no gesture of a step."""
    shown = overview_picture(DRAWN, OTHER, 0)
    said = set(texts(shown.recording))
    assert {"252 × 139 mm", "40 mm", "100 mm", "15", "225", "240"} <= said
    assert shown.kind == "whole" and not list(shown.recording.of("symbol"))
    assert shown.title == "Strip, plain side up: all its marks"


def test_a_piece_that_nobody_made_cannot_be_shown():
    """The message names the piece."""
    nothing = replace(DRAWN, states={})
    with pytest.raises(ValueError, match="strip"):
        overview_picture(nothing, None, 0)


def test_an_idle_step_has_no_picture():
    """Steps of words alone, and steps beyond the last, have none."""
    assert step_pictures(DRAWN, OTHER, 99) == ()


def test_the_legend_names_what_is_used_and_nothing_else():
    """Each entry has a sample that can be drawn."""
    entries = dict(legend(picture("fold").recording))
    assert {"mountain", "valley", "fold-up", "fold-back", "score", "hole"} <= set(entries)
    assert "glue" not in entries and "removed" not in entries
    for number in range(1, len(STEPS) + 1):
        for shown in step_pictures(DRAWN, OTHER, number):
            assert all("<path" in sample(name) for name, _ in legend(shown.recording))
    with pytest.raises(ValueError):
        sample("nothing")


def test_a_net_is_sized_by_its_panels():
    """A panel of equal edges says its edge, another one its edge and its depth; joints are no edges."""
    work = Work()
    work.next_step()
    base = work.sheet("tray", mm(80), mm(50), up="printed", kind="panel")
    face = replace(work.face("tray", loop((0, 0), (80, 0), (80, 50), (0, 50))), act=0)
    work.change("faces", base, faces=(face,))
    work.next_step()
    wall = work.face("wall", loop((0, 50), (80, 50), (74, 75), (6, 75)), index=2)
    hinge = work.marks("score", "wall", [line(0, 50, 80, 50)], positions=[()])
    state = work.state()
    rims = (*state.outline[:2], *work.rims(s for s in wall.outline[1:]), state.outline[3])
    rims = tuple(replace(r, act=work.act) if r.stroke in wall.outline else r for r in rims)
    work.put(replace(state, outline=rims, faces=(face, replace(wall, act=work.act)), height=mm(75)), "attach",
             marks=(hinge[0].id,))
    shown = step_pictures(work.plan(), None, 2)[0]
    assert "80 × 25 mm" in texts(shown.recording)
    assert len(strokes(shown.recording, Role.CUT, True)) == 3 and len(strokes(shown.recording, Role.EDGE, False)) == 3
    assert all(isinstance(s, Line) for s in strokes(shown.recording, Role.SCORE, True))
