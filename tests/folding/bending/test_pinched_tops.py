"""Gathered tops whose curves swing out, so that the tips of their petals are pinched."""
from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from generator.folding import Crown
from generator.folding.bending.bays import BayRing, with_bulge_share
from generator.folding.bending.domes import bay_ring_of_plan
from generator.folding.bending.gathering import (
    BentHalfBay,
    ClosedHalfBay,
    HalfBayGathering,
    closed_half_bay,
    middle_folds,
)
from generator.folding.bending.meshing import TriangleMesh
from tests.folding.bending.test_domes import OUTWARD, TOP, plan, top

BULGE, CORNER = 2.0, np.array((15.0, 0.0))       # of the curves; where a curve leaves the shoulder; mm
DENT = 6.0      # mm, how far from there card is dented


@cache
def ring(bulge: float = BULGE, sides: int = 8, crown: float = 39) -> BayRing:
    """The ring of bays of a top whose curves swing out."""
    return bay_ring_of_plan(plan(OUTWARD, bulge=bulge, sides=sides, crown=crown))


@cache
def closed(points: int = 110, **sizes: float) -> ClosedHalfBay:
    """A half bay, pinched."""
    return closed_half_bay(ring(**sizes), points)


def test_finer_meshes_converge_with_an_order_above_two():
    """Three meshes, each of twice the points of the last, hence 1/√2 of its size, the middle free to fold.

    The energy falls by ever less, as the size squared or faster; the heights agree to 0.03 mm.
    """
    energies, heights = [], []
    for points in (40, 80, 160):
        gathering = HalfBayGathering(ring(), points, ridge=math.inf)
        bent = gathering.closed()
        energies.append(gathering.sheet.energy(bent.points.ravel()))
        heights.append(bent.height)
        assert bent.rested
    first, second = -np.diff(energies)
    assert 0 < second < first and math.log(first / second) / math.log(math.sqrt(2)) > 2
    assert abs(heights[2] - heights[1]) < 0.03 and second < 0.02 * energies[-1]


def test_the_ridge_that_is_found_does_not_depend_on_the_mesh():
    """About a right angle along the upper part of the petal, as an independent run of thin sheets gave it.

    Its length to a step of the mesh, the height of the dome to 0.1 mm.
    """
    found = [closed(points) for points in (60, 110, 200)]
    assert all(each.unstretched for each in found)
    assert np.ptp([each.card.height for each in found]) < 0.1
    assert np.ptp([each.ridge for each in found]) < 3.4 and all(13 < each.ridge < 23 for each in found)
    gathering = HalfBayGathering(ring(), 110, found[1].ridge)
    ends, angles = middle_folds(gathering, found[1].card)
    upper = np.abs(np.degrees(angles[ends > 39 * 2 / 3]))
    assert upper.min() > 75 and upper.max() < 110 and 85 < upper.mean() < 105
    assert (angles[ends > 20] < 0).all() and np.abs(np.degrees(angles[ends < 10])).max() < 15


def test_the_thinner_the_sheet_the_less_it_is_stretched():
    """A shape without stretching lies at the end: strain falls as the root of the thickness or faster.

    Off the dent at the corner, card itself keeps within the half per cent of other tops.
    """
    each = closed()
    assert each.judged.strain[0] < each.card.strain[0] / math.sqrt(4) * 1.1 and each.judged.strain[0] < 0.003
    mesh, area = each.card.mesh, each.card.area
    far = np.hypot(*(mesh.flat[mesh.triangles].mean(axis=1) - CORNER).T) > DENT
    squares = (np.linalg.eigvalsh(each.card.strains) ** 2).mean(axis=1)
    assert math.sqrt((area * squares)[far].sum() / area[far].sum()) < 0.004


@pytest.mark.parametrize("sizes", [{}, {"bulge": 1}, {"bulge": 3}, {"sides": 6, "crown": 28},
                                   {"sides": 12, "crown": 57}])
