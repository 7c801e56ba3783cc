"""What of a gathered top is a curve of its petals, and whether its corners are folded."""
from __future__ import annotations

import numpy as np
import pytest

from generator.folding.bending.bays import BayFrame, _has_corner_folds, _is_curve


@pytest.mark.parametrize(("points", "kind", "curve"), [
    ([(0, 0), (5, 20)], "fold", True), ([(0, 0), (0, 20)], "fold", False), ([(0, 0), (5, 0)], "fold", False),
    ([(0, 0), (5, 20)], "edge", False)])
def test_a_curve_climbs_from_a_corner_to_the_peak(points, kind, curve):
    """A fold along the shoulder or up the middle is none, nor is an edge that climbs."""
    assert _is_curve(np.array(points, float), kind) is curve


@pytest.mark.parametrize(("at", "folded"),
                         [((-15, 15), True), ((15,), False), ((-15,), False), ((-5, 5), False)])
def test_folds_up_both_corners_of_a_bay(at, folded):
    """A bay 30 mm wide has its corners 15 mm to either side of its middle."""
    seat = BayFrame(0, np.zeros(2), np.array((1.0, 0.0)), np.array((0.0, 1.0)), np.eye(3))
    lines = [(np.array(((x, 0.0), (x, 40.0))), "fold") for x in at]
    assert _has_corner_folds(lines, [seat], 30.0) is folded
