"""Pictures of folded paper in whole tutorials: which steps have one, what they say, and how large
they are.
"""
from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from lxml import etree

from generator.drawing.backends.svg import svg
from generator.drawing.folded.camera import BentPart, Facet
from generator.drawing.folded.fold_pictures import fold_pictures
from generator.drawing.folded.solid_builder import SolidBuilder
from generator.folding.records import BentSurface, placed_points
from generator.folding.stages import FoldStage
from tests.tutorial.site_tutorials import folded_of, on_shelf
from tests.tutorial.small_source import tutorial_of

STEPS = {"caddy": [6, 7, 8], "envelope": [5, 6], "lidded-box": [6, 7], "ornament": [3, 4, 5], "tray": [3]}


@pytest.fixture(scope="module")
def drawn():
    """The pictures of every small source."""
    return {name: fold_pictures(*folded_of(tutorial_of(name))) for name in STEPS}


@pytest.mark.parametrize("name", STEPS)
def test_steps_that_move_paper_have_a_picture(drawn, name):
    """They and no others: cutting, scoring and naming move nothing."""
    assert list(drawn[name].steps) == STEPS[name] and drawn[name].finished is not None


@pytest.mark.parametrize("name", STEPS)
def test_every_picture_stays_below_25_kb(drawn, name):
    """As issue and page allow, each with a title and a description."""
    for picture in (drawn[name].finished, *drawn[name].steps.values()):
        text = svg(picture.recording, picture.title, picture.description, picture.key, kind=picture.kind)
        assert len(text.encode()) <= 25_000 and picture.title and picture.description
        assert picture.recording.width == 96.0 and 10 < picture.recording.height <= 97


def test_nothing_is_drawn_of_paper_that_nothing_closes():
    """A sheet with folds that no glue or seam settles has no finished picture: nobody knows how far it is
    folded.
    """
    tutorial = tutorial_of("tray")
    pieces = tuple(replace(p, judged=False) for p in tutorial.folds["mm"].pieces)
    unsettled = replace(tutorial, folds={"mm": replace(tutorial.folds["mm"], pieces=pieces)})
    assert fold_pictures(*folded_of(unsettled)).finished is None and not fold_pictures(
        *folded_of(unsettled)).steps
    assert fold_pictures(*folded_of(replace(tutorial, folds={}))).finished is None


def test_the_words_tell_what_is_seen(drawn):
    """A closed ball and an envelope show the printed side only; a lid is raised above its base; a top that is
    not gathered yet is owned up to.
    """
    assert "The printed side is outside." in drawn["ornament"].finished.description
    assert "The printed side is outside." in drawn["envelope"].finished.description
    assert "base and lid raised above it" in drawn["lidded-box"].finished.description
    assert "lid beside it" in drawn["lidded-box"].steps[6].description
    assert "A ribbon runs through its holes." in drawn["caddy"].steps[8].description
    assert "ribbon" not in drawn["caddy"].steps[7].description


def scored_lines(picture) -> int:
    """How many lines of the written picture are drawn as scores that are not folded."""
    root = etree.fromstring(svg(picture.recording, "t", "d", "k").encode())
    return sum((each.get("d") or "").count("M") for each in root.iter()
               if "flat-score" in (each.get("class") or "").split())


@pytest.mark.parametrize(("slug", "folded", "unfolded"),
                         [("tea-caddy", 13, 8), ("almond-pot", 13, 6), ("biscuit-bag", 10, 10),
                          ("gable-carrier", 9, 0)])
def test_a_score_that_was_folded_once_is_not_drawn_as_not_folded(slug, folded, unfolded):
    """From one step on none is; before it the shoulder of caddy and pot, a line a panel; the bag's base."""
    steps = fold_pictures(*folded_of(on_shelf(slug))).steps
    found = {step: scored_lines(picture) for step, picture in steps.items()}
    assert all(0 < count <= unfolded if step < folded else count == 0 for step, count in found.items()), found


def builder(name: str, piece: int = 0) -> SolidBuilder:
    tutorial = tutorial_of(name)
    return SolidBuilder(tutorial.drawn, tutorial.folds[tutorial.drawn_in].pieces[piece])


def test_a_finished_shape_stands_on_the_table():
    """Its floor is at 0, it lies over the origin, and is as high as folding says."""
    for name, high in (("tray", 40.0), ("ornament", 66.810982)):
        made = builder(name)
        points = made.shape(made.stages[-1]).points()
        assert points[:, 2].min() == pytest.approx(0.0, abs=1e-9)
        assert np.ptp(points[:, 2]) == pytest.approx(high, abs=1e-4)
        assert (points.min(axis=0) + points.max(axis=0))[:2] == pytest.approx((0.0, 0.0), abs=1e-9)


def corners(made: SolidBuilder, stage: FoldStage) -> list[np.ndarray]:
    """The corners of every panel at a stage, in space."""
    return [placed_points(stage.frames[panel.id], np.asarray(panel.polygon.exterior.coords)[:-1])
            for panel in made.piece.flat.panels]


