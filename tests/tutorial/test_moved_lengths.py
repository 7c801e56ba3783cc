"""Tutorials and families with other lengths and counts: a sample of what ``make sweep`` tries whole."""
from __future__ import annotations

from collections import Counter

import pytest

from tests.bench import sweep

SAMPLE = 7
DOMES = {"almond-pot", "tea-caddy", "biscuit-bag", "family caddy", "caddy"}        # take longest to be drawn


@pytest.fixture(scope="module")
def sources():
    """The sources that are moved."""
    return sweep.texts()


@pytest.fixture(scope="module")
def cases():
    """All that is tried, in its order."""
    return sweep.cases()


def test_every_length_and_every_dimension_is_moved(cases, sources):
    """Forty marks to either side, in both editions and in each alone; families from a third to thrice.

    The counts stand beside: of the nine families and thirteen tutorials, what their front matter names.
    """
    assert len(sources) == 22 and len(set(cases)) == len(cases) > 40_000
    walls = Counter((case.where, abs(case.steps)) for case in cases
                    if (case.source, case.moved) == ("tea-caddy", "wall"))
    ways = sweep.BOTH, sweep.DRAWN, sweep.OTHER
    assert walls == {(where, steps): 2 for where in ways for steps in range(1, 41)}
    assert {case.system for case in cases if case.dimensions} == {"mm", "in"}
    assert sum(case.source == "tray" and case.system == "mm" for case in cases) == 5 ** 3


@pytest.mark.parametrize("number", range(SAMPLE))
def test_each_is_sound_or_found_wrong(number, cases, sources, tmp_path):
    """Pages and files come of it that can be read, or it is refused in words; never an error."""
    light = [case for case in cases if case.source not in DOMES]
    assert sweep.tried(light[number], tmp_path, sources) in ("sound", "warned", "refused", "nothing")


def test_a_length_is_moved_in_the_edition_that_is_meant(sources):
    """The wall of the caddy, 60 mm and 2 3/8 in: three marks of a rule in mm, two of one in sixteenths."""
    text = sources["tea-caddy"]
    both = sweep.moved_text(text, sweep.Case("tea-caddy", "wall", 3))
    assert "wall:   63 mm" in both and "wall: 2 1/2 in for 63 mm" in both
    other = sweep.moved_text(text, sweep.Case("tea-caddy", "wall", -2, sweep.OTHER))
    assert "wall:   60 mm" in other and "wall: 2 1/4 in for 60 mm" in other
    assert sweep.moved_text(text, sweep.Case("tea-caddy", "bulge", -2)) is None
