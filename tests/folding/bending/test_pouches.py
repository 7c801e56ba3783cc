"""A pouch with curved ends.

Its shape keeps all lengths, its volume two ways, and what is said where it does not close.
"""
from __future__ import annotations

import math
from functools import cache

import mpmath
import numpy as np
import pytest
from shapely import Polygon

from generator.folding import fold
from generator.folding.bending.equilibrium import green_strains
from generator.folding.bending.meshing import mesh_layout, triangulated
from generator.folding.bending.pouch_plan import pouch_plan
from generator.folding.bending.pouches import pouch_points
from generator.folding.planar_map import flat_map
from generator.folding.stages import FoldMotion
from generator.geometry.strokes import polyline
from generator.language.evaluation.editions import evaluate_edition
from generator.language.fences import read_fences
from generator.language.front_matter import read_front_matter
from generator.language.source.document import read_document
from generator.paper.records import Plan
from generator.paper.verbs import VOCABULARY
from tests.folding.bending.sample_sheets import bisected
from tests.folding.sample_boxes import changed, source

FACE, BODY, LIP, BULGE = 70.0, 110.0, 6.0, 12.0     # mm, as the source says


@cache
def plan(*changes: tuple[str, str], system: str = "mm") -> Plan:
    """The plan of the soap pouch, some of its words changed."""
    document = read_document("pouch.md", changed(source("pouch"), *changes))
    front, _ = read_front_matter(document, VOCABULARY)
    steps = [(step.number, statements) for step, statements in read_fences(document).steps]
    done = evaluate_edition(front, steps, system)
    assert not done.findings, done.findings
    return done.plan


@cache
def pouch(*changes: tuple[str, str], system: str = "mm"):
    """Its folded piece, and what was found."""
    done = fold(plan(*changes, system=system))
    return done.pieces[0], done.findings, done.facts


def dip(s):
    """How deep the curve dips into the face, s mm from its side.

    An arc by its sagitta (elementary geometry).
    """
    radius = (mpmath.mpf(FACE) ** 2 / 4 + BULGE ** 2) / (2 * BULGE)
    return mpmath.sqrt(radius ** 2 - (s - FACE / 2) ** 2) - (radius - BULGE)


def test_the_source_makes_a_pouch_in_both_editions():
    """The language can say it, nothing is found, and both editions close with their flaps over each other."""
    for system in ("mm", "in"):
        piece, found, facts = pouch(system=system)
        assert not found and piece.pouch.closes and piece.pouch.lip > 0
        assert piece.dimensions.size == piece.pouch.size
        assert any("pouch" in fact for fact in facts) and any("pushed in" in fact for fact in facts)


def test_its_width_and_its_volume_are_those_of_independent_integrals():
    """Width ∫√(1 − f′²), volume 2∫ f·(length − 2f) dx, by mpmath.

    Curves are chords of at most 0.002 mm, hence the tolerance.
    """
    piece, _, _ = pouch()
    slope = lambda s: mpmath.diff(dip, s)        # noqa: E731
    width = mpmath.quad(lambda s: mpmath.sqrt(1 - slope(s) ** 2), [0, FACE / 2, FACE])
    volume = mpmath.quad(lambda s: 2 * dip(s) * (BODY - 2 * dip(s)) * mpmath.sqrt(1 - slope(s) ** 2),
                         [0, FACE / 2, FACE])
    assert piece.pouch.size == pytest.approx((float(width), BODY, 2 * BULGE), abs=0.05)
    assert piece.pouch.volume == pytest.approx(float(volume), rel=1e-3)


def test_its_volume_by_its_mesh_is_the_same():
    """Prisms under the triangles of both faces, which the upright flaps close.

    Compared with the integral along the curve; chords lie within.
    """
    piece, _, _ = pouch()
    skin = piece.surface
    corners = skin.points[skin.triangles]
    flat = skin.flat[skin.triangles].mean(axis=1)
    on_face = flat[:, 0] < 2 * FACE
    inside = np.array([dip(float(x % FACE)) for x in flat[:, 0]], float)
    faces = on_face & (flat[:, 1] > LIP + inside) & (flat[:, 1] < LIP + BODY - inside)
    one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    level = (one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]) / 2
    prisms = np.abs(level) * np.abs(corners[:, :, 2].mean(axis=1))
    assert prisms[faces].sum() == pytest.approx(piece.pouch.volume, rel=0.015)


