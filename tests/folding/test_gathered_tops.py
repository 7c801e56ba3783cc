"""The gathered top: closed form against the solver, which share no code."""
from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.folding import Crown, fold
from tests.folding.sample_boxes import CROWN, codes, folded, plan_of, source


def test_the_window_is_that_of_the_polygon():
    """Circumradius and apothem of polygons as in textbooks (check-values, row 11), n-gon of side 100."""
    assert (Crown(6, 100, 90).circumradius,
            Crown(6, 100, 90).apothem) == pytest.approx((100, 86.60254), abs=1e-5)
    assert (Crown(5, 100, 90).circumradius,
            Crown(5, 100, 90).apothem) == pytest.approx((85.06508, 68.81910), abs=1e-5)
    assert Crown(8, 100, 90).circumradius == pytest.approx(130.65630, abs=1e-5)


def test_six_sides_with_a_crown_as_high_as_a_panel_is_wide_lie_on_the_bound():
    """Peaks half a panel above the shoulder, gusset folds level, and it still closes.

    Check-values, row 27.
    """
    crown = Crown(6, 1.75 * 25.4, 1.75 * 25.4)
    assert crown.closes() and crown.rise == pytest.approx(crown.width / 2, abs=1e-9)
    assert crown.gusset_angle() == pytest.approx(0, abs=1e-9)
    assert not Crown(6, 100, 100.001).closes() and Crown(6, 100, 100.001).closes(tucked=False)
    assert not Crown(6, 100, 86.6).closes() and not Crown(6, 100, 86.6).closes(tucked=False)
    assert Crown(6, 100, 50).rise is None and Crown(6, 100, 50).gusset_angle() is None


@settings(deadline=None)
@given(n=st.integers(3, 24), width=st.floats(5, 100), share=st.floats(0, 1))
def test_a_top_within_its_window_closes_and_the_branches_agree_on_the_peak(n, width, share):
    """Both branches meet at one peak; the gusset leans as far below the slant as above it.

    Never upward when tucked.
    """
    flat = Crown(n, width, width)
    crown = Crown(n, width, flat.apothem + share * (flat.circumradius - flat.apothem))
    assert crown.closes() and crown.rise is not None
    tucked, outside = crown.gusset_angle(), crown.gusset_angle(tucked=False)
    assert tucked <= 1e-6 and outside > 0
    assert (tucked + outside) / 2 == pytest.approx(math.atan2(crown.rise, crown.circumradius), abs=1e-9)


@pytest.mark.parametrize(("sides", "panel", "crown"),
                         [(8, 30, 39), (8, 30, 37), (6, 40, 38), (5, 40, 30), (6, 40, 40)])
def test_the_solver_folds_what_the_closed_form_says(sides, panel, crown):
    """Height of the peaks, and the rise of each gusset's middle fold, taken from the panels in space."""
    done = folded(CROWN, {"sides": sides}, panel=panel, wall=25, crown=crown, tab=10)
    piece, = done.pieces
    form = Crown(sides, panel, crown)
    assert not done.findings and max(r.gap for r in done.residuals) < 1e-6
    axis = piece.frames[_wall(piece)][:3, 1]
    heights = np.array([point @ axis for k in range(len(piece.flat.panels)) for point in piece.corners(k)])
    shoulder = (np.array((0, 25)) @ piece.frames[_wall(piece)][:3, :2].T @ axis
                + piece.frames[_wall(piece)][:3, 3] @ axis)
    assert heights.max() - shoulder == pytest.approx(form.rise, abs=1e-5)
    for angle in _gussets(piece, axis, crown):
        assert angle == pytest.approx(form.gusset_angle(), abs=2e-4)


def test_under_a_straight_top_there_is_a_pyramid():
    """A·h/3 over the prism (textbook): the gussets lie double and take up nothing."""
    piece, = fold(plan_of(source("straight"))).pieces
    crown, area = Crown(8, 30, 39), 2 * (1 + math.sqrt(2)) * 30 ** 2
    assert piece.dimensions.volume == pytest.approx(area * (60 + crown.rise / 3), rel=1e-6)
    tall, volume = piece.dimensions.soft_room
    # eight layers of 0.26 mm on the floor, and the petals
    assert tall == pytest.approx(60 + crown.rise - 9 * 0.26, abs=1e-6)
    inner = 2 * (1 + math.sqrt(2)) * (30 - 2 * 0.26 * math.tan(math.pi / 8)) ** 2
    assert volume == pytest.approx(inner * (60 + crown.rise / 3 - 9 * 0.26), rel=1e-6)


def test_under_a_bent_dome_is_what_is_below_its_skin():
    """The height of its skin over every square of a millimetre, summed up."""
    piece, = fold(plan_of(source("published"))).pieces
    skin = piece.surface.points @ np.array(piece.dimensions.axes).T
    corners = skin[piece.surface.triangles]
    shoulder = skin[:, 2].max() - piece.dome.peak
    (west, south), (east, north) = corners[..., :2].min((0, 1)), corners[..., :2].max((0, 1))
    across, along = np.meshgrid(np.arange(west, east) + 0.5, np.arange(south, north) + 0.5)
    at = np.stack([across.ravel(), along.ravel()], axis=1)
    base, one, other = corners[:, 0], corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    area = one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]
    total = 0.0
    for point in at:
        off = point - base[:, :2]
        u = (off[:, 0] * other[:, 1] - off[:, 1] * other[:, 0]) / area
        v = (one[:, 0] * off[:, 1] - one[:, 1] * off[:, 0]) / area
        over = (u >= 0) & (v >= 0) & (u + v <= 1)
        total += (base[over, 2] + u[over] * one[over, 2] + v[over]
                  * other[over, 2]).max(initial=shoulder) - shoulder
    prism = 2 * (1 + math.sqrt(2)) * 30 ** 2 * 60
    assert piece.dimensions.volume - prism == pytest.approx(total, rel=0.02)


def _wall(piece) -> int:
    """A panel below the shoulder."""
    return next(p.id for p in piece.flat.panels if p.polygon.bounds[3] < 25.5 and p.polygon.area > 400)


def _gussets(piece, axis, crown):
    """How steeply the middle folds of the whole gussets rise towards the axis."""
    for hinge in piece.flat.hinges:
        if abs(hinge.length - crown) < 1e-6 and hinge.start[0] == hinge.end[0]:
            low, high = sorted((hinge.start, hinge.end), key=lambda p: p[1])
            step = piece.frames[hinge.left][:3, :2] @ (high - low)
            yield math.asin(step @ axis / np.linalg.norm(step))


@pytest.mark.parametrize(("crown", "wrong"), [(36, True), (36.3, False), (39.1, False), (39.3, True)])
def test_a_crown_beyond_its_window_is_found(crown, wrong):
    """Eight panels of 30 mm: a crown from 36.2 to 39.2 mm closes, and no other."""
    done = folded(CROWN, {"sides": 8}, panel=30, wall=30, crown=round(crown * 10) / 10, tab=10)
    assert codes(done) == (["crown-window"] if wrong else [])


def test_gussets_that_stand_outside_have_no_upper_bound():
    """With the folds of the gussets the other way, a high crown closes too."""
    outside = CROWN.replace("fold(lines, valley, y=brim..top)", "fold(lines, mountain, y=brim..top)").replace(
        "fold(slants, mountain)", "fold(slants, valley)")
    assert codes(folded(outside, {"sides": 8}, panel=30, wall=30, crown=45, tab=10)) == []
    assert codes(folded(CROWN, {"sides": 8}, panel=30, wall=30, crown=45, tab=10)) == ["crown-window"]
