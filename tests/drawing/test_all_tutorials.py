"""Every tutorial of the site has clean pictures."""
from __future__ import annotations

import pytest

from generator.drawing.backends.svg import svg
from generator.drawing.steps.step_picture import overview_picture, step_pictures
from tests.drawing.overlaps import clashes
from tests.tutorial.site_tutorials import SHELF, on_shelf


def test_there_are_tutorials():
    """The check below looks at something."""
    assert SHELF


@pytest.mark.parametrize("slug", SHELF)
def test_no_picture_of_a_tutorial_has_a_clash(slug):
    """In every step, and of every finished blank: no words on words or lines, none outside; each can be
    written.
    """
    tutorial = on_shelf(slug)
    pictures = [p for step in tutorial.steps
                for p in step_pictures(tutorial.drawn, tutorial.regauged, step.number)]
    pictures += [overview_picture(tutorial.drawn, tutorial.regauged, piece.id)
                 for piece in tutorial.drawn.pieces]
    assert len(pictures) > len(tutorial.steps) / 2
    for picture in pictures:
        assert not clashes(picture.recording), picture.title
        assert svg(picture.recording, picture.title, picture.description, picture.key).endswith("</svg>")
