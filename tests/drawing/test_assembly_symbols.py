"""What hands do is shown: folds as they are seen, glue, edges, ribbons."""
from __future__ import annotations

from dataclasses import replace

import pytest

from generator.drawing.pen import Role, Sign, Surface
from generator.drawing.steps.assembly_symbols import seam_letter
from generator.drawing.steps.step_picture import overview_picture, step_pictures
from generator.paper.glue_sides import on_paper
from generator.paper.records import FoldDirection, Seam
from tests.drawing.recording_queries import DRAWN, OTHER, picture, strokes, surfaces, texts
from tests.drawing.sample_plans import STEPS, Work, line, loop, mm


def test_folds_are_named_as_they_are_seen():
    """The walls are mountains from the printed side; with the plain side up they are valleys and fold up."""
    recording = picture("fold").recording
    assert len(strokes(recording, Role.VALLEY, True)) == 8 and len(strokes(recording, Role.MOUNTAIN,
                                                                           True)) == 7
    assert {i.arguments[0].sign for i in recording.of("symbol")} == {Sign.FOLD_UP, Sign.FOLD_BACK}
    assert {"fold up", "fold back"} <= set(texts(recording))


def test_a_score_folded_in_part_stays_a_score_in_the_rest():
    """The eighth score is folded below the shoulder only."""
    work = Work()
    work.next_step()
    work.sheet("card", mm(100), mm(60))
    mark, = work.upright("score", "middle", [mm(50)], 0, 60)
    work.next_step()
    work.fold([(mark, FoldDirection.VALLEY, [line(50, 0, 50, 20), line(50, 30, 50, 40)])])
    recording = step_pictures(work.plan(), None, 2)[0].recording
    scale = 100 / next(s.length() for s in strokes(recording, Role.EDGE, False) if s.start.y == s.end.y)
    lengths = [round(float(s.length()) * scale, 6) for s in strokes(recording, Role.SCORE, False)]
    assert lengths == [10, 20]


def test_a_fold_by_an_angle_says_it():
    """Where the source says how far a score is folded, so does the picture, and so do the words."""
    work = Work()
    work.next_step()
    work.sheet("card", mm(100), mm(60), up="printed")
    mark, = work.upright("score", "middle", [mm(50)], 0, 60)
    work.next_step()
    work.fold([(mark, FoldDirection.VALLEY, mark.runs)])
    state = work.state()
    work.states[0][-1] = (work.states[0][-1][0], replace(state, folds=(replace(state.folds[0], angle=90.0),)))
    shown = step_pictures(work.plan(), None, 2)[0]
    assert "fold up by 90°" in texts(shown.recording) and "by 90°" in shown.description


def test_a_ribbon_is_as_long_as_it_is():
    """Its width is the reader's choice, so only its length is measured, and it has no side that is up."""
    work = Work()
    work.next_step()
    work.sheet("lace", mm(600), mm(12), kind="ribbon")
    shown = step_pictures(work.plan(), None, 1)[0]
    assert texts(shown.recording) == ["600 mm"]
    assert shown.title == "Lace: cut to size" and "lace 600 mm long" in shown.told["mm"]
    assert "600 mm" in texts(overview_picture(work.plan(), None, 0).recording)


def test_gathering_draws_the_top_together():
    """Two arrows over the top edge point at each other."""
    work = Work()
    work.next_step()
    work.sheet("card", mm(100), mm(60))
    work.next_step()
    work.note("gather")
    recording = step_pictures(work.plan(), None, 2)[0].recording
    left, right = (i.arguments[0] for i in recording.of("symbol"))
    assert left.start.x < left.end.x < right.end.x < right.start.x
    assert left.end.y == right.end.y > max(s.bounds()[3] for s in strokes(recording, Role.EDGE, False))


def test_glue_shows_where_and_under_what():
    """The strip lies plain side up, so the glue, on the printed side of the tab, is hatched as below and the
    caption says to turn it over; the face it goes under is hatched and framed as hidden, an arrow leads over.
    """
    shown = picture("glue the seam")
    recording = shown.recording
    assert {Surface.GLUE_BELOW, Surface.UNDER} <= set(surfaces(recording))
    assert Surface.GLUE not in surfaces(recording)
    assert "glue on the printed side: turn it over first" in texts(recording)
    assert "on the printed side, which is down: turn it over first" in shown.description
    assert strokes(recording, Role.HIDDEN, True)
    assert Sign.GOES in {i.arguments[0].sign for i in recording.of("symbol")}
    assert {"glue below", "under here"} <= set(texts(recording))


