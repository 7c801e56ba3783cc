"""Words never lie on words, on the lines they measure or on what the step makes, and never leave the picture."""
from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings

from generator.drawing import overview_picture, step_pictures
from tests.drawing.bench_paper import STEPS, caddy
from tests.drawing.clashes import clashes
from tests.drawing.strips import jobs, plans

CADDIES = {system: caddy(system) for system in ("mm", "in")}


@pytest.mark.parametrize("system", ["mm", "in"])
@pytest.mark.parametrize("step", range(1, len(STEPS) + 1))
def test_no_step_of_the_caddy_has_a_clash(step, system):
    """Whichever edition is the drawn one, every step of the caddy is clean."""
    other = CADDIES["in" if system == "mm" else "mm"]
    pictures = step_pictures(CADDIES[system], other, step)
    assert pictures
    for picture in pictures:
        assert not clashes(picture.recording)


def test_the_finished_blank_has_no_clash():
    """The picture that says every measure at once is clean too."""
    assert not clashes(overview_picture(CADDIES["mm"], CADDIES["in"], 0).recording)


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(jobs())
def test_no_strip_has_a_clash(job):
    """Strips of any size with marks and holes anywhere, from any edge, lying any way."""
    drawn, other = plans(job)
    for step in (1, 2):
        for picture in step_pictures(drawn, other, step):
            assert not clashes(picture.recording), picture.title
    assert not clashes(overview_picture(drawn, other, 0).recording)
