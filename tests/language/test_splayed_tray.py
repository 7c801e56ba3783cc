"""The tray with splayed walls: angles of the evaluated net against elementary trigonometry.

Folded it is in tests/folding/test_splayed_walls.py.
"""
from __future__ import annotations

import math

import pytest

from tests.language.small_tutorials import SYSTEMS, corners, final, items, named


def direction(a: tuple[float, float], b: tuple[float, float]) -> float:
    """The direction from one point to another in degrees, counter-clockwise from the right."""
    return math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))


def gaps(system: str) -> list[float]:
    """The angle between neighbouring walls at each corner of the floor, from the outline of the net."""
    floor = corners(final("tray", "tray", system).faces[0])
    outer = [corners(face) for face in items("tray", "walls", system)]
    found = []
    for k, corner in enumerate(floor):
        tips = []
        for wall in (outer[k - 1], outer[k]):
            at = min(range(4), key=lambda i: math.dist(wall[i], corner))
            tips += [wall[(at + step) % 4] for step in (-1, 1)
                     if math.dist(wall[(at + step) % 4], corner) > 1e-6]
        legs = [tip for tip in tips if all(math.dist(tip, other) > 1e-6 for other in floor)]
        assert len(legs) == 2
        turn = abs(direction(corner, legs[0]) - direction(corner, legs[1])) % 360
        found.append(min(turn, 360 - turn))
    return found


# Check values, row 29: elementary trigonometry; splay s, rise h, slant l = √(s² + h²).
@pytest.mark.parametrize("system", SYSTEMS)
def test_the_flat_corner_gap(system):
    """Between neighbouring walls the flat net leaves 90° − 2·atan(s/l), to 1e-9, at all four corners."""
    s, h = (float(named("tray", name, system)) for name in ("splay", "rise"))
    expected = 90 - 2 * math.degrees(math.atan(s / math.hypot(s, h)))
    assert all(math.isclose(gap, expected, abs_tol=1e-9) for gap in gaps(system)) and len(gaps(system)) == 4
    assert math.isclose(float(named("tray", "gap", system).degrees), expected, abs_tol=1e-9)


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_floor_to_wall_angle(system):
    """Inside, floor to wall is 90° + atan(s/h): each joint is folded by the rest of a half turn (row 29)."""
    s, h = (float(named("tray", name, system)) for name in ("splay", "rise"))
    folds = [fold for fold in final("tray", "tray", system).folds if fold.angle is not None]
    assert len(folds) == 4
    assert all(math.isclose(180 - fold.angle, 90 + math.degrees(math.atan(s / h)), abs_tol=1e-9)
               for fold in folds)


def test_the_slant_is_exact_where_it_can_be():
    """9, 40, 41: in millimetres the walls are exactly 41 mm deep; in inches the slant is about."""
    assert named("tray", "slant", "mm").value == 41 and named("tray", "slant", "mm").exact
    assert not named("tray", "slant", "in").exact