def test_frames_of_the_way_follow_each_other():
    """A little of the way moves every corner a little, no corner jumps, and panels keep their corners."""
    made = builder("tray")
    flat, last = made.motion.flat, made.stages[-1]
    frames = [corners(made, made.motion.between(flat, last, share)) for share in np.linspace(0, 1, 41)]
    for one, other in pairwise(frames):
        assert len(one) == len(other) == 9
        assert max(float(np.linalg.norm(a - b, axis=1).max()) for a, b in zip(one, other, strict=True)) < 6.0
    assert all(np.allclose(a, b) for a, b in zip(frames[-1], corners(made, last), strict=True))
    between = made.motion.between(flat, last, 0.5)
    assert made.shape(between) is not made.shape(last)


def test_a_tab_lies_inside_and_a_pile_in_its_order():
    """The caddy's tab lies nearer the axis than its wall; of the flaps each lies beyond those glued before
    it.
    """
    made = builder("caddy")
    shape = made.shape(made.stages[-1])
    middle = shape.points().mean(axis=0)
    lifted = [part for part in shape.parts if isinstance(part, Facet) and part.lift]
    upright = [part for part in lifted if abs(part.normal[2]) < 0.1]
    assert len(upright) == 1
    tab = upright[0]
    assert part_lift(tab) @ (middle - tab.corners.mean(axis=0)) > 0
    flaps = sorted((part for part in lifted if abs(part.normal[2]) > 0.9), key=lambda part: abs(part.lift))
    # the first lies in its own plane
    assert len(flaps) == 7 and len({round(part.lift, 6) for part in flaps}) == 7
    assert all(part_lift(part)[2] < 0 for part in flaps)


def part_lift(part: Facet) -> np.ndarray:
    """Where a part is taken to lie, from where it is drawn."""
    return part.lift * part.normal


def test_a_skin_takes_the_place_of_the_panels_it_covers():
    """With a bent sheet for the crown the finished caddy has it, stages before the gathering have flat
    panels, and nothing is said to be upright.
    """
    tutorial = tutorial_of("caddy")
    piece = tutorial.folds["mm"].pieces[0]
    made = SolidBuilder(tutorial.drawn, replace(piece, surface=skin_of(piece)))
    before, after = (made.shape(stage) for stage in (made.stages[0], made.stages[-1]))
    assert not any(isinstance(part, BentPart) for part in before.parts)
    bent = [part for part in after.parts if isinstance(part, BentPart)]
    assert len(bent) == 8 and len(after.parts) == 8 + 17 and after.notes == ()
    picture = fold_pictures(tutorial.drawn, replace(tutorial.folds["mm"], pieces=(made.piece,))).finished
    assert "upright" not in picture.description
    text = svg(picture.recording, picture.title, picture.description, picture.key)
    assert len(text.encode()) <= 25_000


def skin_of(piece) -> BentSurface:
    """A made-up crown: over each wall a strip that leans in like a quarter of a tube."""
    walls = [p for p in piece.flat.panels if piece.placed[p.id] and not p.soft and p.polygon.bounds[1] > 39
             and p.polygon.bounds[0] < 239]
    soft = [p for p in piece.flat.panels if p.soft]
    flat, points, triangles, patch, panel = [], [], [], [], []
    for number, wall in enumerate(walls):
        x0, _, x1, top = wall.polygon.bounds
        first = len(flat)
        inner = next(p.id for p in soft if p.polygon.contains(p.polygon.representative_point())
                     and x0 < p.polygon.centroid.x < x1)
        for a in np.linspace(0, 1, 5):
            for b in np.linspace(0, 1, 7):
                foot = placed_points(piece.frames[wall.id], np.array(((x0 + a * (x1 - x0), top),)))[0]
                middle = np.mean([piece.corners(w.id).mean(axis=0) for w in walls], axis=0)
                up = piece.frames[wall.id][:3, 1]
                axis = middle + ((foot - middle) @ up) * up
                flat.append((x0 + a * (x1 - x0), top + 39 * b))
                points.append(axis + (foot - axis) * np.cos(b * np.pi / 2) + 25 * np.sin(b * np.pi / 2) * up)
        k = first + np.arange(35).reshape(5, 7)
        quads = (k[:-1, :-1].ravel(), k[1:, :-1].ravel(), k[1:, 1:].ravel(), k[:-1, 1:].ravel())
        rows = np.concatenate([np.stack((quads[0], quads[1], quads[2]), axis=1),
                               np.stack((quads[0], quads[2], quads[3]), axis=1)])
        triangles.append(rows)
        patch += [number] * len(rows)
        panel += [inner] * len(rows)
    panels = np.array(panel)
    panels[:len(soft)] = [p.id for p in soft]       # between them the strips cover every soft panel
    return BentSurface(np.array(flat), np.array(points), np.concatenate(triangles), np.array(patch), (), (),
                       panels, (0.0, 0.0))
