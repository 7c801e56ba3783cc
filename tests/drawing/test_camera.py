"""The view of folded paper: perspective against a formula of its own, and where the reader is put."""
from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.drawing.folded.camera import Camera, Facet, Solid, choose_camera, newell_normal
from generator.geometry.tolerances import GRID
from tests.drawing.sample_solids import cube, prism

ANGLE = st.floats(-170, 170)
PITCH = st.floats(-80, 80)
PLACE = st.tuples(*[st.floats(-50, 50)] * 3)


def pinhole(point: np.ndarray, middle: np.ndarray, distance: float, yaw: float,
            pitch: float) -> tuple[np.ndarray, float]:
    """The textbook pinhole, by turning the world: about z until the eye is in front, about x until it is
    level; then similar triangles.
    """
    a, b = np.radians(-yaw), np.radians(pitch)
    about_z = np.array(((np.cos(a), -np.sin(a), 0), (np.sin(a), np.cos(a), 0), (0, 0, 1)))
    about_x = np.array(((1, 0, 0), (0, np.cos(b), -np.sin(b)), (0, np.sin(b), np.cos(b))))
    x, y, z = about_x @ about_z @ (point - middle)
    depth = distance + y
    return np.array((x, z)) * distance / depth, depth


@settings(deadline=None)
@given(PLACE, PLACE, ANGLE, PITCH)
def test_points_come_where_a_pinhole_throws_them(point, middle, yaw, pitch):
    """Place and depth agree with the pinhole camera, worked out another way."""
    camera = Camera(np.array(middle), 400.0, yaw, pitch)
    xy, near = camera.project(np.array([point]))
    wanted, depth = pinhole(np.array(point), np.array(middle), 400.0, yaw, pitch)
    assert xy[0] == pytest.approx(wanted, abs=GRID)
    assert 400.0 / near[0] == pytest.approx(depth)


@settings(deadline=None)
@given(PLACE, PLACE, ANGLE, PITCH)
def test_nearness_of_a_plane_changes_evenly_over_the_picture(one, other, yaw, pitch):
    """At every point of a plane the plane's own formula gives the nearness that projecting the
    point gives.
    """
    camera = Camera(np.zeros(3), 400.0, yaw, pitch, 1.3)
    normal = newell_normal(np.array(((0, 0, 0), (10, 2, 1), (-3, 9, 4))))
    point, step = np.array(one), np.cross(normal, np.array(other) + 1.0)
    if abs(camera.facing(point, normal)) < 0.05:
        return
    xy, near = camera.project(np.array((point, point + step / 50)))
    plane = camera.plane(point, normal)
    assert xy @ plane[:2] + plane[2] == pytest.approx(near, rel=1e-6)


def test_lengths_in_the_middle_keep_their_size():
    """A millimetre across the line of sight is so many millimetres of the picture as the scale says."""
    camera = Camera(np.array((5.0, 6.0, 7.0)), 250.0, 31.0, 27.0, 0.8)
    ends = camera.middle + np.outer((-10, 10), camera.axes[0])
    xy, _ = camera.project(ends)
    assert np.hypot(*(xy[1] - xy[0])) == pytest.approx(16.0)


def test_a_front_is_turned_a_little_and_no_two_walls_look_alike():
    """A third of the way to the next wall: 30° for a box, 15° for eight sides; the reader stands above the
    table.
    """
    turn = np.linspace(0, 2 * np.pi, 8, endpoint=False) + np.pi / 8
    ring = 40 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    for solid, step in ((cube(), 30.0), (prism(ring, 70.0), 15.0)):
        camera = choose_camera(solid)
        fronts = [abs((camera.yaw - f) % 360) for f in np.arange(0, 360, 3 * step)]
        assert min(min(f, 360 - f) for f in fronts) == pytest.approx(step, abs=0.2)
        assert 20 < camera.pitch < 45


def test_what_is_glued_is_turned_away():
    """Of eight equal walls the one that lies on a tab is not in front."""
    turn = np.linspace(0, 2 * np.pi, 8, endpoint=False) + np.pi / 8
    solid = prism(40 * np.stack([np.cos(turn), np.sin(turn)], axis=1), 70.0)
    for wall in range(2, 10):
        tab = Facet(solid.parts[wall].corners, "printed", lift=-0.2)
        camera = choose_camera(Solid((*solid.parts, tab), solid.lines))
        assert camera.facing(tab.corners.mean(axis=0), tab.normal) < 0


def test_a_wall_with_a_window_is_in_front():
    """Of the four equal walls of a box the reader sees the one that has been opened, whichever it is."""
    box = cube()
    for wall, part in enumerate(box.parts):
        if abs(part.normal[2]) < 0.1:
            middle = part.corners.mean(axis=0)
            opened = Facet(part.corners, part.up, (middle + (part.corners - middle) / 2,))
            camera = choose_camera(Solid((*box.parts[:wall], opened, *box.parts[wall + 1:]), box.lines))
            away = middle - box.points().mean(axis=0)
            assert camera.facing(middle, away / np.linalg.norm(away)) > 0.5


def test_places_that_are_no_numbers_are_refused():
    """Nothing is drawn of paper that lies nowhere."""
    broken = Facet(np.array(((0, 0, 0), (1, 0, 0), (1, np.nan, 0))), "plain")
    with pytest.raises(ValueError, match="not a number"):
        Solid((broken,)).points()
    with pytest.raises(ValueError, match="no paper"):
        Solid(()).points()


@pytest.mark.parametrize("noise", [-1e-12, 0.0, 1e-12])
def test_a_wall_in_the_middle_hangs_on_no_rounding(noise):
    """A wall through the middle of a box shows as much to either side: noise of its place turns no view."""
    corners = np.array(((-20, noise, 40), (20, noise, 40), (20, noise, 60), (-20, noise, 60)))
    middle = Facet(corners, "printed")
    plain = choose_camera(cube())
    assert choose_camera(Solid((*cube().parts, middle))).yaw == plain.yaw
