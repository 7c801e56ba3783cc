"""The biscuit bag of the shelf, worked out again from outside: its base, its rim, and the order of the layers
in it.
"""
from __future__ import annotations

import numpy as np
import pytest

from generator.drawing.folded.layer_order import LAYER_DISTANCE, LayerOrder
from generator.folding.stages import FoldMotion
from tests.tutorial.site_tutorials import SYSTEMS, on_shelf


def lengths(system: str, *names: str) -> list[float]:
    """Named lengths in mm."""
    return [float(on_shelf("biscuit-bag").names[name].values[system]) for name in names]


def spots(piece) -> np.ndarray:
    """All corners of all panels in space."""
    return np.concatenate([piece.corners(k) for k in range(len(piece.flat.panels))])


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_bag_closes_above_its_middle(system):
    """The rim line lies √(s² − (d/2)²) above the shoulder (Pythagoras), and the pressed rim is one plane over
    the middle.
    """
    side, wall, slope, rim = lengths(system, "side", "wall", "slope", "rim")
    piece, = on_shelf("biscuit-bag").folds[system].pieces
    across, deep, up = np.array(piece.dimensions.axes)
    every = spots(piece)
    above = every @ up - (every @ up).min()
    rise = np.sqrt(slope ** 2 - side ** 2 / 4)
    assert above.max() == pytest.approx(wall + rise + rim, abs=1e-6)
    in_rim = every[above > wall + rise - 1e-6] @ deep
    assert np.ptp(in_rim) < 1e-6 and in_rim.mean() == pytest.approx((np.max(every @ deep)
                                                                     + np.min(every @ deep)) / 2, abs=1e-6)


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_base_needs_no_cut(system):
    """Ends, corners and flaps all lie level, their areas being the strip below the base line
    without the tab.
    """
    front, side, foot = lengths(system, "front", "side", "foot")
    piece, = on_shelf("biscuit-bag").folds[system].pieces
    up = np.array(piece.dimensions.axes)[2]
    level = [k for k in range(len(piece.flat.panels)) if abs(piece.normal(k) @ up) > 1 - 1e-9]
    assert len(level) == 8 and sum(piece.flat.panels[k].polygon.area
                                   for k in level) == pytest.approx(2 * (front + side) * foot)
    assert np.ptp(np.concatenate([piece.corners(k) for k in level]) @ up) < 1e-6


def test_the_layers_of_the_rim_lie_in_their_order():
    """Front, both halves of a gusset, back: a pleat between two panels that are turned alike goes in between
    them.
    """
    plan, (piece,) = on_shelf("biscuit-bag").plans["in"], on_shelf("biscuit-bag").folds["in"].pieces
    way = FoldMotion(plan, piece)
    every = range(len(piece.flat.panels))
    top = max(piece.flat.panels[k].polygon.bounds[3] for k in every)
    rim = sorted((k for k in every if piece.flat.panels[k].polygon.bounds[3] == top),
                 key=lambda k: piece.flat.panels[k].polygon.bounds[0])
    # along the strip: the back, the two halves of the first side, the front
    back, left, right, front = rim[:4]
    lifts = LayerOrder(way, printed_up=True).lifts(way.stages[-1], every)
    outward = piece.normal(front)
    levels = [round(float(lifts.get(k, 0.0) * (piece.normal(k) @ outward)) / LAYER_DISTANCE)
              for k in (back, left, right, front)]
    assert levels == sorted(levels) and len(set(levels)) == 4 and levels[-1] - levels[0] < len(rim)
