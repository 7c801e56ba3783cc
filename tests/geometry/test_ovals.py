"""Which ovals and circles pass through two points: against plain sampling that shares no formula
with ours.
"""
from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.geometry.ovals import (
    best_placement,
    circle_deviation,
    coarse_deviations,
    concentric,
    parallel_deviation,
    radius_through,
)
from tests.time_limits import examples

CHORDS = st.floats(10, 150)
SHARES = st.floats(0.02, 0.45)      # bulge over chord


def by_brute_force(chord: float, bulge: float, a: float, b: float) -> float:
    """Every tilt to half a degree: turn the oval as points, find its chords by sign changes, measure the
    piece between.

    The oval is never pressed into a circle and no angle is worked out: it is
    a polygon of 40 000 corners, and the chord is looked for along it.
    """
    t = np.linspace(0, 2 * math.pi, 40_001)
    radius = (chord ** 2 / 4 + bulge ** 2) / (2 * bulge)
    best = math.inf
    for tilt in np.radians(np.arange(0, 90.25, 0.5)):
        x = a * np.cos(t) * math.cos(tilt) - b * np.sin(t) * math.sin(tilt)
        y = a * np.cos(t) * math.sin(tilt) + b * np.sin(t) * math.cos(tilt)
        top = int(np.argmax(y))
        # begin at the bottom, the top in the middle
        x, y = np.roll(x[:-1], 20_000 - top), np.roll(y[:-1], 20_000 - top)
        low, high = y[20_000] - 2 * max(a, b), y[20_000]
        # the height at which the oval is as wide as the chord, above its widest place
        for _ in range(60):
            level = (low + high) / 2
            inside = np.flatnonzero(y > level)
            wide = x[inside].max() - x[inside].min() if len(inside) else 0.0
            ends = abs(x[inside[0]] - x[inside[-1]]) if len(inside) else 0.0
            low, high = (level, high) if max(wide, ends) > chord else (low, level)
        inside = np.flatnonzero(y > high)
        if not len(inside) or abs(abs(x[inside[0]] - x[inside[-1]]) - chord) > 0.02:
            continue
        middle = (x[inside[0]] + x[inside[-1]]) / 2
        off = np.abs(np.hypot(x[inside] - middle, y[inside] - (high + bulge - radius)) - radius).max()
        best = min(best, float(off))
    return best


@pytest.mark.parametrize(("chord", "bulge", "size"), [(41.785, 3, (150, 100)), (41.785, 3, (100, 75)),
                                                     (80, 20, (130, 90))])
def test_the_best_way_to_lay_an_oval_is_found(chord, bulge, size):
    """As far off as the best of 181 tilts that are tried on a polygon, to what the polygon can tell."""
    ours = best_placement(chord, bulge, (size[0] / 2, size[1] / 2))
    tried = by_brute_force(chord, bulge, size[0] / 2, size[1] / 2)
    assert tried - 0.03 < ours.deviation < tried + 0.002


def lying(chord: float, p: float, q: float, tilt: float, by: float = 0.0) -> tuple[np.ndarray, np.ndarray]:
    """The oval of half axes p, q through both (±chord/2, 0), and the line ``by`` mm outside it.

    It is turned by ``tilt``, its middle below. The middle follows from asking the turned quadratic form for 1
    at both ends.
    """
    t = np.linspace(0, 2 * math.pi, 40_001)
    c, s = math.cos(tilt), math.sin(tilt)
    m11, m12, m22 = c * c / p ** 2 + s * s / q ** 2, c * s * (1 / p ** 2 - 1
                                                              / q ** 2), s * s / p ** 2 + c * c / q ** 2
    v = -math.sqrt(max((1 - chord ** 2 / 4 * m11) / (m22 - m12 ** 2 / m11), 0.0))
    x, y = p * np.cos(t), q * np.sin(t)
    size = np.hypot(x / p ** 2, y / q ** 2)
    found = [np.array((c * px - s * py, s * px + c * py)) + np.array((-v * m12 / m11, v))[:, None]
             for px, py in ((x, y), (x + by * x / p ** 2 / size, y + by * y / q ** 2 / size))]
    return found[0], found[1]


@settings(deadline=None, max_examples=25)
@given(chord=CHORDS, share=SHARES, a=st.floats(20, 200), ratio=st.floats(0.4, 1))
def test_an_oval_laid_as_told_passes_through_both_ends(chord, share, a, ratio):
    """Laid there as points it goes through both ends, and leaves the curve between them as far as is said."""
    found = best_placement(chord, share * chord, (a, a * ratio))
    assume(found is not None)
    oval, _ = lying(chord, a, a * ratio, found.tilt)
    above = oval[:, oval[1] > 0]
    assert np.hypot(oval[0] - chord / 2, oval[1]).min() < 2 * math.pi * a / 40_000
    radius = radius_through(chord, share * chord)
    off = np.abs(np.hypot(above[0], above[1] - (share * chord - radius)) - radius).max()
    assert off == pytest.approx(found.deviation, rel=1e-3, abs=2e-3)


