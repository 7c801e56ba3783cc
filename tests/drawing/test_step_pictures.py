"""What is in the picture of a step: this step strong, the rest quiet, and the same told in words."""
from __future__ import annotations

from dataclasses import replace

import pytest

from generator.drawing.backends.legend import legend, legend_sample
from generator.drawing.pen import Role, Surface
from generator.drawing.steps.step_picture import overview_picture, step_pictures
from generator.geometry import Line
from generator.paper.records import Side
from tests.drawing.recording_queries import DRAWN, OTHER, picture, strokes, surfaces, texts
from tests.drawing.sample_plans import STEPS, Work, line, loop, mm


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
    dimension, = (i.arguments[0] for i in recording.of("dimension"))
    assert dimension.running and len(dimension.stops) == 8


def test_dimensions_are_true_to_the_drawing():
    """From the origin to a stop the line is as long as the figure says, at the scale of the paper's width."""
    recording = picture("score the panels").recording
    edge = [s for s in strokes(recording, Role.EDGE, False) if s.start.y == s.end.y][0]
    scale = float(edge.length()) / 252
    dimension, = (i.arguments[0] for i in recording.of("dimension"))
    for place, stop in zip(range(30, 241, 30), dimension.stops, strict=True):
        assert stop.x - dimension.origin.x == pytest.approx(place * scale)


def test_the_sheet_is_measured_across_and_up():
    """Two dimension lines with arrows at both ends; the upright one is read from the right (ISO 129-1; from
    memory).
    """
    recording = picture("cut the strip").recording
    labels = {i.arguments[0].words.mm: i.arguments[0] for i in recording.of("label")}
    assert not labels["252 mm"].upright and labels["139 mm"].upright
    assert labels["252 mm"].words.inch == "10 1/2 in" and labels["139 mm"].words.inch == "5 5/8 in"
    assert [i.arguments[0].running for i in recording.of("dimension")] == [False, False]
    for label, dimension in ((labels["252 mm"], 0), (labels["139 mm"], 1)):
        line = list(recording.of("dimension"))[dimension].arguments[0]
        above = label.at.y > line.origin.y if not label.upright else label.at.x < line.origin.x
        assert above, "words stand above their line"


def test_ticks_on_the_top_edge_are_measured_at_the_top():
    """A row lies on the side that its marks reach."""
    recording = picture("ticks").recording
    dimension, = (i.arguments[0] for i in recording.of("dimension"))
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
    assert {"15", "225", "8 mm", "each hole 3 mm across"} <= set(texts(recording))
    assert "each hole 1/8 in across" in texts(recording, "in")
    assert len(list(recording.of("leader"))) == 1


def test_a_new_edge_is_measured_unless_marks_show_it():
    """A corner cut off on the slant says where the cut begins and ends, from the sides that are nearer."""
    work = Work()
    work.next_step()
    work.sheet("tag", mm(100), mm(60))
    work.next_step()
    kept = loop((0, 0), (100, 0), (100, 45), (80, 60), (0, 60))
    rims = tuple(replace(r, act=work.act if r.stroke.start.x == 100 and r.stroke.end.x == 80 else 0)
                 for r in work.rims(kept))
    work.change("remove", outline=rims)
    recording = step_pictures(work.plan(), None, 2)[0].recording
    assert {"20 mm", "15 mm"} <= set(texts(recording))


def test_words_tell_the_same_as_the_picture():
    """Title and description name piece, side and deeds; every measure is told once for each system, apart."""
    shown = picture("score the panels")
    assert shown.title == "Strip, plain side up: eight scores"
    assert "scores at 30, 60, 90, 120, 150, 180, 210 and 240 mm from the left edge" in shown.told["mm"]
    assert "1 1/4, 2 1/2, 3 3/4, 5, 6 1/4, 7 1/2, 8 3/4 and 10 in from the left edge" in shown.told["in"]
    assert "252 mm wide and 139 mm high" in shown.told["mm"] and " in" not in shown.told["mm"].split(":")[1]
    assert not any(char.isdigit() for char in shown.description), "no measure of either system"
    assert "(" not in "".join(shown.told.values()), "never a bracketed conversion"


def test_marks_are_told_in_their_order():
    """Kind by kind and from the edge on, whatever the order of the source; where lines end comes last."""
    work = Work()
    work.next_step()
    work.sheet("strip", mm(100), mm(60))
    work.marks("score", "sides", [line(at, 10, at, 60) for at in (70, 20)], [mm(70), mm(20)], "x", Side.LEFT,
               positions=[((mm(at), Side.LEFT), (mm(10), Side.BOTTOM)) for at in (70, 20)])
    work.marks("tick", "middle", [line(50, 0, 50, 5)], [mm(50)], "x", Side.LEFT)
    told = step_pictures(work.plan(), None, 1)[0].told
    assert told == {
        "mm": "In millimetres: strip 100 mm wide and 60 mm high; scores at 20 and 70 mm from the left "
                          "edge; tick at 50 mm from the left edge; end of a line at 10 mm from the bottom "
                          "edge."}


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
            assert all("<path" in legend_sample(name) for name, _ in legend(shown.recording))
    with pytest.raises(ValueError):
        legend_sample("nothing")


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
    assert len(strokes(shown.recording, Role.CUT, True)) == 3 and len(strokes(shown.recording, Role.EDGE,
                                                                              False)) == 3
    assert all(isinstance(s, Line) for s in strokes(shown.recording, Role.SCORE, True))
