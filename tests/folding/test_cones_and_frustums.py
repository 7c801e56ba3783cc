"""Cones and frustums from flat sectors.

Drawn with the arcs of the language, rolled in the test, against the closed forms.
"""
from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest

from tests.paper.statement_evaluation import made, state


def sector(lower: float, upper: float, height: float) -> tuple[float, float, float]:
    """Outer radius, inner radius and angle (radians) of the sector that rolls up to a frustum.

    Elementary geometry.

    Slant l = √(h² + (r₁ − r₂)²); the outer radius is to l as r₁ to r₁ − r₂; the rim 2πr₁ is the arc.
    """
    slant = math.hypot(height, lower - upper)
    outer = slant * lower / (lower - upper)
    return outer, outer - slant, 2 * math.pi * lower / outer


def drawn(lower, upper, height):
    """The outer rim (and the upper one, or None) as strokes of a sheet that the language has drawn.

    The last result is where the tip of the sector lies.

    The sector is drawn in two halves of less than half a turn each, since a bulge is no more than the radius.
    """
    outer, inner, angle = sector(lower, upper, height)
    reach, half = math.ceil(outer) + 5, angle / 2
    rims = []
    for radius in (outer, inner):
        if radius < 1e-9:
            continue
        for start in (0.0, half):
            ends = [(reach + radius * math.cos(start + k), reach + radius * math.sin(start + k))
                    for k in (0.0, half)]
            sizes = {name: Fraction(value) for name,
                     value in zip(("ax", "ay", "bx", "by"), (*ends[0], *ends[1]), strict=False)}
            done = made("p = sheet(width=2*reach, height=2*reach)\n"
                        "k = score(p, arc(at(bx, by), at(ax, ay), bulge=sag))",
                        reach=reach, sag=Fraction(radius * (1 - math.cos(half / 2))), **sizes)
            stroke, = (run for mark in state(done, "p").marks for run in mark.whole)
            rims.append((radius, stroke))
    return (reach, reach), rims


def rolled(tip, outer: float, lower: float, height: float, point: np.ndarray) -> np.ndarray:
    """A flat point on the cone.

    Distance from the tip is kept along the slant, the angle shrinks by lower/outer.
    """
    x, y = point - np.array(tip)
    far, turn = math.hypot(x, y), math.atan2(y, x) % (2 * math.pi)
    radius = far * lower / outer
    return np.array((radius * math.cos(turn * outer / lower), radius * math.sin(turn * outer / lower), far))


CASES = [(30, 0, 40, 50, 0, 216), (60, 40, 50, 161.55494, 107.70330, 133.70064)]


@pytest.mark.parametrize(("lower", "upper", "height", "outer", "inner", "degrees"), CASES)
def test_the_sector_is_as_published(lower, upper, height, outer, inner, degrees):
    """Cone r 30, h 40: slant 50, sector 216°.

    Frustum 60/40/50: slant 53.85165, outer radius 161.55494, 133.70064° (textbook, row 14).
    """
    made_of = sector(lower, upper, height)
    assert made_of[:2] == pytest.approx((outer, inner), abs=1e-5)
    assert math.degrees(made_of[2]) == pytest.approx(degrees, abs=1e-5)
    assert made_of[0] - made_of[1] == pytest.approx(50 if upper == 0 else 53.85165, abs=1e-5)


@pytest.mark.parametrize(("lower", "upper", "height"), [case[:3] for case in CASES])
def test_the_arcs_of_the_language_roll_up_to_it(lower, upper, height):
    """Rims as long as the circles they become; every point of them on its circle, all at one height.

    The ends meet.
    """
    tip, rims = drawn(lower, upper, height)
    outer = rims[0][0]
    for circle in (lower, upper)[:len(rims) // 2]:
        halves = [stroke for radius, stroke in rims if radius == pytest.approx(outer * circle / lower)]
        assert sum(float(stroke.length())
                   for stroke in halves) == pytest.approx(2 * math.pi * circle, abs=1e-6)
        ends = []
        for stroke in halves:
            points = [rolled(tip, outer, lower, height, np.array([float(p.x), float(p.y)]))
                      for p in (stroke.at(t) for t in (0, 0.25, 0.5, 0.75, 1))]
            radii = [math.hypot(*point[:2]) for point in points]
            assert radii == pytest.approx([circle] * 5,
                                          abs=1e-6) and np.ptp([point[2] for point in points]) < 1e-6
            ends += [points[0], points[-1]]
        middle = np.mean([[p[0], p[1]] for p in ends], axis=0)
        assert len({tuple(np.round(p[:2], 4)) for p in ends}) == 2 and math.hypot(*middle) < 1e-4
    slant = outer * (1 - upper / lower)
    assert math.sqrt(slant ** 2 - (lower - upper) ** 2) == pytest.approx(height, abs=1e-9)
