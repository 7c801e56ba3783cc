"""The piece lies as the reader has turned it, and small work is shown large."""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.drawing.pen import Role, Sign, Surface
from generator.drawing.steps.step_picture import step_pictures
from generator.geometry import Circle, Point
from generator.paper.records import Orientation, Side
from tests.drawing.recording_queries import picture, strokes, surfaces, texts
from tests.drawing.sample_plans import Work, line, mm


def test_each_picture_says_which_side_is_up():
    """Plain at first, printed once the piece is turned over."""
    assert "Plain side up" in texts(picture("holes").recording)
    work = Work()
    work.next_step()
    work.sheet("card", mm(100), mm(60))
    work.next_step()
    work.set_orientation("turn_over", Orientation(0, True))
    work.upright("score", "side", [mm(80)], 0, 60, side=Side.LEFT)
    turned = step_pictures(work.plan(), None, 2)[0]
    assert "Printed side up" in texts(turned.recording) and "after turning it over" in texts(turned.recording)
    assert surfaces(turned.recording) == [Surface.PRINTED]
    assert Sign.TURN_OVER in {i.arguments[0].sign for i in turned.recording.of("symbol")}


def test_the_piece_lies_as_it_was_turned():
    """After a quarter turn clockwise the long strip stands on end, and what was at the left is at the top."""
    work = Work()
    work.next_step()
    work.sheet("card", mm(200), mm(50))
    work.upright("cut", "near_left", [mm(20)], 0, 50)
    work.next_step()
    work.set_orientation("turn", Orientation(1))
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
    work.set_orientation("turn_over", Orientation(0, True))
    work.upright("score", "two", [mm(70)], 0, 60)
    pictures = step_pictures(work.plan(), None, 2)
    assert [p.key for p in pictures] == ["step-2-card", "step-2-card-2"]
    assert [len(strokes(p.recording, Role.SCORE, True)) for p in pictures] == [1, 1]


def tag(width=228, height=280):
    """A large sheet with one small hole near its top left corner."""
    work = Work()
    work.next_step()
    work.sheet("tag", mm(width), mm(height), up="printed")
    work.next_step()
    work.marks("punch", "eye", [Circle(Point(Fraction(13), Fraction(height - 13)), Fraction(5, 2))],
               positions=[((mm(13), Side.LEFT), (mm(13), Side.TOP))], sizes=(mm(5),))
    return work.plan()


def test_work_in_a_corner_is_shown_large_with_an_inset():
    """The picture shows the corner; the inset shows the whole sheet with a frame round that corner."""
    shown = step_pictures(tag(), None, 2)[0].recording
    frame, = (i for i in shown.of("stroke") if i.arguments[1] is Role.FRAME)
    inset = next(i for i in shown.items if i.process == "where" and i.method == "area")
    assert frame.box().within(inset.box().grown(1e-6))
    assert frame.box().width < inset.box().width / 3
    hole, = (i.arguments[0] for i in shown.of("hole"))
    assert hole.radius * 2 > 5 * 1.2, "a hole of 5 mm is drawn large"
    assert strokes(shown, Role.BREAK, False)
    assert {"13 mm", "hole 5 mm across"} <= set(texts(shown))


def test_work_all_over_is_shown_whole():
    """No inset where it would show nothing more."""
    assert not [i for i in picture("holes").recording.items if i.process == "where"]
