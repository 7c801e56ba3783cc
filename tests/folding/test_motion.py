"""The way between stages: loops of folds stay closed, and bent sheets keep their lengths."""
from __future__ import annotations

import numpy as np
import pytest

from generator.folding.bending.equilibrium import green_strains
from generator.folding.bending.motion import SurfaceMotion, surface_motion
from generator.folding.stages import MOTION_PARTS, FoldMotion, angles_between
from tests.tutorial.site_tutorials import on_shelf

# Card breaks at 2 to 4 % (from memory): so much may a picture on the way be off, where no key frame stands.
MOST = 0.02


def drawn(slug: str):
    tutorial = on_shelf(slug)
    return tutorial.drawn, tutorial.folds[tutorial.drawn_in].pieces[0]


@pytest.fixture(scope="module", params=["tea-caddy", "soap-pouch"])
def course(request) -> SurfaceMotion:
    plan, piece = drawn(request.param)
    made = surface_motion(plan, piece, {})
    assert made is not None and made.at[-1] == len(made.steps)
    return made


def apart(way: FoldMotion, angles: np.ndarray) -> float:
    """By how much the panels beside a fold that closes a loop have come apart, in mm."""
    frames = way.link.frames(angles)
    ends = [(np.array([(*p, 0.0, 1.0) for p in (h.start, h.end)]), h) for h in way.link.spare]
    return max(float(np.abs(xyz @ (frames[h.left] - frames[h.right]).T).max()) for xyz, h in ends)


def test_gussets_stay_closed_all_the_way():
    """The carrier's roof.

    Turned evenly its paper would come apart by more than 10 mm, and half-way between two rows it stays within
    1 mm.
    """
    way = FoldMotion(*drawn("gable-carrier"))
    assert len(way.link.spare) >= 4
    rows = angles_between(way, way.flat, way.stages[0])
    assert len(rows) == MOTION_PARTS + 1 and np.allclose(rows[0],
                                                         0) and np.allclose(rows[-1], way.stages[0].angles)
    assert apart(way, way.stages[0].angles / 2) > 10
    assert max(apart(way, row) for row in rows) < 1e-4
    assert max(apart(way, (one + other) / 2) for one, other in zip(rows, rows[1:], strict=False)) < 1.0


def test_where_nothing_loops_two_rows_are_enough():
    """Of a lidded box every fold turns evenly."""
    way = FoldMotion(*drawn("biscuit-box"))
    assert not way.link.spare and len(angles_between(way, way.flat, way.stages[0])) == 2


def test_a_bent_sheet_keeps_its_lengths_on_the_way(course):
    """At the key frames and between them no triangle is stretched or squeezed more than card bears."""
    for place in np.linspace(0, course.at[-1], 45):
        each = np.abs(np.linalg.eigvalsh(green_strains(course.flat, course.triangles,
                                                       course.cell(float(place)))))
        assert each.max() < MOST, place


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
