"""What every tutorial on the shelf keeps: it is sound, it folds, it is worded by measures, it regauges, it
can be printed.
"""
from __future__ import annotations

import re

import numpy as np
import pytest

from generator.drawing.folded.layer_order import LAYER_DISTANCE, LayerOrder
from generator.drawing.templates.page import TemplateFace
from generator.folding.kinematics import linkage
from generator.folding.records import FoldedPiece
from generator.folding.stages import FoldMotion
from generator.regauge import RegaugeOptions
from generator.regauge.solution import choice_evaluator, leading_choices
from generator.tutorial.folded_editions import check_folded
from generator.tutorial.template_files import template_files
from tests.language.small_tutorials import BENCHES
from tests.tutorial.site_tutorials import SHELF, SYSTEMS, drawn_side, on_shelf, other_side

MOST_GAP = 0.1      # mm; what a flat piece may stay open
MOST_STRAIN = 0.005     # a share of the length
every = pytest.mark.parametrize("slug", SHELF)
MEASURE = re.compile(r"\d")


@every
def test_a_tutorial_is_sound_in_both_editions(slug):
    """No error and no warning, care and credit, and between eight and fifteen steps."""
    tutorial = on_shelf(slug)
    assert set(tutorial.plans) == set(SYSTEMS) and 8 <= len(tutorial.steps) <= 15
    assert tutorial.cautions and tutorial.supplies and tutorial.tools
    assert tutorial.front.credit.author and tutorial.front.credit.licence and tutorial.front.sheets


@every
def test_nothing_is_measured_by_hand(slug):
    """No digit is typed in the words of a step, in its title or in the introduction: numbers come from
    expressions.
    """
    tutorial = on_shelf(slug)
    typed = [part for prose in (tutorial.intro, *(step.prose for step in tutorial.steps)) for part in prose
             if isinstance(part, str) and MEASURE.search(re.sub(r"\]\([^)]*\)", "", part))]
    assert typed == [] and not any(MEASURE.search(step.title) for step in tutorial.steps)


@every
@pytest.mark.parametrize("system", SYSTEMS)
def test_a_tutorial_folds(slug, system):
    """Every seam, glued face and ring of folds of a piece that stays flat closes to a tenth of a
    millimetre.
    """
    folded = on_shelf(slug).folds[system]
    flat = [piece for piece in folded.pieces if piece.judged and piece.surface is None]
    worst = max((residual.gap for piece in flat for residual in piece.residuals), default=0.0)
    assert folded.pieces and worst <= MOST_GAP


@every
@pytest.mark.parametrize("system", SYSTEMS)
def test_bent_paper_is_hardly_strained(slug, system):
    """What is bent keeps its lengths: half a per cent of strain (rms) at most."""
    assert all(piece.surface.strain[0] <= MOST_STRAIN for piece in on_shelf(slug).folds[system].pieces
               if piece.surface is not None)


@every
def test_the_written_edition_is_one_that_regauging_finds(slug):
    """From the drawn lengths the search reaches the values that the source has for the other system."""
    drawn, tutorial = drawn_side(slug), on_shelf(slug)
    front = tutorial.front
    written = {name: value.value for name, value in front.lengths[tutorial.other].items()
               if name not in front.tools}
    best = leading_choices(choice_evaluator(drawn, BENCHES, RegaugeOptions(pinned=written), check_folded),
                           "close", 1).best
    assert best and dict(best[0].values) == written


@every
def test_a_tutorial_regauges_back(slug):
    """Drawn in the other system, with the values written for it, the design has an edition in this one."""
    drawn = other_side(slug)
    assert drawn.front.drawn_in == on_shelf(slug).other
    assert leading_choices(choice_evaluator(drawn, BENCHES, RegaugeOptions(within=drawn.front.within),
                                            check_folded), "close", 1).best


@every
def test_templates_can_be_made(slug):
    """A template, its bench card and a cutting file, with nothing missing."""
    tutorial = on_shelf(slug)
    made = template_files(tutorial, systems=(tutorial.drawn_in,), papers=("a4",),
                          faces=(TemplateFace.INSIDE,))
    assert {file.kind for file in made.files} >= {"template", "bench-card", "cutting"}
    assert made.findings == ()


# -- what must be so of one of them, worked out again from outside -------------------


def values(slug: str, system: str, *names: str) -> tuple[float, ...]:
    """Named lengths in mm."""
    return tuple(float(on_shelf(slug).names[name].values[system]) for name in names)


def floor_and_walls(piece: FoldedPiece) -> tuple[int, list[int]]:
    """The panel with the most hinges, and those on it in order round it."""
    root = linkage(piece.flat).root
    middle = np.array(piece.flat.panels[root].polygon.centroid.coords[0])
    walls = [h.other(root) for h in piece.flat.hinges_of(root)]
    return root, sorted(walls,
                        key=lambda k: np.arctan2(*(np.array(piece.flat.panels[k].polygon.centroid.coords[0])
                                                   - middle)[::-1]))


