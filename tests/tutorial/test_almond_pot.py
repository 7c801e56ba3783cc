"""The almond pot of the shelf: its tips are pinched, its holes stand in pairs that are threaded in turn."""
from __future__ import annotations

import numpy as np
import pytest
import shapely

from generator.geometry.strokes import polyline
from generator.paper.work_kinds import Effect
from tests.tutorial.site_tutorials import SYSTEMS, on_shelf


def length(system: str, name: str) -> float:
    """A named length in mm."""
    return float(on_shelf("almond-pot").names[name].values[system])


@pytest.mark.parametrize("system", SYSTEMS)
def test_its_tips_are_pinched_over_about_a_third(system):
    """It closes, and a ridge runs along the upper third of each petal's middle, as its text says."""
    piece, = on_shelf("almond-pot").folds[system].pieces
    assert piece.dome.closes and 0.25 < piece.dome.ridge / length(system, "crown") < 0.45
    assert piece.dimensions.size[2] == pytest.approx(length(system, "wall") + piece.dome.height, abs=1e-6)


@pytest.mark.parametrize("system", SYSTEMS)
def test_its_cord_takes_the_holes_two_by_two(system):
    """Left and right of the middle of one side, then of the next: x is known from the panels alone."""
    plan = on_shelf("almond-pot").plans[system]
    act = next(act for act in plan.acts if act.effect is Effect.THREAD)
    marks = {mark.id: mark for mark in plan.state(0).marks}
    middles = [marks[k].runs[0].centre.x for k in act.marks]
    panel, beside = length(system, "panel"), length(system, "beside")
    assert [float(x) for x in middles] == pytest.approx([(side + 0.5) * panel + way for side in range(6)
                                                         for way in (-beside, beside)])


@pytest.mark.parametrize("system", SYSTEMS)
def test_its_holes_keep_clear_of_curves_and_ridge(system):
    """A millimetre of paper stays on either side of each hole, so that the cord does not tear it."""
    piece = on_shelf("almond-pot")
    curves = shapely.MultiLineString([polyline(run, 0.01) for mark in piece.plans[system].state(0).marks
                                      for run in mark.runs if type(run).__name__ == "Arc"])
    panel, beside = length(system, "panel"), length(system, "beside")
    high = sum(length(system, name) for name in ("foot", "wall", "crown")) - length(system, "eyelet")
    radius = {"mm": 3.0, "in": 25.4 / 8}[system] / 2
    for middle in panel * (np.arange(6) + 0.5):
        for way in (-beside, beside):
            assert curves.distance(shapely.Point(middle + way, high)) - radius > 1.0
    assert beside - radius > 1.0
