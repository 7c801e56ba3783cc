"""The ring of wedge boxes of the shelf, worked out again from outside: eight folded boxes set about one
point.
"""
from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely import Polygon, affinity

from generator.folding.kinematics import linkage
from tests.tutorial.site_tutorials import SYSTEMS, on_shelf

EIGHT = 8
HALF = np.pi / EIGHT


def stated(system: str) -> tuple[float, float, float]:
    """The diameters of the ring and of its opening, corner to corner, and the height; mm."""
    return tuple(float(on_shelf("ring-of-wedges").names[name].values[system])
                 for name in ("ring", "well", "high"))


def footprint(system: str) -> Polygon:
    """What the folded box covers of the table: all its panels seen from above, its long side at the right,
    level.
    """
    piece = next(p for p in on_shelf("ring-of-wedges").folds[system].pieces if p.name == "slice")
    across, deep, _ = np.array(piece.dimensions.axes)
    seen = [Polygon(piece.corners(k) @ np.array((across, deep)).T) for k in range(len(piece.flat.panels))
            if abs(piece.normal(k) @ np.array(piece.dimensions.axes)[2]) > 0.5]
    whole = shapely.union_all([part.buffer(1e-7) for part in seen])
    # the lid covers the floor
    assert len(seen) == 2 and whole.area == pytest.approx(seen[0].area, rel=1e-5)
    return seen[0]


def about_the_middle(plan: Polygon) -> Polygon:
    """Moved to where its two legs, drawn longer, meet in (0, 0), and turned so that its axis points
    along +x.
    """
    corners = shapely.get_coordinates(plan)[:-1]
    sides = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    k = int(np.argmax(sides))
    a, b, c, d = (corners[(k + n) % 4] for n in range(4))           # a-b is the long end
    t = np.linalg.solve(np.array((c - b, -(d - a))).T, a - b)[0]
    middle = b + t * (c - b)
    turn = np.degrees(np.arctan2(*((a + b) / 2 - middle)[::-1]))
    return affinity.rotate(affinity.translate(plan, *-middle), -turn, origin=(0, 0))


@pytest.mark.parametrize("system", SYSTEMS)
def test_eight_boxes_make_the_ring_that_is_stated(system):
    """Eight footprints turned about the middle leave no gap and do not overlap, and span the stated
    circumscribed circles.
    """
    ring, well, _ = stated(system)
    one = about_the_middle(footprint(system))
    eight = [affinity.rotate(one, 360 / EIGHT * k, origin=(0, 0)) for k in range(EIGHT)]
    whole = shapely.union_all([each.buffer(1e-6, join_style="mitre") for each in eight])
    assert isinstance(whole, Polygon) and len(whole.interiors) == 1
    assert whole.area == pytest.approx(EIGHT * one.area, rel=1e-5)
    for edge, across in ((whole.exterior, ring), (whole.interiors[0], well)):
        assert np.hypot(*np.array(edge.coords).T).max() * 2 == pytest.approx(across, abs=1e-4)


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_ends_are_sides_of_two_regular_octagons(system):
    """Side a = 2·R·sin(π/8), apothem a/(2·tan(π/8)); an octagon of side 100 has R = 130.65630 (check values,
    row 11: textbook).
    """
    ring, well, high = stated(system)
    piece = next(p for p in on_shelf("ring-of-wedges").folds[system].pieces if p.name == "slice")
    floor = shapely.get_coordinates(piece.flat.panels[linkage(piece.flat).root].polygon)
    ends = np.sort(np.hypot(*np.diff(floor, axis=0).T))
    short, leg, other, long = ends
    assert (long / 100 * 130.65630 * 2, short / 100 * 130.65630 * 2) == pytest.approx((ring, well), rel=1e-6)
    assert leg == pytest.approx((ring - well) / 2, abs=1e-6) and other == pytest.approx(leg, abs=1e-6)
    assert piece.dimensions.size[1] == pytest.approx((long - short) / (2 * np.tan(HALF)), abs=1e-6)
    assert piece.dimensions.size[2] == pytest.approx(high, abs=1e-6)
