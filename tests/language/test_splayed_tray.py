"""The tray with splayed walls, and a flat vertex.

Angles of the evaluated net against elementary trigonometry.
"""
from __future__ import annotations

import math

import pytest

from tests.language.small_tutorials import SYSTEMS, corners, final, items, named
from tests.paper.statement_evaluation import made, marks, state, value


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


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_walls_meet_when_they_are_raised(system):
    """Raised by the fold, the upper corners of neighbouring walls come to the same point.

    Splay out, rise up.
    """
    s, h = (float(named("tray", name, system)) for name in ("splay", "rise"))
    slant, bend = float(named("tray", "slant",
                              system)), math.radians(final("tray", "tray", system).folds[0].angle)
    assert math.isclose(slant * math.cos(bend), s,
                        abs_tol=1e-9) and math.isclose(slant * math.sin(bend), h, abs_tol=1e-9)
    walls = items("tray", "walls", system)
    for wall in walls:      # the upper edge leans out by the splay at both ends
        assert math.isclose(float(wall.lengths[2]) - float(wall.lengths[0]), 2 * s, abs_tol=1e-9)
        assert math.isclose(float(wall.outline[1].length()), math.hypot(slant, s), abs_tol=1e-9)


def test_the_slant_is_exact_where_it_can_be():
    """9, 40, 41: in millimetres the walls are exactly 41 mm deep; in inches the slant is about."""
    assert named("tray", "slant", "mm").value == 41 and named("tray", "slant", "mm").exact
    assert not named("tray", "slant", "in").exact


# Check values, row 15: Kawasaki, Maekawa. A flat-foldable vertex, drawn by the language and measured in the
# plan.
VERTEX = (90, 45, 22.5, 22.5, 45, 90, 22.5, 22.5)
FENCE = """
p = sheet(width=2*r + 2*d, height=2*r + 2*d)
turns = along_angles
k = score(p, line(at(middle, middle), at(middle + r*cos(turns), middle + r*sin(turns))))
g = fold(k.odd, mountain)
v = fold(group(k[2], k[4], k[6]), valley)
q = fold(k[8], mountain)
"""


def test_a_flat_vertex_is_flat():
    """Sectors as drawn: every other one adds up to half a turn (Kawasaki).

    Mountains and valleys differ by two (Maekawa).
    """
    sums = [sum(VERTEX[:k]) for k in range(8)]
    angles = "group(" + ", ".join(f"{a} deg" for a in sums) + ")"
    done = made(FENCE.replace("along_angles", angles), r=60, d=10)
    middle = float(state(done, "p").width) / 2
    turned = sorted(direction((middle, middle), tuple(map(float, m.whole[0].end))) % 360
                    for m in marks(done, "k"))
    sectors = [b - a for a, b in zip(turned, [*turned[1:], turned[0] + 360], strict=True)]
    assert all(math.isclose(a, b, abs_tol=1e-9) for a, b in zip(sectors, VERTEX, strict=True))
    assert math.isclose(sum(sectors[::2]) - sum(sectors[1::2]), 0, abs_tol=1e-9)
    ways = [fold.direction for fold in state(done, "p").folds]
    assert abs(ways.count("mountain") - ways.count("valley")) == 2 and len(value(done, "k").items) == 8