def test_glue_in_an_order_numbers_the_faces_by_place():
    """From left to right the feet are 1 to 8; each is followed by the one opposite, as the caption lists."""
    drawn = picture("glue the floor").recording
    badges = sorted(drawn.of("badge"), key=lambda i: i.arguments[0].at.x)
    assert [i.arguments[0].number for i in badges] == [1, 2, 3, 4, 5, 6, 7, 8]
    assert "glue in this order: 1, 5, 2, 6, 3, 7, 4, 8" in texts(drawn)


def test_a_ribbon_goes_over_and_under():
    """Between eight holes the ribbon is seen three times and hidden four times; its ends are seen."""
    pictures = step_pictures(DRAWN, OTHER, STEPS.index("ribbon") + 1)
    assert [p.piece for p in pictures] == ["strip"], "the ribbon needs no picture of its own"
    recording = pictures[0].recording
    assert len(strokes(recording, Role.RIBBON,
                       True)) == 2 + 3 and len(strokes(recording, Role.HIDDEN, True)) == 4
    assert "ribbon 600 mm" in texts(recording)


def test_edges_that_meet_have_the_same_letter():
    """Both edges of a pair are drawn as a seam, with one letter beside each, off the paper where there is
    room.
    """
    work = Work()
    work.next_step()
    net = work.sheet("net", mm(100), mm(60), up="printed", kind="panel")
    face = work.face("base", loop((0, 0), (100, 0), (100, 60), (0, 60)))
    work.change("faces", net, faces=(face,))
    work.next_step()
    work.note("seam", detail=Seam((((face.id, 1), (face.id, 3)), ((face.id, 0), (face.id, 2)))))
    recording = step_pictures(work.plan(), None, 2)[0].recording
    assert len(strokes(recording, Role.SEAM, True)) == 4
    letters = [i.arguments[0] for i in recording.of("label") if len(i.arguments[0].words.mm) == 1]
    assert sorted(label.words.mm for label in letters) == ["A", "A", "B", "B"]
    first, second = (label.at for label in letters if label.words.mm == "B")
    assert first.x == pytest.approx(second.x) and first.y < second.y


@pytest.mark.parametrize(("index", "name"),
                         [(0, "A"), (25, "Z"), (26, "AA"), (27, "AB"), (701, "ZZ"), (702, "AAA")])
def test_letters_never_run_out(index, name):
    """After Z comes AA."""
    assert seam_letter(index) == name


def test_fold_arrows_begin_on_the_part_that_moves():
    """Walls round a floor are folded from outside: the four arrows run from the walls inward, as mirror
    images.
    """
    work = Work()
    work.next_step()
    work.sheet("card", mm(100), mm(60))
    left, = work.upright("score", "left_end", [mm(20)], 0, 60)
    right, = work.upright("score", "right_end", [mm(80)], 0, 60)
    work.next_step()
    work.fold([(left, FoldDirection.MOUNTAIN, left.runs), (right, FoldDirection.MOUNTAIN, right.runs)])
    one, other = (i.arguments[0] for i in step_pictures(work.plan(), None, 2)[0].recording.of("symbol"))
    assert one.start.x < one.end.x < other.end.x < other.start.x
    assert abs(one.bow) == pytest.approx(abs(other.bow)) and one.bow == pytest.approx(-other.bow)


def test_glue_is_shown_on_paper_only():
    """A face named before its corner was cut away is dotted where there is paper, and nowhere else."""
    work = Work()
    work.next_step()
    card = work.sheet("card", mm(100), mm(60))
    work.change("remove", card, outline=work.rims(loop((0, 0), (100, 0), (100, 50), (90, 60), (0, 60))))
    tab, wall = work.face("tab",
                          loop((80, 0), (100, 0), (100, 60),
                               (80, 60))), work.face("wall", loop((0, 0), (20, 0), (20, 60), (0, 60)))
    assert on_paper(tab.outline, work.state()).area() == pytest.approx(20*60 - 10*10/2)
    assert on_paper(wall.outline, work.state()).outline == wall.outline
