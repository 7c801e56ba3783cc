"""Nets of polyhedra fold to what is published of them, by closing."""
from __future__ import annotations

import math
from collections import defaultdict
from functools import cache

import numpy as np
import pytest

from generator.folding import FoldedPlan
from tests.folding import polyhedra
from tests.folding.polyhedra import folded_solid

ROOT5 = math.sqrt(5)

# p, q, dihedral angle from the published tables of the regular polyhedra (from memory: degrees to five
# places)
REGULAR = {"TETRAHEDRON": (3, 3, 70.52878), "CUBE": (4, 3, 90.0), "OCTAHEDRON": (3, 4, 109.47122),
           "DODECAHEDRON": (5, 3, 116.56505), "ICOSAHEDRON": (3, 5, 138.18969)}
# volume for edge 1, closed formulas from textbooks
VOLUMES = {"TETRAHEDRON": 1 / (6 * math.sqrt(2)), "CUBE": 1, "OCTAHEDRON": math.sqrt(2) / 3,
           "DODECAHEDRON": (15 + 7 * ROOT5) / 4, "ICOSAHEDRON": 5 * (3 + ROOT5) / 12,
           "CUBOCTAHEDRON": 5 * math.sqrt(2) / 3, "TRUNCATED_OCTAHEDRON": 8 * math.sqrt(2)}


@cache
def done(name: str) -> FoldedPlan:
    """A solid with edges of 30 mm, folded once for all tests."""
    return folded_solid(getattr(polyhedra, name), 30)


@pytest.mark.parametrize("name", REGULAR)
def test_a_regular_solid_closes_to_its_dihedral_angle(name):
    """No angle is given.

    Every seam meets within a millionth of a thousandth of a millimetre, every fold is as published.
    """
    p, q, published = REGULAR[name]
    piece, = done(name).pieces
    assert max(r.gap for r in done(name).residuals) < 1e-9
    assert np.allclose(180 - np.degrees(piece.angles), published, atol=1e-4)
    # sin(θ/2) = cos(π/q)/sin(π/p)
    formula = 2 * math.degrees(math.asin(math.cos(math.pi / q) / math.sin(math.pi / p)))
    assert np.allclose(180 - np.degrees(piece.angles), formula, atol=1e-9)


@pytest.mark.parametrize(("name", "published"),
                         [("CUBOCTAHEDRON", (125.26439,)), ("TRUNCATED_OCTAHEDRON", (109.47122, 125.26439))])
def test_solids_of_two_kinds_of_faces_close_too(name, published):
    """Dihedral angles of two Archimedean solids (tables of uniform polyhedra, from memory)."""
    piece, = done(name).pieces
    angles = 180 - np.degrees(piece.angles)
    assert all(min(abs(a - p) for p in published) < 1e-4 for a in angles)
    assert max(r.gap for r in done(name).residuals) < 1e-9


@pytest.mark.parametrize("name", VOLUMES)
def test_a_solid_holds_what_its_formula_says(name):
    """The volume of the folded surface against the closed formula, edge 30 mm."""
    piece, = done(name).pieces
    assert piece.dimensions.volume == pytest.approx(VOLUMES[name] * 30 ** 3, rel=1e-9)


@pytest.mark.parametrize("name", VOLUMES)
def test_the_angular_defect_is_two_whole_turns(name):
    """Descartes: what the corners of a closed convex solid lack of 360° sums to 720°.

    Every corner lacks some.
    """
    piece, = done(name).pieces
    corners: dict[tuple, float] = defaultdict(float)
    for panel in piece.flat.panels:
        xyz = piece.corners(panel.id)
        for k, b in enumerate(xyz):
            u, v = xyz[k - 1] - b, xyz[(k + 1) % len(xyz)] - b
            corners[tuple(np.round(b, 5)
                          + 0.0)] += math.degrees(math.acos(u @ v / np.linalg.norm(u) / np.linalg.norm(v)))
    assert len(corners) == len(getattr(polyhedra, name).corners)
    assert sum(360 - a
               for a in corners.values()) == pytest.approx(720, abs=1e-6) and max(corners.values()) < 360


@pytest.mark.parametrize("name", VOLUMES)
def test_a_solid_gives_nothing_to_complain_of(name):
    """The unbroken net is silent, and all its panels are judged."""
    assert not done(name).findings and all(piece.judged for piece in done(name).pieces)


def test_folding_keeps_the_faces_as_they_are():
    """Every panel in space is congruent to the flat one, for it is moved and not bent."""
    piece, = done("ICOSAHEDRON").pieces
    for panel in piece.flat.panels:
        flat = np.asarray(panel.polygon.exterior.coords)[:-1]
        there = piece.corners(panel.id)
        for k in range(len(flat)):
            length = np.linalg.norm(flat[k] - flat[k - 1])
            assert np.linalg.norm(there[k] - there[k - 1]) == pytest.approx(length, abs=1e-9)
