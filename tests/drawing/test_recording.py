"""A recording can be drawn by any pen, and knows what every primitive covers."""
from __future__ import annotations

import pytest

import generator.drawing.backends.cutting_files
import generator.drawing.backends.pdf  # noqa: F401 - so that their pens are known
from generator.drawing.lettering import LETTER_SIZE, DualText, text_block_size
from generator.drawing.pen import Badge, Dimension, Label, Leader, Pen, Role, Sign, Surface, Symbol
from generator.drawing.picture_geometry import Box
from generator.drawing.recording import ARROW_LENGTH, BADGE_DIAMETER, ORIGIN_RADIUS, RecordingPen
from generator.drawing.steps.step_picture import step_pictures
from generator.drawing.symbols import dimension_strokes, leader_strokes, symbol_strokes
from generator.geometry import Arc, Circle, Line, Point
from tests.drawing.sample_plans import STEPS, caddy

DRAWN, OTHER = caddy("mm"), caddy("in")


@pytest.mark.parametrize("step", range(1, len(STEPS) + 1))
def test_a_recording_of_a_replay_is_the_recording(step):
    """Nothing is lost when a picture is drawn by another pen."""
    for picture in step_pictures(DRAWN, OTHER, step):
        pen = RecordingPen()
        picture.recording.replay(pen)
        assert pen.recording(picture.recording.width, picture.recording.height) == picture.recording


def test_every_back_end_is_a_pen():
    """Recording, SVG, PNG, PDF and both cutting files have all that a pen must; nothing is a pen without."""
    pens = {each.__module__.rpartition(".")[2] for each in _subclasses(Pen) if not each.__abstractmethods__
            and each.__module__.startswith("generator.drawing.")}
    assert pens >= {"recording", "svg", "png", "pdf", "cutting_files"}
    with pytest.raises(TypeError, match="abstract"):
        type("Half", (Pen,), {"begin": print})()


def _subclasses(base):
    return {found for each in base.__subclasses__() for found in (each, *_subclasses(each))}


def test_groups_come_in_turn():
    """Paper first, then what was there, what the step makes, measures and notes; each group once."""
    class Groups(RecordingPen):
        seen: list[str] = []

        def begin(self, process):
            self.seen.append(process)
            super().begin(process)
    pen = Groups()
    step_pictures(DRAWN, OTHER, 8)[0].recording.replay(pen)
    assert pen.seen == ["paper", "before", "now", "measures", "notes"]


def test_every_primitive_has_its_box():
    """Boxes are those of the shapes: an arc's includes its bulge, upright words stand on end."""
    pen = RecordingPen()
    pen.begin("now")
    pen.stroke((Arc(Point(0.0, 0.0), Point(10.0, 0.0), 2.0),), Role.SCORE, True)
    pen.hole(Circle(Point(5.0, 5.0), 1.5), True)
    pen.area(((Circle(Point(1.0, 1.0), 1.0),),), Surface.GLUE)
    pen.label(Label(DualText("1 in", "25.4 mm"), Point(20.0, 20.0), LETTER_SIZE, upright=True))
    pen.badge(Badge(3, Point(7.0, 7.0)))
    pen.leader(Leader((Point(0.0, 9.0), Point(3.0, 4.0))))
    pen.dimension(Dimension(Point(0.0, -5.0), (Point(9.0, -5.0),), ((Point(0.0, -1.0), Point(0.0, -6.0)),)))
    boxes = [item.box() for item in pen.recording(30, 30).items]
    assert boxes[0] == pytest.approx(Box(0, 0, 10, 2))
    assert boxes[1] == pytest.approx(Box(3.5, 3.5, 6.5, 6.5))
    assert boxes[2] == pytest.approx(Box(0, 0, 2, 2))
    assert (boxes[3].height, boxes[3].width) == pytest.approx(text_block_size(DualText("1 in", "25.4 mm")))
    assert boxes[4].width == pytest.approx(BADGE_DIAMETER)
    assert boxes[5] == Box(0, 4, 3, 9)
    assert boxes[6] == Box(0, -6, 9, -1)
    whole = Box(0, -6, max(b.x1 for b in boxes), max(b.y1 for b in boxes))
    assert pen.recording(30, 30).bounds() == pytest.approx(whole)


def test_a_dimension_has_arrows_at_both_ends_and_a_running_one_a_circle():
    """One arrow a stop, and at the origin another, or a small circle where it is running (ISO 129-1; from
    memory).
    """
    stops = (Point(10.0, 0.0), Point(30.0, 0.0))
    running = dimension_strokes(Dimension(Point(0.0, 0.0), stops, (), running=True))
    assert [head[0] for head in running.solid] == list(stops)
    assert [(ring.center, ring.radius) for ring in running.rings] == [(Point(0.0, 0.0), ORIGIN_RADIUS)]
    single = dimension_strokes(Dimension(Point(0.0, 0.0), stops[1:], ()))
    assert {head[0] for head in single.solid} == {Point(30.0, 0.0), Point(0.0, 0.0)} and not single.rings
    tip, left, right = single.solid[0]
    assert tip.x - left.x == pytest.approx(ARROW_LENGTH) and left.y == pytest.approx(-right.y)


def test_a_leader_ends_in_a_dot_on_areas_and_in_an_arrow_on_lines():
    """So that one sees what is meant (ISO 128-22; from memory)."""
    points = (Point(0.0, 0.0), Point(5.0, 5.0))
    assert leader_strokes(Leader(points)).dots and not leader_strokes(Leader(points)).solid
    assert leader_strokes(Leader(points,
                                 on_line=True)).solid and not leader_strokes(
                                     Leader(points, on_line=True)).dots


def test_signs_differ_in_form():
    """A mountain's arrow head is hollow, a valley's solid, and turning over has an axis: no sign hangs on
    colour.
    """
    def form(sign):
        shape = symbol_strokes(Symbol(sign, Point(0.0, 0.0), Point(8.0, 0.0), 2.0))
        return len(shape.lines), len(shape.solid), len(shape.hollow)
    assert form(Sign.FOLD_UP) == (1, 1, 0)
    assert form(Sign.FOLD_BACK) == (1, 0, 1)
    assert form(Sign.TURN_OVER) == (2, 1, 0)
    straight = symbol_strokes(Symbol(Sign.GOES, Point(0.0, 0.0), Point(8.0, 0.0)))
    assert isinstance(straight.lines[0][0], Line)
