"""Gathered tops with curved folds.

Against the straight closed form, on finer meshes, and what is said where they do not close.
"""
from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from generator.folding import Crown, FoldedPlan, fold
from generator.folding.bending.bays import BayRing, bulge_height, with_bulge_share
from generator.folding.bending.domes import (
    HalfBaySolution,
    RecentAnswers,
    bay_ring_of_plan,
    cache_key,
    curves_over_chord,
    half_bay_solution,
    ranked_curves,
    unpacked_solution,
)
from generator.folding.bending.gathering import HalfBayGathering
from generator.folding.planar_map import flat_map
from generator.folding.rigid_folding import fold_piece
from generator.paper.records import Plan
from tests.folding.bending.sample_sheets import bisected
from tests.folding.sample_boxes import codes
from tests.paper.statement_evaluation import evaluated
from tests.time_limits import within

TOP = """
strip  = sheet(width=sides*panel + tab, height=wall + crown)
lines  = score(strip, x=every(panel, sides))
brim   = score(strip, y=wall, keep=flat)
remove(strip, x=lines.last..right, y=brim..top)
curves = score(strip, arc(at(lines.bays.left, brim), at(lines.bays.middle, top), bulge=bulge, side=right),
                      arc(at(lines.bays.middle, top), at(lines.bays.right, brim), bulge=bulge, side=right))
fold(lines, mountain, y=bottom..brim)
fold(lines, valley, y=brim..top)
fold(curves, mountain)
walls  = faces(strip, x=lines.bays, y=bottom..brim)
flap   = faces(strip, x=lines.last..right, y=bottom..brim)
glue(flap, under=walls.first)
gather(strip)
"""
SIZES = {"panel": 30, "wall": 30, "crown": 39, "tab": 10, "bulge": 2}
OUTWARD = TOP.replace(", side=right", "")


def plan(text: str = TOP, sides: int = 8, **mm: float) -> Plan:
    """The plan of a top."""
    return evaluated(text, {"sides": sides}, **(SIZES | mm)).plan


def top(text: str = TOP, sides: int = 8, **mm: float) -> FoldedPlan:
    """A top, folded."""
    return fold(plan(text, sides, **mm))


@cache
def ring(sides: int = 8, crown: float = 39, bulge: float = 2) -> BayRing:
    """The ring of bays of a top."""
    return bay_ring_of_plan(plan(sides=sides, crown=crown, bulge=bulge))


@pytest.mark.parametrize(("sides", "crown"), [(8, 39), (8, 37), (6, 28)])
def test_a_straight_top_is_its_closed_form(sides, crown):
    """Curves drawn to their chords and the shoulder folded.

    The elementary trigonometry of gathered.py, to a millionth of a millimetre (check-values, row 27).
    """
    gathering = HalfBayGathering(replace(with_bulge_share(ring(sides, crown), 0.0), shoulder="fold"))
    bent, form = gathering.closed(), Crown(sides, 30, crown)
    assert bent.points[gathering.peak] == pytest.approx((0, 0, form.rise), abs=1e-6) and bent.strain[1] < 1e-7
    corner = max(gathering.mesh.vertices_on("corner"), key=lambda v: gathering.mesh.flat[v][1])
    inward = form.circumradius - np.hypot(*bent.points[corner][:2])
    assert np.arctan2(bent.points[corner][2], inward) == pytest.approx(form.gusset_angle(), abs=1e-6)


def test_finer_meshes_give_the_same_dome():
    """Three meshes, each of twice the points.

    The height changes by less than 0.01 mm, and the strain does not grow.
    """
    found = [HalfBayGathering(ring(), points).closed() for points in (60, 120, 240)]
    assert all(bent.rested for bent in found) and np.ptp([bent.height for bent in found]) < 0.01
    strain = [bent.strain[0] for bent in found]
    assert strain == sorted(strain, reverse=True) and strain[0] < 0.0005