def test_its_shape_keeps_all_lengths_and_the_finer_the_mesh_the_better():
    """What is left of strain is the chords of the mesh: at half the size a fourth of it (order 2)."""
    made = plan()
    info, state = made.pieces[0], made.state(made.pieces[0].id)
    tube = pouch_plan(made, info, state)
    area = Polygon([(0, LIP), (FACE, LIP), (FACE, LIP + BODY), (0, LIP + BODY)])
    lines = [(np.asarray(area.exterior.coords), "rim"),
             *((polyline(run, 0.002), "fold") for fold_ in state.folds for run in fold_.runs)]
    worst = []
    for size in (14.0, 7.0):
        mesh = triangulated(mesh_layout(area, lines), size)
        each = green_strains(mesh.flat, mesh.triangles, pouch_points(tube, mesh.flat))
        worst.append(float(np.sqrt((each ** 2).mean())))
    assert worst[1] < 0.005 and math.log2(worst[0] / worst[1]) > 1.3


def test_each_end_flap_is_the_mirror_image_of_its_face():
    """Fuchs and Tabachnikov 1999 (check-values, row 16).

    The plane of the curved fold bisects the tangent planes within 2°, away from the ends.
    """
    made = plan()
    tube = pouch_plan(made, made.pieces[0], made.state(made.pieces[0].id))
    area = Polygon([(0, 0), (FACE, 0), (FACE, 60), (0, 60)])
    s = np.linspace(0, FACE, 401)
    curve = np.column_stack([s, [LIP + float(dip(x)) for x in s]])
    mesh = triangulated(mesh_layout(area, [(np.asarray(area.exterior.coords), "rim"), (curve, "fold")]), 3.0)
    points = pouch_points(tube, mesh.flat)
    row, = mesh.on("fold")
    assert max(bisected(mesh, points, row, k) for k in range(3, len(row) - 3)) < 2.0


@pytest.mark.parametrize(("changes", "code", "words"), [
    ((("bulge: 12 mm", "bulge: 1 mm"), ("side=right", "side=left"),
      ("at(bays.left, low), at(bays.right, low)", "at(bays.right, low), at(bays.left, low)")),
     "ends-open", "swing out"),
    ((("bulge: 12 mm", "bulge: 20 mm"), ("expect(bulge <= face/5", "expect(bulge <= face/2")),
     "curve-stretches", "steep"),
    ((("y=low..high)\nflap",
       "y=low..high)\nremove(strip, x=inset..(face - inset), y=bottom..(low + lip/2))\nflap"),), "ends-open",
     "gap of 6 mm"),
])
def test_a_pouch_that_cannot_close_is_found(changes, code, words):
    """Curves that swing out, curves too steep for the faces, flaps too short.

    At the curves, with what would mend it.
    """
    piece, found, _ = pouch(*changes)
    assert [f.code for f in found] == [code] and words in found[0].message and piece.dimensions is None


def test_the_steepest_arc_bulges_by_a_fifth():
    """Its ends leave the chord at 4·atan(2b/c)/2 ≤ 45°: b/c = tan 22.5° / 2 = 0.207 (elementary geometry).

    Just below, it closes.
    """
    most = math.tan(math.radians(22.5)) / 2 * FACE
    below = (("bulge: 12 mm", f"bulge: {most - 0.2:.1f} mm"),
             ("expect(bulge <= face/5", "expect(bulge <= face/2"))
    above = (("bulge: 12 mm", f"bulge: {most + 0.3:.1f} mm"),
             ("expect(bulge <= face/5", "expect(bulge <= face/2"))
    assert not pouch(*below)[1] and [f.code for f in pouch(*above)[1]] == ["curve-stretches"]


