"""The way between stages: loops of folds stay closed, and bent sheets keep their lengths."""
from __future__ import annotations

import numpy as np
import pytest

from generator.folding.bending.equilibrium import green_strains
from generator.folding.bending.motion import SurfaceMotion, surface_motion
from generator.folding.stages import FoldMotion
from tests.tutorial.site_tutorials import on_shelf

# What is asked of a sheet that the product bends: half a per cent of length, root mean square over the sheet.
MOST = 0.005
# Card breaks at 2 to 4 % (from memory): no place of it may be stretched so far.
BREAKS = 0.02


def drawn(slug: str):
    tutorial = on_shelf(slug)
    return tutorial.drawn, tutorial.folds[tutorial.drawn_in].pieces[0]


@pytest.fixture(scope="module", params=["tea-caddy", "soap-pouch"])
def course(request) -> SurfaceMotion:
    plan, piece = drawn(request.param)
    made = surface_motion(plan, piece, {})
    assert made is not None and made.at[-1] == len(made.steps)
    return made


def test_a_bent_sheet_keeps_its_lengths_on_the_way(course):
    """At 91 places, between the key frames too, it bends and does not stretch, but where it snaps over."""
    corners = course.flat[course.triangles]
    area = np.abs(np.linalg.det(corners[:, 1:] - corners[:, :1]))
    for place in np.linspace(0, course.at[-1], 91):
        if any(low < place < high for low, high in course.bends):
            continue
        each = np.linalg.eigvalsh(green_strains(course.flat, course.triangles, course.cell(float(place))))
        assert np.sqrt(area @ (each ** 2).sum(axis=1) / area.sum()) < MOST, place
        assert np.abs(each).max() < BREAKS, place


def test_its_key_frames_are_shapes_that_paper_takes(course):
    """Root mean square over the sheet of a key frame: 0.5 %, above which a finding says that paper stretches.

    Between key frames points move evenly, and the sheet may be off by a little more.
    """
    corners = course.flat[course.triangles]
    one, other = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    area = np.abs(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]) / 2
    for place in course.at:
        each = np.linalg.eigvalsh(green_strains(course.flat, course.triangles, course.cell(float(place))))
        assert np.sqrt((area * (each ** 2).mean(axis=1)).sum() / area.sum()) < 0.005, place


@pytest.mark.parametrize("slug", ["tea-caddy", "soap-pouch"])
def test_the_way_ends_in_the_skin(slug):
    """Every point of the last frame is one of the skin, and the other way round."""
    plan, piece = drawn(slug)
    made, skin = surface_motion(plan, piece, {}), piece.surface.points
    last = made.placed(len(made.at) - 1)
    far = np.linalg.norm(last[:, None] - skin[None], axis=2)
    assert far.min(axis=1).max() < 1e-6 and far.min(axis=0).max() < 1e-6


def test_a_gathered_top_begins_in_the_planes_of_its_walls():
    """At place 0 the caddy's top stands upright.

    Its points lie as far from the axis as the walls do, or in their corners.
    """
    plan, piece = drawn("tea-caddy")
    made = surface_motion(plan, piece, {})
    apothem = made.points[0, :, 1]
    assert np.ptp(apothem) < 1e-9 and np.allclose(made.points[0, :, [0, 2]].T, made.flat, atol=1e-9)


def test_what_was_worked_out_is_kept():
    """A second call with the same mapping finds the frames in it, and they are the same."""
    plan, piece = drawn("tea-caddy")
    kept: dict[str, bytes] = {}
    first = surface_motion(plan, piece, kept)
    assert len(kept) == 1
    assert np.array_equal(surface_motion(plan, piece, kept).points, first.points) and len(kept) == 1


def test_a_pinched_top_is_not_stretched_between_its_key_frames_either():
    """At 91 places of the almond pot's way: root mean square over the sheet, as a finding measures it.

    At the tips that are pinched a few triangles are stretched by more.
    """
    plan, piece = drawn("almond-pot")
    made = surface_motion(plan, piece, {})
    corners = made.flat[made.triangles]
    area = np.abs(np.linalg.det(corners[:, 1:] - corners[:, :1]))
    for place in np.linspace(0, 1, 91):
        each = np.linalg.eigvalsh(green_strains(made.flat, made.triangles, made.cell(float(place))))
        assert np.sqrt(area @ (each ** 2).mean(axis=1) / area.sum()) < MOST, place


def test_a_pouch_has_a_shape_after_each_of_its_steps():
    """Sides folded, seam closed, one end pushed in, then the other: each keeps its lengths, as card does.

    Faces of 95 by 125 mm between flaps of 10 mm, as the source says. Before the seam the back stands off the
    front's edge; a curve is a fold only once its end is pushed in, and then its flaps stay within the pouch.
    """
    plan, piece = drawn("soap-pouch")
    stages = FoldMotion(plan, piece).stages
    flat = piece.surface.flat
    ends = flat[:, 1] < 10 - 1, flat[:, 1] > 135 + 1
    beyond = []
    for stage in stages:
        each = np.linalg.eigvalsh(green_strains(flat, piece.surface.triangles, stage.surface.points))
        assert np.sqrt((each ** 2).mean()) < MOST
        beyond.append([bool(np.abs(stage.surface.points[end, 1]).max() > 125 / 2 + 3) for end in ends])
    assert beyond == [[True, True], [True, True], [False, True], [False, False]]
    assert [len(stage.surface.marks) for stage in stages] == [4, 4, 2, 0]
    hem, edge = (np.flatnonzero((np.abs(flat[:, 0] - x) < 1e-6) & (np.abs(flat[:, 1] - 72.5) < 60))
                 for x in (0.0, 190.0))
    middles = [[stage.surface.points[row].mean(axis=0) for row in (hem, edge)] for stage in stages]
    gaps = [float(np.linalg.norm(one - other)) for one, other in middles]
    assert gaps[0] > 20 and max(gaps[1:]) < 1