def between(piece: FoldedPiece, one: int, other: int) -> float:
    """The angle inside between two panels, in degrees."""
    return 180 - float(np.degrees(np.arccos(np.clip(piece.normal(one) @ piece.normal(other), -1, 1))))


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_trays_angles(system):
    """Floor to wall 90° + atan(s/h), wall to wall inside 180° − acos(s²/l²) (elementary trigonometry)."""
    splay, slant, rise = values("soap-tray", system, "splay", "slant", "rise")
    piece = next(p for p in on_shelf("soap-tray").folds[system].pieces if p.name == "tray")
    floor, walls = floor_and_walls(piece)
    assert len(walls) == 4 and rise == pytest.approx(np.sqrt(slant ** 2 - splay ** 2), abs=1e-9)
    for wall, following in zip(walls, walls[1:] + walls[:1], strict=True):
        assert between(piece, floor, wall) == pytest.approx(90 + np.degrees(np.arctan(splay / rise)),
                                                            abs=1e-6)
        assert between(piece, wall,
                       following) == pytest.approx(180 - np.degrees(np.arccos(splay ** 2 / slant ** 2)),
                                                   abs=1e-6)


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_gap_in_the_trays_corners(system):
    """Between the ends of two walls the flat sheet leaves 90° − 2·atan(s/l) (elementary trigonometry)."""
    splay, slant = values("soap-tray", system, "splay", "slant")
    marks = on_shelf("soap-tray").plans[system].state(0).marks
    ends = [run for mark in marks for run in mark.runs
            if abs(float(run.length()) - np.hypot(splay, slant)) < 1e-6]
    gaps = [turn(a, b) for a in ends for b in ends if a.start == b.start and a != b]
    assert len(gaps) == 8 and gaps == pytest.approx([90 - 2 * np.degrees(np.arctan(splay / slant))] * 8,
                                                    abs=1e-9)


def turn(one: object, other: object) -> float:
    """The angle between two straight strokes from the same point, in degrees."""
    a, b = (np.array([float(x) for x in stroke.step]) for stroke in (one, other))
    return float(np.degrees(np.arccos(a @ b / np.linalg.norm(a) / np.linalg.norm(b))))


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_lid_of_the_biscuit_box_clears_every_layer(system):
    """Lid and base differ by the ease, and four layers of card go into it (a wall and a wall with a tab, on
    either side).
    """
    plan = on_shelf("biscuit-box").plans[system]
    wall, lip, ease = values("biscuit-box", system, "wall", "lip", "ease")
    base, lid = (plan.state(next(info.id for info in plan.pieces if info.name == name))
                 for name in ("base", "lid"))
    thick = float(plan.pieces[0].paper.thickness.value)
    assert (float(lid.width.value) - 2 * lip) - (float(base.width.value) - 2
                                                 * wall) == pytest.approx(ease, abs=1e-9)
    assert (float(lid.height.value) - 2 * lip) - (float(base.height.value) - 2
                                                  * wall) == pytest.approx(ease, abs=1e-9)
    assert ease >= 4 * thick


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_roof_of_the_carrier_closes(system):
    """The ridge stands √(r² − (d/2)²) above the eaves, over the middle, and the gables reach half a gable's
    width in under it.
    """
    roof, side, wall, front = values("gable-carrier", system, "roof", "side", "wall", "front")
    piece, = on_shelf("gable-carrier").folds[system].pieces
    corners = np.concatenate([piece.corners(k) for k in range(len(piece.flat.panels))])
    above = corners[:, 1] - corners[:, 1].min()
    tips = corners[np.isclose(above, wall + np.sqrt(roof ** 2 - side ** 2 / 4), atol=1e-5)]
    assert len(tips) >= 8 and np.ptp(tips[:, 2]) < 1e-5       # the ridge is one line, over the middle
    assert sorted(set(np.round(tips[:, 0] - tips[:, 0].min(),
                               4))) == pytest.approx([0, side / 2, front - side / 2, front], abs=1e-3)


def test_the_halves_of_the_handle_stand_back_to_back():
    """Neither fold nor glue joins them; their printed sides are outside, so one lies beyond the plain side of
    the other.
    """
    plan, (piece,) = on_shelf("gable-carrier").plans["in"], on_shelf("gable-carrier").folds["in"].pieces
    way = FoldMotion(plan, piece)
    tops = {max(float(y) for _, y in panel.polygon.exterior.coords) for panel in piece.flat.panels}
    front, back = [p.id for p in piece.flat.panels if p.polygon.bounds[3] == max(tops)]
    lifts = LayerOrder(way, printed_up=True).lifts(way.stages[-1], range(len(piece.flat.panels)))
    apart = lifts.get(front, 0.0) * piece.normal(front) - lifts.get(back, 0.0) * piece.normal(back)
    assert apart @ piece.normal(front) == pytest.approx(LAYER_DISTANCE)


