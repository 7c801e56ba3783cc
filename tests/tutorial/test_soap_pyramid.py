"""The soap pyramid of the shelf, worked out again from outside: the slant, the tip, and what goes in under
leaning walls.
"""
from __future__ import annotations

import numpy as np
import pytest

from tests.tutorial.site_tutorials import SYSTEMS, on_shelf


def pyramid(system: str):
    """The folded pyramid of an edition, and its base and slant in mm."""
    tutorial = on_shelf("soap-pyramid")
    base, slant = (float(tutorial.names[name].values[system]) for name in ("base", "slant"))
    return next(p for p in tutorial.folds[system].pieces if p.name == "pyramid"), base, slant


def walls(piece, base: float) -> list[int]:
    """The panels with three corners, one of them on no edge of the floor, that are as wide as the floor."""
    return [k for k in range(len(piece.flat.panels))
            if len(piece.corners(k)) == 3 and piece.flat.panels[k].polygon.area > base * base / 2]


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_tips_meet_at_the_height_of_the_pyramid(system):
    """All four tips come to one point, √(l² − (a/2)²) above the middle of the floor (textbook)."""
    piece, base, slant = pyramid(system)
    found = walls(piece, base)
    corners = np.array([piece.corners(k) for k in found])
    high = np.sqrt(slant ** 2 - base ** 2 / 4)
    every = corners.reshape(-1, 3)
    tips = [each for each in every
            if np.isclose(np.linalg.norm(every - each, axis=1), 0, atol=1e-6).sum() == 4]
    assert len(found) == 4 and len(tips) == 4
    foot = np.unique(np.round([each for each in every if not np.allclose(each, tips[0], atol=1e-6)], 6),
                     axis=0)
    assert len(foot) == 4 and np.linalg.norm(tips[0] - foot.mean(axis=0)) == pytest.approx(high, abs=1e-6)
    assert np.linalg.norm(foot - tips[0], axis=1) == pytest.approx(np.full(4, np.hypot(slant, base / 2)),
                                                                   abs=1e-6)


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_slant_of_the_pyramid(system):
    """From the middle of an edge of the floor to the tip it is √(h² + (a/2)²), h being the height that
    folding finds (textbook).
    """
    piece, base, slant = pyramid(system)
    assert np.hypot(piece.dimensions.size[2], base / 2) == pytest.approx(slant, abs=1e-6)
    assert piece.dimensions.volume == pytest.approx(base ** 2 * piece.dimensions.size[2] / 3, rel=1e-6)


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_flaps_lie_behind_the_walls(system):
    """Each of the four flaps comes to lie in the plane of a wall, within it."""
    piece, base, _ = pyramid(system)
    found = walls(piece, base)
    flaps = [k for k in range(len(piece.flat.panels)) if len(piece.corners(k)) == 3 and k not in found]
    assert len(flaps) == 4
    for flap in flaps:
        level = [w for w in found
                 if np.abs((piece.corners(flap) - piece.corners(w)[0]) @ piece.normal(w)).max() < 1e-6]
        assert len(level) == 1 and piece.normal(flap) @ piece.normal(level[0]) == pytest.approx(1, abs=1e-9)


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_largest_ball(system):
    """A ball that touches all faces has the radius 3·V/A = a·h/(a + 2·l) (textbook); paper and rounding
    inward take at most 1 mm.
    """
    piece, base, slant = pyramid(system)
    ball = 2 * base * np.sqrt(slant ** 2 - base ** 2 / 4) / (base + 2 * slant)
    assert ball - 1 < piece.dimensions.fit.ball < ball