def test_its_ends_part_where_the_flaps_no_longer_reach():
    """Pushed in by what is said, the flaps' edges meet in the middle plane.

    F/c = (f + lip)·2c/(1 + c²), solved again here.
    """
    piece, _, _ = pouch()
    lean = mpmath.findroot(lambda c: BULGE / c - (BULGE + LIP) * 2 * c / (1 + c * c), 0.6)
    lean = max(float(lean), piece.pouch.steep)
    assert piece.pouch.pushed == pytest.approx((BULGE + LIP) * (1 - lean ** 2) / (1 + lean ** 2), rel=0.02)


def test_its_picture_has_a_stage():
    """It bends in the step that glues it, and every panel of it is part of the skin."""
    piece, _, _ = pouch()
    stage, = FoldMotion(plan(), piece).stages
    assert stage.gathered and set(piece.surface.panel.tolist()) == {p.id for p in piece.flat.panels}
    assert len(np.unique(piece.surface.patch)) == 7 and flat_map(plan().pieces[0], plan().state(0)).soft_folds


@pytest.mark.parametrize("change", [
    ("width=2*inset, depth=lip)", "width=2*inset, depth=lip/2)"),
    ("polygon(at(left, high), at(inset, top), at(left, top))",
     "polygon(at(left, high), at(lip/6, top), at(left, top))")])
def test_end_flaps_stay_within_the_mouth(change):
    """Upright, a flap is as high as it reaches beyond the corners, the mouth half as high as the curve dips.

    That is nothing at the corners: flaps that hang together there, or are not cut back, stand out.
    """
    piece, found, _ = pouch(change)
    assert [f.code for f in found] == ["tab-sticks-out"] and piece.pouch.beyond > 1
    assert pouch()[0].pouch.beyond < 0.1


def test_a_tab_stays_clear_of_the_curves():
    """Left as long as the strip it reaches over the corners by the lip, and more where the curves dip."""
    whole = (("at(right, bottom), at(right, low + taper), at(sides.last, low)",
              "at(sides.last, bottom), at(sides.last, low)"),
             ("at(right, high - taper), at(right, top)", "at(sides.last, top)"))
    piece, found, _ = pouch(*whole)
    assert [f.code for f in found] == ["tab-sticks-out"] and piece.pouch.tab_beyond > LIP
    assert pouch()[0].pouch.tab_beyond < 0.5


def test_a_tab_at_the_other_end_makes_the_same_pouch():
    """The whole plan mirrored: of the same size and volume, its flaps and its tab as far from the curves."""
    corner = "polygon(at(left, bottom), at(inset, bottom), at(left, low))"
    other = "polygon(at(left, high), at(inset, top), at(left, top))"
    low = "polygon(at(ends, bottom), at(right, bottom), at(right, low + taper), at({0}, low))"
    high = "polygon(at(ends, top), at({0}, high), at(right, high - taper), at(right, top))"
    mirrored = [(each.format("sides.last"), f"mirrored({each.format('2*face')})")
                for each in (corner, other, low, high)]
    piece, found, _ = pouch(("x=every(face, 2)", "x=group(tab, tab + face)"),
                            ("sides.bays", "group(sides.first..sides.last, sides.last..right)"),
                            ("at(bays.left,", "at(sides,"), ("at(bays.right,", "at(offset(sides, face),"),
                            ("at=sides.first", "at=sides.last"), *mirrored,
                            ("x=sides.last..right, y", "x=left..sides.first, y"),
                            ("under=walls.first", "under=walls.last"))
    own, plain = piece.pouch, pouch()[0].pouch
    assert not found and own.size == pytest.approx(plain.size) and own.volume == pytest.approx(plain.volume)
    assert (own.lip, own.pushed, own.beyond, own.tab_beyond) == pytest.approx(
        (plain.lip, plain.pushed, plain.beyond, plain.tab_beyond))
