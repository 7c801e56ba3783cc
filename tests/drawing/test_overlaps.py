"""Words never lie on words, on the lines they measure or on what the step makes, and never leave
the picture.
"""
from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, Phase, example, given, settings
from hypothesis import strategies as st

from generator.drawing.steps.step_picture import overview_picture, step_pictures
from generator.geometry import Arc, Circle, Point
from generator.paper.records import Side
from generator.units import Quantity
from tests.drawing.overlaps import clashes
from tests.drawing.sample_plans import INCH, STEPS, Sizes, Work, caddy, inch, mm
from tests.drawing.strip_strategies import jobs, plans
from tests.time_limits import examples

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


# shrinking redraws thousands of pictures; what failed is small enough to be read as it is
QUICK = settings(deadline=None, max_examples=examples(50), suppress_health_check=[HealthCheck.too_slow],
                 phases=[Phase.explicit, Phase.reuse, Phase.generate])
SIZES = st.fixed_dictionaries({"panel": st.integers(8, 60), "foot": st.integers(5, 60),
                               "wall": st.integers(10, 100),
                               "crown": st.integers(20, 80), "tab": st.integers(4, 20),
                               "bulge": st.integers(1, 2),
                               "hole": st.integers(2, 5), "drop": st.integers(6, 12)})


@QUICK
@given(jobs())
def test_no_strip_has_a_clash(job):
    """Strips of any size with marks and holes anywhere, from any edge, lying any way."""
    drawn, other = plans(job)
    for step in (1, 2):
        for picture in step_pictures(drawn, other, step):
            assert not clashes(picture.recording), picture.title
    assert not clashes(overview_picture(drawn, other, 0).recording)


# whose order of gluing is wider than a picture
SEVENTEEN = {"foot": 33, "drop": 6, "wall": 75, "hole": 5, "crown": 38, "bulge": 1, "tab": 7, "panel": 54}


@QUICK
@example(SEVENTEEN, 17, 11)
@given(SIZES, st.integers(3, 24), st.integers(1, len(STEPS)))
def test_no_caddy_has_a_clash(sizes, sides, step):
    """Caddies of any size and number of sides; the inch edition to the nearest sixteenth."""
    metric = caddy("mm", Sizes(**{name: mm(v) for name, v in sizes.items()}, sides=sides))
    inches = caddy("in", Sizes(**{name: inch(Fraction(max(1, round(v / 25.4 * 16)), 16)) for name,
                                  v in sizes.items()},
                               sides=sides))
    for picture in step_pictures(metric, inches, step):
        assert not clashes(picture.recording), picture.title


CORNER = st.lists(st.tuples(st.integers(8, 40), st.integers(8, 40)), min_size=1, max_size=4, unique=True)


def cornered(system: str, unit: Fraction, spots, side: Side):
    """Step 2 punches holes and scores an arc near the left end of a large sheet's top or bottom edge."""
    work = Work(system)
    work.next_step()
    high = Quantity(300 * unit, 1)
    work.sheet("tag", Quantity(220 * unit, 1), high)
    work.next_step()
    up = [y * unit if side is Side.BOTTOM else high.value - y * unit for _, y in spots]
    holes = [Circle(Point(x * unit, y), 2 * unit) for (x, _), y in zip(spots, up, strict=True)]
    told = [((Quantity(x * unit, 1), Side.LEFT), (Quantity(y * unit, 1), side)) for x, y in spots]
    work.marks("punch", "eyes", holes, positions=told, sizes=(Quantity(4 * unit, 1),))
    work.marks("score", "swing", [Arc(Point(0, up[0]), Point(spots[0][0] * unit, up[0]), 3 * unit)],
               positions=[()])
    return work.plan()


@QUICK
@given(CORNER, st.sampled_from((Side.TOP, Side.BOTTOM)))
def test_no_corner_shown_large_has_a_clash(spots, side):
    """Where the picture shows a part only, words keep clear of the inset too."""
    drawn, other = cornered("mm", Fraction(1), spots, side), cornered("in", INCH / 24, spots, side)
    picture, = step_pictures(drawn, other, 2)
    assert any(item.process == "where" for item in picture.recording.items)
    assert not clashes(picture.recording), picture.title


def test_the_check_finds_clashes():
    """It could fail: words moved onto others, onto a line and out of the picture are all reported."""
    recording = step_pictures(CADDIES["mm"], CADDIES["in"], 2)[0].recording
    labels = [i for i in recording.items if i.method == "label"]
    dimension, = (i.arguments[0] for i in recording.of("dimension"))

    def moved(to):
        label = replace(labels[0].arguments[0], at=Point(*to))
        return [replace(i, arguments=(label,)) if i is labels[0] else i for i in recording.items]
    for to, complaint in ((labels[1].arguments[0].at, "lies on '60'"),
                          (dimension.stops[0], "lies on a dimension"),
                          ((0.0, 0.0), "leaves the picture")):
        assert any(complaint in c for c in clashes(replace(recording, items=tuple(moved(to))))), complaint