def swollen(face: float, body: float, bulge: float) -> float:
    """What a pouch with circular curves encloses, mm³: under a face that rises to f(s), from end to end,
    twice.

    Arc of a circle over a chord, r = (c²/4 + b²)/2b; the flat card keeps its length, dx = √(1 − f′²) ds
    (elementary calculus).
    """
    radius = (face ** 2 / 4 + bulge ** 2) / (2 * bulge)

    def slice_at(s: float) -> float:
        """Twice the height of the face at s from its middle, times its length there, times dx/ds."""
        high = np.sqrt(radius ** 2 - s ** 2) - radius + bulge
        return 2 * high * (body - 2 * high) * np.sqrt(1 - s ** 2 / (radius ** 2 - s ** 2))

    places, weights = np.polynomial.legendre.leggauss(60)
    return float(face / 2 * weights @ slice_at(face / 2 * places))


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_volume_of_the_pouch(system):
    """An integral over the plan, and the divergence theorem (∮ z dx dy) over the triangles of the bent card,
    tell the same room.
    """
    face, body, bulge = values("soap-pouch", system, "face", "body", "bulge")
    piece, = on_shelf("soap-pouch").folds[system].pieces
    skin = piece.surface
    own = skin.flat[skin.triangles].mean(axis=1)[:, 0] < 2 * face      # all but the tab
    a, b, c = skin.points[skin.triangles[own]].transpose(1, 0, 2)
    leaning = np.cross(b - a, c - a)[:, 2] / 2
    meshed = abs(float((leaning * (a + b + c)[:, 2] / 3).sum()))
    assert meshed == pytest.approx(swollen(face, body, bulge), rel=0.02)
    assert piece.dimensions.volume == pytest.approx(swollen(face, body, bulge), rel=5e-4)
    assert skin.strain[0] <= 0.005 and skin.strain[1] <= 0.02


def test_the_tuck_of_the_carton_goes_in():
    """In the finished carton it lies behind the front, on the side of the axis; so the window is all there is
    to see there.
    """
    plan, (piece,) = on_shelf("window-carton").plans["in"], on_shelf("window-carton").folds["in"].pieces
    way = FoldMotion(plan, piece)
    panels = piece.flat.panels
    tuck = max(panels, key=lambda p: p.polygon.bounds[1]).id
    front = next(p.id for p in panels if p.polygon.interiors)
    lifts = LayerOrder(way, printed_up=True).lifts(way.stages[-1], range(len(panels)))
    inwards = np.concatenate([piece.corners(k)
                              for k in range(len(panels))]).mean(axis=0) - piece.corners(front).mean(axis=0)
    gap = lifts.get(tuck, 0.0) * piece.normal(tuck) - lifts.get(front, 0.0) * piece.normal(front)
    assert abs(piece.normal(tuck) @ piece.normal(front)) > 0.999 and gap @ inwards > 0


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_hinged_lid_goes_over_the_base(system):
    """Shut, lid and base are the blank less its walls and rims: the lid is a gap wider at both sides and in
    front, level with the rim (sums).
    """
    long, wide, wall, lip, gap = values("hinged-box", system, "long", "wide", "wall", "lip", "gap")
    piece = next(p for p in on_shelf("hinged-box").folds[system].pieces if p.name == "blank")
    root = linkage(piece.flat).root
    frame = np.linalg.inv(piece.frames[root])
    inside = [piece.corners(k) @ frame[:3, :3].T + frame[:3, 3] for k in range(len(piece.flat.panels))]
    lid = np.concatenate([xyz for xyz, panel in zip(inside, piece.flat.panels, strict=True)
                          if panel.polygon.centroid.y > 2 * wall + wide])
    base = np.concatenate([xyz for xyz, panel in zip(inside, piece.flat.panels, strict=True)
                           if panel.polygon.centroid.y < 2 * wall + wide])
    assert np.ptp(base, axis=0) == pytest.approx((long, wide, wall), abs=1e-6)
    assert np.ptp(lid, axis=0) == pytest.approx((long + 2 * gap, wide + gap, lip), abs=1e-6)
    assert base[:, 1].min() - lid[:, 1].min() == pytest.approx(gap, abs=1e-6)
    assert np.abs(lid[:, 2]).max() == pytest.approx(np.abs(base[:, 2]).max(), abs=1e-6)