def test_the_fold_bisects_the_tangent_planes_beside_it():
    """Fuchs and Tabachnikov 1999 (check-values, row 16), within 2° in the lower half.

    Above it a petal is hardly wider than the border along a free fold in which card unbends, √(thickness ·
    radius).
    """
    gathering = HalfBayGathering(with_bulge_share(ring(), 0.75), 240)
    row = next(row for row,
               kinds in zip(gathering.mesh.rows, gathering.mesh.kinds, strict=False) if kinds == {"fold"})
    bent = gathering.closed()
    row = row if gathering.mesh.flat[row[0]][1] < gathering.mesh.flat[row[-1]][1] else row[::-1]
    assert max(bisected(gathering.mesh, bent.points, row, k) for k in range(3, len(row) // 2)) < 2.0


def test_the_dome_stands_lower_the_more_its_curves_bulge():
    """Never as high as with straight folds, whose height is the closed form.

    Nearly so where they hardly bulge; and the figures of the box hold it.
    """
    heights = []
    for bulge in (0.1, 1, 2, 3):
        piece, = top(bulge=bulge).pieces
        assert piece.dome.closes and piece.dome.bulge == pytest.approx(-bulge, abs=0.01)
        assert piece.dome.strain[0] < 0.001 and piece.dimensions.whole
        assert piece.dimensions.size[2] == pytest.approx(30 + piece.dome.height, abs=1e-6)
        heights.append(piece.dome.height)
    straight = math.sqrt(39 ** 2 - (15 / math.tan(math.pi / 8)) ** 2)     # the peaks of petals that stay flat
    assert all(low < high for low, high in pairwise([*reversed(heights), straight]))
    assert straight - heights[0] < 0.1 < straight - heights[1]


def test_the_skin_is_developable():
    """Gaussian curvature is nothing: the angles round every point add up to what they do in the flat plan.

    Beside a crease on each side alone, so that its geodesic curvature is the same on both (Gauss; Fuchs and
    Tabachnikov 1999). Measured on the skin in space, within what a strain of 0.5 % does to an angle.
    """
    piece, = top().pieces
    skin = piece.surface
    corners = [np.asarray(xyz)[skin.triangles] for xyz in (skin.flat, skin.points)]
    sums = []
    for points in corners:
        total: dict[tuple[int, int], float] = defaultdict(float)
        for k in range(3):
            one, other = points[:, (k + 1) % 3] - points[:, k], points[:, (k + 2) % 3] - points[:, k]
            cosine = (one * other).sum(axis=1) / np.linalg.norm(one, axis=1) / np.linalg.norm(other, axis=1)
            for vertex, patch, angle in zip(skin.triangles[:, k], skin.patch, np.arccos(cosine), strict=True):
                total[int(vertex), int(patch)] += float(angle)
        sums.append(total)
    flat, space = sums
    assert len(flat) > 300 and max(abs(space[key] - angle) for key, angle in flat.items()) < 0.02
    bent = skin.points[:, 2]
    assert np.ptp(bent) > 10        # of a sheet that stays flat this would say nothing


def test_the_skin_is_whole_and_keeps_its_lengths():
    """It covers the soft panels and no more, hangs on the walls, has no doubled vertex.

    Its edges are as long as in the flat plan.
    """
    piece, = top().pieces
    skin = piece.surface
    soft = [p for p in piece.flat.panels if p.soft]
    assert set(skin.panel.tolist()) == {p.id for p in soft}
    corners = skin.flat[skin.triangles]
    areas = np.cross(np.append(corners[:, 1] - corners[:, 0], np.zeros((len(corners), 1)), 1),
                     np.append(corners[:, 2] - corners[:, 0], np.zeros((len(corners), 1)), 1))[:, 2] / 2
    assert (areas > 0).all() and areas.sum() == pytest.approx(sum(p.polygon.area for p in soft), rel=1e-3)
    for a, b in ((0, 1), (1, 2), (2, 0)):
        flat = np.linalg.norm(corners[:, a] - corners[:, b], axis=1)
        space = np.linalg.norm(skin.points[skin.triangles[:, a]] - skin.points[skin.triangles[:, b]], axis=1)
        assert np.abs(space / flat - 1).max() < 0.005
    base = np.flatnonzero(np.abs(skin.flat[:, 1] - 30) < 1e-6)
    for v in base:
        walls = [p.id for p in piece.flat.panels if not p.soft
                 and p.polygon.buffer(1e-6).bounds[0] <= skin.flat[v, 0] <= p.polygon.buffer(1e-6).bounds[2]]
        gaps = [np.linalg.norm(piece.frames[k][:3, :2] @ skin.flat[v]
                               + piece.frames[k][:3, 3] - skin.points[v]) for k in walls]
        assert min(gaps) < 1e-9
    assert len({tuple(np.round(p, 4)) for p in skin.flat}) == len(skin.flat)
    assert len(np.unique(skin.patch)) == 3 * 8      # a petal and two half gussets a bay


def test_no_paper_crosses_its_mirror_planes():
    """The half bay stays between the middle of its bay and the corner.

    A hundredth of a millimetre is allowed.
    """
    bent = HalfBayGathering(ring()).closed()
    x, r, _ = bent.points.T
    assert x.min() > -0.01 and (r * np.tan(np.pi / 8) - x).min() > -0.01


@pytest.mark.parametrize(("crown", "bulge", "code"), [(35, 2, "dome-gap"), (43, 2, "crown-window"),
                                                      (39, 5, "curves-meet"), (39, 3.8, "curves-meet")])
def test_tops_that_cannot_close_are_found(crown, bulge, code):
    """Too low: a gap at the centre.

    Too high: no room for the gussets. Too much bulge: curves meet, or run along each other.
    """
    assert codes(top(crown=crown, bulge=bulge)) == [code]


def test_the_gap_is_what_the_crown_is_too_low():
    """Petals that lie flat reach as far as they are long.

    36.21 − 35 mm short on either side, elementary geometry.
    """
    piece, = top(crown=35).pieces
    assert piece.dome.opening == pytest.approx(2 * (Crown(8, 30, 35).apothem - 35), abs=0.01)


@pytest.mark.parametrize("sides", [3, 5, 24])
@pytest.mark.parametrize("bulge", [0.2, 3])
def test_nothing_takes_long_or_gives_a_number_that_is_none(sides, bulge):
    """Whatever the number of sides, every point is a number, within ten seconds."""
    form = Crown(sides, 30, 1)
    with within(10):
        done = top(sides=sides, crown=round((form.apothem + form.circumradius) / 2, 1), bulge=bulge)
    piece, = done.pieces
    assert piece.surface is None or (np.isfinite(piece.surface.points).all()
                                  and np.isfinite(piece.surface.strain).all())


def test_the_snap_is_where_both_branches_meet():
    """Leaning outward by that angle the gusset is flat.

    Its two ways to swing are one (against the mechanism itself).
    """
    form = Crown(8, 30, 39)
    made = HalfBayGathering(with_bulge_share(ring(), 0.0))
    inside = made.start(-form.snap_angle)
    made.ring = replace(made.ring, tucked=False)
    assert np.abs(inside - made.start(-form.snap_angle)).max() < 1e-5
    assert np.abs(made.start(0.1) - HalfBayGathering(with_bulge_share(ring(), 0.0)).start(0.1)).max() > 1
    assert any("snap inward" in fact and "about 4°" in fact for fact in top().facts)


def test_answers_are_kept_and_told_apart():
    """The second time nothing is worked out; another bulge has another key.

    Bytes that are no answer are none.
    """
    kept = RecentAnswers(2)
    one, other = ring(), ring(bulge=1)
    first = half_bay_solution(one, kept)
    assert list(kept) == [cache_key(one)] and cache_key(one) != cache_key(other)
    kept[cache_key(one)] = HalfBaySolution(first.points, (0.001, 0.5), 0.0, True, 1.0).packed()
    assert half_bay_solution(one, kept).strain == (0.001, 0.5)
    kept[cache_key(one)] = b"no answer"
    assert half_bay_solution(one, kept).strain == pytest.approx(first.strain)
    assert unpacked_solution(b"") is None
    kept["a"], kept["b"], kept["c"] = b"1", b"2", b"3"
    assert list(kept) == ["b", "c"]


def test_a_fold_is_the_same_from_the_cache():
    """A mapping handed in is filled and read: points, figures and facts agree."""
    kept: dict[str, bytes] = {}
    one, other = fold(plan(), kept), fold(plan(), kept)
    assert len(kept) == 1 and one.facts == other.facts
    assert np.array_equal(one.pieces[0].surface.points, other.pieces[0].surface.points)


def test_ovals_and_circles_are_ranked_by_how_they_fold():
    """The least stretched first, which stand the highest.

    Those too round or too small for the top are left out.
    """
    found = ranked_curves(ring(),
                          [*curves_over_chord(ring().chord, [(200, 150), (40, 20)], [300, 150, 100, 20])])
    assert [tried.of for tried in found] == [(300,), (200, 150, "along"), (150,),
                                             (200, 150, "across")] and all(tried.closes for tried in found)
    assert [t.strain for t in found] == sorted(t.strain for t in found)
    assert [t.height for t in found] == sorted((t.height for t in found), reverse=True)


def test_an_arc_of_the_same_bulge_gives_the_same_dome():
    """The curve that is drawn, tried as one of several, stands as high as the box does."""
    bulge = abs(bulge_height(ring()))       # of a circle, by Pythagoras
    across = ring().chord ** 2 / 4 / bulge + bulge
    tried, = ranked_curves(ring(), [*curves_over_chord(ring().chord, (), [across])])
    assert tried.closes and tried.height == pytest.approx(top().pieces[0].dome.height, abs=0.01)


def test_a_top_that_does_not_repeat_is_not_guessed_at():
    """One curve that is missing: then what lies beside the curves is not judged, and the facts say so."""
    spoilt = TOP.replace("fold(curves, mountain)", "fold(curves[2..16], mountain)")
    made = fold(evaluated(spoilt, {"sides": 8}, **SIZES).plan)
    piece, = made.pieces
    assert piece.surface is None and piece.dome is None and any("not judged" in fact for fact in made.facts)


def test_a_flat_map_is_not_changed_by_bending():
    """Frames of walls and the skin share one space: folding the rigid part alone gives the same frames."""
    made = plan()
    info, state = made.pieces[0], made.state(made.pieces[0].id)
    alone = fold_piece(made, info, state, flat_map(info, state))
    assert np.allclose(alone.frames, fold(made).pieces[0].frames)