def test_no_panel_passes_through_another(sizes):
    """Neither its neighbours' mirror images nor petal and gusset of one bay; 0.01 mm is allowed."""
    each = closed(**sizes)
    x, r, _ = each.card.points.T
    assert each.unstretched and each.ridge > 5
    assert x.min() > -0.01 and (r * math.tan(math.pi / sizes.get("sides", 8)) - x).min() > -0.01
    assert not list(_crossings(each.card.mesh, each.card.points))


def _crossings(mesh: TriangleMesh, points: np.ndarray) -> Iterator[tuple[int, int]]:
    """Edges that pass through the inside of triangles with which they share no corner."""
    edges = np.array(sorted({(min(a, b), max(a, b)) for t in mesh.triangles.tolist()
                             for a, b in ((t[0], t[1]), (t[1], t[2]), (t[2], t[0]))}))
    corners = points[mesh.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    low, high = (np.einsum("eti,ti->et", points[edges[:, k]][:, None] - corners[:, 0], normals)
                 for k in (0, 1))
    for e, t in zip(*np.nonzero(low * high < 0), strict=True):
        start, end = points[edges[e]]
        at = start + low[e, t] / (low[e, t] - high[e, t]) * (end - start) - corners[t, 0]
        sides = np.column_stack([corners[t, 1] - corners[t, 0], corners[t, 2] - corners[t, 0]])
        u, v = np.linalg.lstsq(sides, at, rcond=None)[0]
        if min(u, v, 1 - u - v) > 0 and not set(edges[e]) & set(mesh.triangles[t]):
            yield int(e), int(t)


def test_the_crossings_are_seen():
    """A triangle that is pushed through another is one."""
    mesh = TriangleMesh(np.zeros((6, 2)), np.array([(0, 1, 2), (3, 4, 5)]), np.zeros(2, int), (), ())
    points = np.array([(0, 0, 0), (4, 0, 0), (0, 4, 0), (1, 1, -1), (1, 1, 1), (9, 9, 1)], float)
    assert list(_crossings(mesh, points)) and not list(_crossings(mesh,
                                                                  points + [[0, 0, k > 2] for k in range(6)]
                                                                  * np.array((1, 1, 5))))


def _corner_angles(bent: BentHalfBay) -> np.ndarray:
    corners, made = bent.points[bent.mesh.triangles], []
    for k in range(3):
        u, v = corners[:, k - 2] - corners[:, k], corners[:, k - 1] - corners[:, k]
        made.append(np.arccos((u * v).sum(axis=1) / np.linalg.norm(u, axis=1) / np.linalg.norm(v, axis=1)))
    return np.stack(made, axis=1)


def test_it_is_developable_off_its_creases():
    """Gauss: where paper is not stretched the angles round a point make a full turn, however it is bent.

    0.3° root mean square, ever less on finer meshes; points off all lines and off the dent at the corner.
    """
    missing = []
    for points in (60, 200):
        bent = closed(points).card
        angles, mesh = _corner_angles(bent), bent.mesh
        inner = set(range(len(mesh.flat))) - {v for row in mesh.rows for v in row}
        missing.append([360 - np.degrees(angles[mesh.triangles == v].sum()) for v in sorted(inner)
                        if np.hypot(*(mesh.flat[v] - CORNER)) > DENT])
    coarse, fine = (np.sqrt(np.mean(np.square(each))) for each in missing)
    assert fine < 0.5 * coarse and fine < 0.3 and len(missing[1]) > 100


def test_both_sides_of_a_crease_have_its_geodesic_curvature():
    """Textbook: it is kept by bending, so that petal and gusset turn alike, as the arc does in the plan.

    Counted over the half of the curve between dent and tip, against the radius of the arc; nearer on a
    thinner sheet, whose crease has no border in which paper is stretched.
    """
    off = []
    for bent in (closed(200).card, closed(200).judged):
        angles, mesh = _corner_angles(bent), bent.mesh
        row = sorted(mesh.on("fold")[0], key=lambda v: float(mesh.flat[v, 1]))
        inner = [v for v in row if 10 < mesh.flat[v, 1] < 30]
        flat = mesh.flat[row[row.index(inner[0]) - 1:row.index(inner[-1]) + 2]]
        ways = np.hypot(*np.diff(flat, axis=0).T)
        turn = (ways.sum() - ways[0] / 2 - ways[-1] / 2) * 8 * BULGE / (ring().chord ** 2 + 4 * BULGE ** 2)
        sides = [sum(math.pi - angles[(mesh.triangles == v) & (mesh.cell == cell)[:, None]].sum()
                     for v in inner)
                 for cell in np.unique(mesh.cell)]
        assert np.sign(sides[0]) != np.sign(sides[1]) and np.abs(sides) == pytest.approx(
            [turn, turn], rel=0.3)
        off.append(abs(sum(sides)))
    assert off[1] < off[0]


def test_without_a_bulge_it_is_the_straight_top():
    """The less the curves swing out, the nearer it comes to the closed form, and then it is smooth.

    A free middle changes nothing where folds are straight (check-values, row 27).
    """
    form = Crown(8, 30, 39)
    straight = replace(with_bulge_share(ring(), 0.0), shoulder="fold")
    gathering = HalfBayGathering(straight, ridge=math.inf)
    bent = gathering.closed()
    assert bent.points[gathering.peak] == pytest.approx((0, 0, form.rise), abs=1e-6) and bent.strain[1] < 1e-7
    assert np.abs(middle_folds(gathering, bent)[1]).max() < 1e-4
    heights = [closed(bulge=bulge).card.height for bulge in (0.3, 1, 2, 3)]
    assert heights == sorted(heights, reverse=True) and heights[0] == pytest.approx(form.rise, abs=0.2)
    assert closed(bulge=0.3).ridge == 0 < closed(bulge=1).ridge


def test_curves_that_swing_in_are_smooth():
    """They need no ridge: were their middle free, it would hardly fold."""
    gathering = HalfBayGathering(bay_ring_of_plan(plan(TOP)), ridge=math.inf)
    bent = gathering.closed()
    assert np.abs(np.degrees(middle_folds(gathering, bent)[1])).max() < 10
    assert bent.height == pytest.approx(top().pieces[0].dome.height, abs=0.05)


def test_author_and_box_are_told_which_of_the_two_it_is():
    """Pinched, with the ridge and the height that the figures of the box have; or smooth."""
    done = top(OUTWARD)
    piece, = done.pieces
    assert not done.findings and piece.dome.closes and piece.dome.ridge == pytest.approx(closed().ridge)
    assert piece.dimensions.size[2] == pytest.approx(30 + piece.dome.height, abs=1e-6)
    assert any("pinch the tips" in fact for fact in done.facts)
    assert not any("smooth" in fact for fact in done.facts)
    smooth = top()
    assert any("a smooth dome" in fact for fact in smooth.facts) and smooth.pieces[0].dome.ridge == 0
    assert not any("pinch" in fact for fact in smooth.facts)


@pytest.mark.parametrize(("crown", "code", "words"), [(35, "dome-gap", "a gap of 2.4 mm at the centre"),
                                                      (43, "crown-window", "no room for its gussets")])
def test_pinching_does_not_make_up_for_a_wrong_crown(crown, code, words):
    """36.2 to 39.2 mm close, as with straight folds; too low leaves a gap of twice what is missing."""
    found, = top(OUTWARD, crown=crown).findings
    assert found.code == code and words in found.message


def test_a_ridge_is_a_line_of_the_folded_top():
    """One on the middle of every petal, from its tip down as far as is told; a smooth top has none."""
    dome, surface = (piece := top(OUTWARD).pieces[0]).dome, piece.surface
    middles = [30 * (k + 0.5) for k in range(8)]
    length = dict.fromkeys(middles, 0.0)
    for row in surface.folds:
        flat = surface.flat[list(row)]
        for middle in middles:
            if np.abs(flat[:, 0] - middle).max() < 0.01:
                assert flat[:, 1].min() > 30 + 39 - dome.ridge - 0.01
                length[middle] += float(np.ptp(flat[:, 1]))
    assert list(length.values()) == pytest.approx([dome.ridge] * 8, abs=0.01)
    smooth = top().pieces[0].surface
    assert not any(np.abs(smooth.flat[list(row), 0] - middles[0]).max() < 0.01 for row in smooth.folds)
