"""Which circles and ovals the curves of a gathered top may be traced with, and the dome each gives."""
from __future__ import annotations

import math

import pytest

from generator.tutorial import load, load_text
from generator.tutorial import traced_curves as room
from generator.tutorial.traced_curves import dome_curves
from tests.folding.sample_boxes import BENCHES, ROOT, changed, source


@pytest.fixture(scope="module")
def caddy():
    """The published caddy, whose author has one oval and one circle, and a coarse graded set."""
    text = changed(source("published"),
                   ("level: medium", "guides: {circles: [150 mm], ovals: [200 x 150 mm]}\nlevel: medium"))
    return load_text(text, "index.md", BENCHES).tutorial


def test_each_is_told_with_its_dome(caddy, monkeypatch):
    """The author's own among the graded ones; rounder curves bulge more and stand lower; what is too small is
    left out.
    """
    monkeypatch.setattr(room, "EVERY", 10)
    found = dome_curves(caddy, "mm")
    own = [tuple(map(float, each.sides)) for each in found if each.own]
    assert (200, 150) in own and (150,) in own
    circles = [each for each in found if len(each.sides) == 1]
    assert [float(c.sides[0]) for c in circles] == sorted((float(c.sides[0]) for c in circles), reverse=True)
    assert [float(c.height) for c in circles] == sorted((float(c.height) for c in circles), reverse=True)
    # the caddy's crown of 39 mm over eight panels of 30 mm stands so high with straight folds (closed form)
    straight = math.sqrt(39 ** 2 - (15 / math.tan(math.pi / 8)) ** 2)
    assert all(0 < float(each.height) < straight for each in found if each.height is not None)


def test_a_box_without_a_gathered_top_has_none():
    """The envelope: nothing to trace a dome with."""
    tutorial = load(ROOT / "tests" / "sources" / "envelope.md", "envelope.md", BENCHES).tutorial
    assert dome_curves(tutorial, "mm") == ()
