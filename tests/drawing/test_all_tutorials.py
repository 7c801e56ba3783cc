"""Every tutorial of the site has clean pictures."""
from __future__ import annotations

from pathlib import Path

import pytest

from generator.drawing import overview_picture, step_pictures, svg
from generator.tutorial import load
from generator.units import default_bench
from tests.drawing.overlaps import clashes

TUTORIALS = sorted(Path(__file__).resolve().parents[2].glob("tutorials/*/index.md"))
BENCHES = {system: default_bench(system) for system in ("mm", "in")}


def test_there_are_tutorials():
    """The check below looks at something."""
    assert TUTORIALS


@pytest.mark.parametrize("source", TUTORIALS, ids=lambda path: path.parent.name)
def test_no_picture_of_a_tutorial_has_a_clash(source):
    """In every step, and of every finished blank: no words on words or lines, none outside; each can be
    written.
    """
    tutorial = load(source, source.parent.name, BENCHES).tutorial
    assert tutorial is not None
    pictures = [p for step in tutorial.steps
                for p in step_pictures(tutorial.drawn, tutorial.regauged, step.number)]
    pictures += [overview_picture(tutorial.drawn, tutorial.regauged, piece.id)
                 for piece in tutorial.drawn.pieces]
    assert len(pictures) > len(tutorial.steps) / 2
    for picture in pictures:
        assert not clashes(picture.recording), picture.title
        assert svg(picture.recording, picture.title, picture.description, picture.key).endswith("</svg>")
