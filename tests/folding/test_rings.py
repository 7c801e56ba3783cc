"""Rings of panels and trays with splayed walls, against elementary trigonometry."""
from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.folding.sample_boxes import PRISM, TRAY, codes, folded


@pytest.mark.parametrize("sides", range(3, 13))
def test_a_ring_of_equal_panels_closes_at_360_over_n(sides):
    """The outer angles of a regular polygon; its area gives the apothem (textbook)."""
    done = folded(PRISM, {"sides": sides}, panel=30, wall=40, tab=8)
    piece, = done.pieces
    assert np.allclose(np.degrees(piece.angles), 360 / sides, atol=1e-9) and not done.findings
    assert max(r.gap for r in done.residuals) < 1e-9


def test_a_ring_of_three_unequal_panels_has_the_angles_of_its_triangle():
    """Sides 30, 40 and 50 close with a right angle (Pythagoras).

    Outer angles 90°, 180° − 53.13° and 180° − 36.87°.
    """
    text = PRISM.replace("sides*panel + tab",
                         "a + b + c + tab").replace("every(panel, sides)", "along(a, b, c)")
    piece, = folded(text, a=30, b=40, c=50, wall=30, tab=6).pieces
    expected = [90, 180 - math.degrees(math.atan2(30, 40)), 180 - math.degrees(math.atan2(40, 30))]
    assert np.allclose(np.degrees(piece.angles), expected, atol=1e-6)


@settings(deadline=None, max_examples=25)
@given(long=st.integers(40, 150), short=st.integers(40, 150), rise=st.integers(10, 60),
       splay=st.integers(0, 25))
def test_a_tray_stands_as_trigonometry_says(long, short, rise, splay):
    """Floor to wall 90° + atan(s/h), wall to wall 180° − acos(s²/l²), found by closing alone.

    Check-values, row 29.
    """
    text = TRAY if splay else TRAY.replace("trapezoid(top=tray.edges.length + 2*splay, height=slant)",
                                           "rectangle(width=tray.edges.length, height=rise)").replace(
                                               "slant = hypot(splay, rise)\n", "")
    done = folded(text, long=long, short=short, rise=rise, **({"splay": splay} if splay else {}))
    piece, = done.pieces
    assert np.allclose(180 - np.degrees(piece.angles), 90 + math.degrees(math.atan2(splay, rise)), atol=1e-6)
    walls = [p.id for p in piece.flat.panels if p.id != _floor(piece)]
    slant = math.hypot(splay, rise)
    inside = {round(180 - math.degrees(math.acos(np.clip(piece.normal(a) @ piece.normal(b), -1, 1))), 6)
              for a in walls for b in walls if a < b and abs(_flat_turn(piece, a, b)) > 0.1}
    assert inside == {round(180 - math.degrees(math.acos(splay ** 2 / slant ** 2)), 6)}
    assert not done.findings


def _floor(piece) -> int:
    return max(range(len(piece.flat.panels)), key=lambda k: len(piece.flat.hinges_of(k)))


def _flat_turn(piece, a: int, b: int) -> float:
    """The sine of the angle between the hinges of two walls: 0 for walls that face each other."""
    u, v = (h.end - h.start for h in (piece.flat.hinges_of(a)[0], piece.flat.hinges_of(b)[0]))
    return float(u[0] * v[1] - u[1] * v[0]) / math.hypot(*u) / math.hypot(*v)


def test_a_trays_volume_is_that_of_a_frustum():
    """h/3·(A + B + √AB) holds for similar floors.

    For a tray of any shape the prismatoid formula h/6·(A + 4M + B).
    """
    piece, = folded(TRAY, long=120, short=80, rise=40, splay=9).pieces
    areas = [(120 + 2 * 9 * t) * (80 + 2 * 9 * t) for t in (0, 0.5, 1)]
    assert piece.dimensions.volume == pytest.approx(40 / 6 * (areas[0] + 4 * areas[1] + areas[2]), rel=1e-9)
    assert piece.dimensions.size == pytest.approx((138, 98, 40), abs=1e-6)


def test_walls_that_are_cut_otherwise_do_not_meet_at_a_given_angle():
    """With the angle given, a wall that is cut too high gapes; without it, the walls simply stand steeper."""
    given_angle = TRAY.replace("fold(walls.hinge, mountain)",
                               "fold(walls.hinge, mountain, by=90 deg - atan(splay/rise))")
    assert not folded(given_angle, long=120, short=80, rise=40, splay=9).findings
    wrong = given_angle.replace("height=slant)", "height=slant + extra)")
    assert codes(folded(wrong, long=120, short=80, rise=40, splay=9, extra=1)) == ["seam-open"]
    free = TRAY.replace("height=slant)", "height=slant + extra)")
    assert not folded(free, long=120, short=80, rise=40, splay=9, extra=1).findings