@settings(deadline=None, max_examples=examples(40))
@given(chord=CHORDS, share=SHARES)
def test_a_circle_is_an_oval_without_a_deviation(chord, share):
    """The radius through both ends with this bulge (sagitta formula) fits; row 11's way round: a chord of an
    n-gon's side.
    """
    radius = radius_through(chord, share * chord)
    assert circle_deviation(chord, share * chord, radius) < 1e-9 * radius
    assert best_placement(chord, share * chord, (radius, radius)).deviation < 1e-9 * radius


@pytest.mark.parametrize(("sides", "side", "radius"),
                         [(6, 100, 100), (5, 100, 85.06508), (8, 100, 130.65630)])
def test_circumradii_are_those_of_the_textbook(sides, side, radius):
    """A side of a regular polygon and the bulge of its circle over it give back the circumradius (textbook;
    row 11).
    """
    bulge = radius - math.sqrt(radius ** 2 - side ** 2 / 4)
    assert radius_through(side, bulge) == pytest.approx(radius, abs=1e-4)


def test_a_larger_circle_is_flatter_by_the_difference_of_the_sagittas():
    """Chord 60: radius 50 rises 10, radius 100 rises 100 − √(100² − 30²) = 4.6061."""
    assert radius_through(60, 10) == 50
    assert circle_deviation(60, 10, 100) == pytest.approx(10 - 4.606079, abs=1e-6)
    assert circle_deviation(60, 10, 29) == math.inf


def test_an_oval_that_is_too_small_does_not_do():
    """Neither end of the chord can be reached."""
    assert best_placement(100, 10, (40, 30)) is None
    assert np.isinf(coarse_deviations(100, 10, np.array([[40.0, 30.0]]))).all()


@settings(deadline=None, max_examples=30)
@given(chord=CHORDS, share=SHARES, a=st.floats(20, 200), ratio=st.floats(0.4, 1))
def test_the_rough_figure_never_flatters(chord, share, a, ratio):
    """What is chosen by it is looked at again, and may only come out better."""
    rough, exact = coarse_deviations(chord, share * chord,
                                     np.array([[a, a * ratio]]))[0], best_placement(
                                         chord, share * chord, (a, a * ratio))
    assert exact is None and np.isinf(rough) or exact.deviation <= rough * 1.01 + 1e-3


@settings(deadline=None, max_examples=30)
@given(chord=CHORDS, share=SHARES, tip=st.floats(0.1, 1.5), wide=st.floats(1, 1.3), ratio=st.floats(0.75, 1))
def test_the_tip_of_the_stylus_is_allowed_for(chord, share, tip, wide, ratio):
    """An oval that fits the arc ``tip`` further in leads the tip along the drawn arc: each point is moved
    along its normal.
    """
    bulge = share * chord
    inner, a = concentric(chord, bulge, -tip), wide * radius_through(chord, bulge)
    found = best_placement(*inner, (a, a * ratio))
    assume(found is not None and found.deviation < 2)
    radius, small = radius_through(chord, bulge), radius_through(*inner)
    assert small == pytest.approx(radius - tip, abs=1e-9)
    edge, path = lying(inner[0], a, a * ratio, found.tilt, tip)
    off = np.abs(np.hypot(path[0], path[1] - (inner[1] - small)) - radius)[edge[1] > 0].max()
    assert off <= found.deviation + 0.02


def test_the_parallel_of_an_oval_is_nearly_an_oval():
    """Half a millimetre outside one of 150 × 100 mm: some hundredths of a millimetre, measured between
    polygons.
    """
    t = np.linspace(0, math.pi / 2, 40_001)
    a, b, by = 75.0, 50.0, 0.5
    size = np.hypot(np.cos(t) / a, np.sin(t) / b)
    x, y = a * np.cos(t) + by * np.cos(t) / a / size, b * np.sin(t) + by * np.sin(t) / b / size
    other = np.array(((a + by) * np.cos(t), (b + by) * np.sin(t)))
    worst = max(np.hypot(other[0] - px, other[1] - py).min() for px,
                py in zip(x[::400], y[::400], strict=True))
    assert parallel_deviation((a, b), by) == pytest.approx(worst, abs=2e-3)


def test_nothing_is_left_of_an_arc_that_is_narrower_than_the_tip():
    """A radius of 0.4 mm, and a tip of 0.5 mm."""
    assert concentric(0.8, 0.4, -0.5) is None
