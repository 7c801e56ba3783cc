"""The PNG back end: the same recording in pixels."""
from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.drawing.backends.png import dashed_line, png
from generator.drawing.lettering import LETTER_SIZE, DualText
from generator.drawing.pen import Badge, Label, Role, Surface
from generator.drawing.recording import RecordingPen
from generator.drawing.style import PALETTE
from generator.geometry import Circle, Point, rectangle
from tests.time_limits import examples


def rgb(name: str) -> tuple[int, int, int]:
    return tuple(int(PALETTE[name][i:i + 2], 16) for i in (1, 3, 5))


def sheet(*more) -> object:
    pen = RecordingPen()
    pen.begin("paper")
    pen.area((tuple(rectangle(40, 20)),), Surface.PLAIN)
    pen.stroke(tuple(rectangle(40, 20)), Role.CUT, True)
    for method, *arguments in more:
        getattr(pen, method)(*arguments)
    pen.end()
    return pen.recording(60, 30)


def test_y_runs_upward_and_a_millimetre_is_so_many_pixels():
    """The paper lies at the lower left, as the recording has it."""
    image = png(sheet(), 10)
    assert image.size == (600, 300)
    assert image.getpixel((200, 200)) == rgb("paper")
    assert image.getpixel((200, 50)) == image.getpixel((500, 200)) == rgb("ground")


def test_what_is_new_has_the_accent_and_a_whole_picture_ink():
    """As in the SVG: ``whole`` draws all lines alike."""
    assert png(sheet(), 10).getpixel((200, 100)) == rgb("accent")
    assert png(sheet(), 10, whole=True).getpixel((200, 100)) == rgb("ink")


def test_holes_and_loops_within_loops_show_the_ground():
    """A punched hole and an inner loop are no paper."""
    pen = RecordingPen()
    pen.area((tuple(rectangle(40, 20)), (Circle(Point(10, 10), 4),)), Surface.PLAIN)
    pen.hole(Circle(Point(30, 10), 4), True)
    image = png(pen.recording(40, 20), 10)
    assert image.getpixel((100, 100)) == image.getpixel((300, 100)) == rgb("ground")
    assert image.getpixel((200, 100)) == rgb("paper")


@pytest.mark.parametrize("upright", [False, True])
def test_words_stand_where_they_are_put(upright):
    """Ink within the label's own box, level or upright, and nowhere else."""
    label = Label(DualText.plain("tea"), Point(50, 15), LETTER_SIZE, upright=upright)
    image = png(sheet(("label", label), ("badge", Badge(3, Point(50, 26)))), 10)
    box = (475, 105, 525, 195) if upright else (455, 125, 545, 175)
    inside = image.crop(box).getcolors(1 << 16)
    assert sum(n for n, colour in inside if sum(colour) < 250) > 100
    tall = [y for y in range(100, 200) if any(sum(image.getpixel((x, y))) < 250 for x in range(440, 560, 2))]
    assert (len(tall) > 45) is upright


@given(st.lists(st.tuples(st.integers(0, 200), st.integers(0, 200)), min_size=2, max_size=6, unique=True),
       st.lists(st.floats(0.5, 30), min_size=1, max_size=3))
@settings(deadline=None, max_examples=examples(100))
def test_dashes_and_gaps_have_their_lengths(points, halves):
    """No dash is longer than its pattern says; all dashes together cover what the pattern leaves of
    the line.
    """
    pattern = [part for half in halves for part in (half, half)]
    length = sum(math.dist(a, b) for a, b in zip(points, points[1:], strict=False))
    pieces = [sum(math.dist(a, b) for a, b in zip(p, p[1:], strict=False))
              for p in dashed_line(points, pattern)]
    assert max(pieces, default=0) <= max(halves) + 1e-6
    whole, rest = divmod(length, sum(pattern))
    at, last = 0.0, 0.0
    for k, part in enumerate(pattern):
        last += min(max(rest - at, 0), part) if k % 2 == 0 else 0
        at += part
    assert sum(pieces) == pytest.approx(whole * sum(halves) + last, abs=1e-4)


def test_a_dotted_line_is_dots():
    """A dash of no length gives single points, as far apart as the pattern says."""
    assert [len(piece) for piece in dashed_line([(0, 0), (10, 0)], [0, 3])] == [1, 1, 1, 1]


def test_no_scale_no_picture():
    """A scale of nothing is refused."""
    with pytest.raises(ValueError, match="pixels"):
        png(sheet(), 0)
