"""Cones and frustums from flat sectors, drawn by the language (check-values, row 14, textbook).

That such a sector rolls up to its cone is asked of the thin sheet in bending/test_textbook_sheets.py.
"""
from __future__ import annotations

import math

import numpy as np
import pytest

from generator.geometry import Stroke
from tests.paper.statement_evaluation import made, state, value

# two arcs a rim, since a bulge is no more than the radius
SECTOR = """
slant = hypot(lower - upper, high)
outer = slant*lower/(lower - upper)
inner = outer - slant
turn  = 360 deg*(lower/outer)
mid   = turn/2
piece = sheet(width=2*room, height=2*room)
"""
RIM = """
{rim}_one = score(piece, arc(at(room + {rim}*cos(mid), room + {rim}*sin(mid)), at(room + {rim}, room),
                             bulge={rim}*(1 - cos(mid/2))))
{rim}_two = score(piece, arc(at(room + {rim}*cos(turn), room + {rim}*sin(turn)),
                             at(room + {rim}*cos(mid), room + {rim}*sin(mid)),
                             bulge={rim}*(1 - cos(mid/2))))
"""
# radii below and above, height; slant, outer and inner radius in mm, the angle in degrees
CONE, FRUSTUM = (30, 0, 40, 50, 50, 0, 216), (60, 40, 50, 53.85165, 161.55494, 107.70330, 133.70064)
FINE = 1e-5


def circle(stroke: Stroke) -> tuple[float, float, float]:
    """The centre and the radius of the circle through three points of a stroke (elementary geometry)."""
    points = np.array([[float(c) for c in stroke.at(t)] for t in (0, 0.4, 1)])
    rows = 2 * (points[1:] - points[0])
    centre = np.linalg.solve(rows, (points[1:] ** 2).sum(axis=1) - (points[0] ** 2).sum())
    return float(centre[0]), float(centre[1]), float(np.hypot(*(points[0] - centre)))


@pytest.mark.parametrize(("lower", "upper", "high", "slant", "outer", "inner", "degrees"), [CONE, FRUSTUM])
def test_the_sector_is_as_published(lower, upper, high, slant, outer, inner, degrees):
    """Cone r 30, h 40: slant 50, sector 216°. Frustum 60/40/50: 53.85165, 161.55494, 133.70064°."""
    done = made(SECTOR, lower=lower, upper=upper, high=high, room=outer + 5)
    found = [float(value(done, name).value) for name in ("slant", "outer", "inner")]
    assert found == pytest.approx([slant, outer, inner], abs=FINE)
    assert float(value(done, "turn").degrees) == pytest.approx(degrees, abs=FINE)


@pytest.mark.parametrize(("lower", "upper", "high", "slant", "outer", "inner", "degrees"), [CONE, FRUSTUM])
def test_its_rims_are_as_long_as_the_circles_they_become(lower, upper, high, slant, outer, inner, degrees):
    """Each rim is an arc about the tip, 2πr long, and the paper between them is as wide as the slant."""
    rims = [("outer", outer, lower), *([("inner", inner, upper)] if upper else [])]
    text = SECTOR + "".join(RIM.format(rim=rim) for rim, *_ in rims)
    done = made(text, lower=lower, upper=upper, high=high, room=outer + 5)
    strokes = [run for mark in state(done, "piece").marks for run in mark.whole]
    assert len(strokes) == 2 * len(rims)
    for k, (_, radius, becomes) in enumerate(rims):
        both = strokes[2 * k:2 * k + 2]
        assert sum(float(run.length()) for run in both) == pytest.approx(2 * math.pi * becomes, abs=FINE)
        for run in both:
            assert circle(run) == pytest.approx((outer + 5, outer + 5, radius), abs=FINE)
        ends = np.array([[float(c) for c in point] for run in both for point in (run.start, run.end)])
        about = np.degrees(np.unwrap(sorted(np.arctan2(*(ends - outer - 5).T[::-1]) % (2 * np.pi))))
        assert np.ptp(about) == pytest.approx(degrees, abs=FINE)
    radii = [circle(run)[2] for run in strokes] + [inner] * (not upper)
    assert max(radii) - min(radii) == pytest.approx(slant, abs=FINE)
