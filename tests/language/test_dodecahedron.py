"""Twelve pentagons close to a dodecahedron: checked by counting, with nothing of the code that made the net.

Each face has five corners. A joint or a seam says that two edges become one,
so the start of one is the end of the other. Corners that are said to be one
are put together (union-find); what is left are the corners of the ball.
"""
from __future__ import annotations

import math
from collections import Counter
from itertools import combinations

import mpmath
import pytest
import shapely

from generator.paper.records import Seam
from tests.language.small_tutorials import SYSTEMS, corners, final, named, tutorial

SIDES = 5
Edge = tuple[int, int]      # face, edge from 0


def faces(system: str) -> dict[int, list[tuple[float, float]]]:
    """The corners of each face by its id."""
    return {face.id: corners(face) for face in final("ornament", "ornament", system).faces}


def seams(system: str) -> list[tuple[Edge, Edge]]:
    """Every pair of edges that the source says meet."""
    return [pair for act in tutorial("ornament").plans[system].acts if isinstance(act.detail, Seam)
            for pair in act.detail.pairs]


def joints(system: str) -> list[tuple[Edge, Edge]]:
    """Every pair of edges that lie on each other in the flat net, found by where their corners lie."""
    edges = [((face, k), at[k], at[(k + 1) % SIDES]) for face,
             at in faces(system).items() for k in range(SIDES)]
    return [(a, b) for (a, p, q),
            (b, r, s) in combinations(edges, 2) if math.dist(p, s) < 1e-6 and math.dist(q, r) < 1e-6]


def vertices(pairs: list[tuple[Edge, Edge]], ids: list[int]) -> list[set[Edge]]:
    """The corners (face, corner) that become one corner of the ball, by union-find."""
    root = {(face, k): (face, k) for face in ids for k in range(SIDES)}

    def find(corner: Edge) -> Edge:
        while root[corner] != corner:
            corner = root[corner]
        return corner

    for (f, a), (g, b) in pairs:
        root[find((f, a))] = find((g, (b + 1) % SIDES))
        root[find((f, (a + 1) % SIDES))] = find((g, b))
    found: dict[Edge, set[Edge]] = {}
    for corner in root:
        found.setdefault(find(corner), set()).add(corner)
    return list(found.values())


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_net_is_a_tree_of_twelve_pentagons(system):
    """Twelve faces, eleven joints, and no two faces overlap in the flat net."""
    shapes = [shapely.Polygon(at) for at in faces(system).values()]
    assert len(shapes) == 12 and len(joints(system)) == 11
    assert max(a.intersection(b).area for a, b in combinations(shapes, 2)) < 1e-6
    assert math.isclose(shapely.union_all(shapes).area, sum(s.area for s in shapes), abs_tol=1e-6)


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_free_edge_has_exactly_one_partner(system):
    """Sixty edges: two at each of eleven joints, the other thirty-eight each in one of nineteen seams."""
    at_joints = Counter(edge for pair in joints(system) for edge in pair)
    at_seams = Counter(edge for pair in seams(system) for edge in pair)
    everything = {(face, k) for face in faces(system) for k in range(SIDES)}
    assert len(seams(system)) == 19 and set(at_joints) | set(at_seams) == everything
    assert not set(at_joints) & set(at_seams) and set(Counter(at_joints + at_seams).values()) == {1}


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_pairing_closes_to_a_dodecahedron(system):
    """12 faces, 30 edges, 20 corners in which three faces meet: Euler's characteristic is 2."""
    pairs = joints(system) + seams(system)
    found = vertices(pairs, list(faces(system)))
    assert (len(faces(system)), len(pairs), len(found)) == (12, 30, 20) and 20 - 30 + 12 == 2
    assert [len(corner) for corner in found] == [3] * 20
    assert all(len({face for face, _ in corner}) == 3 for corner in found)
    neighbours = {face: {g if f == face else f for (f, _), (g, _) in pairs if face in (f, g)}
                  for face in faces(system)}
    assert all(len(near) == 5 and face not in near for face, near in neighbours.items())


def test_the_count_finds_a_wrong_pairing():
    """Two seams exchanged no longer close to a ball: the check above can fail."""
    pairs = joints("mm") + seams("mm")
    (a, b), (c, d) = pairs[-1], pairs[-2]
    found = vertices([*pairs[:-2], (a, d), (c, b)], list(faces("mm")))
    assert len(found) != 20 or [len(corner) for corner in found] != [3] * 20


@pytest.mark.parametrize("system", SYSTEMS)
def test_edges_are_exactly_as_named(system):
    """All sixty edges are the named length: in the record, and to 1e-6 mm in the drawing."""
    edge = named("ornament", "edge", system)
    for face in final("ornament", "ornament", system).faces:
        assert [q.value for q in face.lengths] == [edge.value] * SIDES
        assert all(abs(float(stroke.length()) - float(edge)) < 1e-6 for stroke in face.outline)


# Check values, row 9: published tables of the regular polyhedra; sin(θ/2) = cos(π/q)/sin(π/p) with p = 5, q =
# 3.
@pytest.mark.parametrize("system", SYSTEMS)
def test_the_joints_are_folded_to_the_published_angle(system):
    """What is left of a half turn at each joint is the dihedral angle, 116.56505 degrees."""
    folds = final("ornament", "ornament", system).folds
    assert len(folds) == 11
    exact = mpmath.degrees(2 * mpmath.asin(mpmath.cos(mpmath.pi / 3) / mpmath.sin(mpmath.pi / 5)))
    for fold in folds:
        assert math.isclose(180 - fold.angle, 116.56505,
                            abs_tol=1e-4) and math.isclose(180 - fold.angle, exact, abs_tol=1e-9)


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_corners_lack_what_descartes_says(system):
    """Three corners of the flat faces meet at each corner of the ball.

    What they lack of a turn adds up to 720 (Descartes).
    """
    found = vertices(joints(system) + seams(system), list(faces(system)))
    at = faces(system)

    def angle(corner: Edge) -> float:
        points, k = at[corner[0]], corner[1]
        (x, y), (a, b), (c, d) = points[k], points[k - 1], points[(k + 1) % SIDES]
        return math.degrees(math.acos(((a - x) * (c - x)
                                       + (b - y) * (d - y)) / (math.dist((x, y), (a, b)) * math.dist((x, y),
            (c, d)))))
    assert math.isclose(sum(360 - sum(map(angle, corner)) for corner in found), 720, abs_tol=1e-6)
