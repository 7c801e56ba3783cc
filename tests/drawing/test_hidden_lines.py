"""What is hidden in pictures of folded paper, counted against what geometry says."""
from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.drawing.folded.arrangement import side_by_side
from generator.drawing.folded.camera import Facet, LineKind, Solid, SpaceLine, choose_camera
from generator.drawing.folded.contours import contours
from generator.drawing.folded.fold_pictures import solid_builders
from generator.drawing.folded.hidden_lines import visible_areas
from generator.drawing.folded.projection import projected_areas
from generator.drawing.pen import Contour
from tests.drawing.ray_casting import seen_points
from tests.drawing.sample_solids import bent, closed, cube, looked_at, prism, tray, tube
from tests.time_limits import examples
from tests.tutorial.site_tutorials import folded_of, on_shelf

# upright, its front seen from -y
SQUARE = np.array(((-20, 0, 0), (20, 0, 0), (20, 0, 40), (-20, 0, 40)), float)


def drawn_share(solid, camera, lines, *kinds: Contour) -> np.ndarray:
    """For every edge of a solid the share of it that is drawn."""
    ink = shapely.union_all([shapely.linestrings(line.points) for line in lines
                             if line.contour in kinds]).buffer(0.03)
    edges = [shapely.linestrings(camera.project(course.points)[0]) for course in solid.lines]
    return np.array([edge.intersection(ink).length / edge.length for edge in edges])


@pytest.mark.parametrize("yaw", [20.0, 30.0, -35.0, 61.0])
def test_a_cube_shows_nine_of_its_twelve_edges(yaw):
    """In general position six make the outline, three meet in front, three are hidden; V − E + F =
    2 (Euler).
    """
    solid = cube()
    camera, sights, areas, lines = looked_at(solid, yaw)
    strong, fine = (drawn_share(solid, camera, lines, kind) for kind in (Contour.OUTLINE, Contour.CREASE))
    seen = drawn_share(solid, camera, lines, *Contour)
    assert (np.sort(seen)[:3] < 0.01).all() and (np.sort(seen)[3:] > 0.99).all()
    assert (strong > 0.95).sum() == 6 and (fine > 0.95).sum() == 3
    faces = sum(area.area > 0 for area in areas)
    corners = shapely.union_all([shapely.linestrings(line.points) for line in lines], grid_size=0.05)
    joints = {tuple(np.round(xy, 0)) for part in shapely.get_parts(corners)
              for xy in shapely.get_coordinates(part)[[0, -1]]}
    assert faces == 3 and len(joints) - 9 + (faces + 1) == 2


def test_a_tray_shows_its_inside_and_the_rim_strong():
    """Two walls from outside, two from inside and the floor; all four edges of the rim have something farther
    behind them.
    """
    solid = tray()
    camera, sights, areas, lines = looked_at(solid, 30.0, 40.0)
    shown = [sight.side for sight, area in zip(sights, areas, strict=True) if area.area > 1]
    assert sorted(shown) == ["plain"] * 3 + ["printed"] * 2
    rim = [k for k, course in enumerate(solid.lines) if (course.points[:, 2] == 15.0).all()]
    strong = drawn_share(solid, camera, lines, Contour.OUTLINE)
    assert len(rim) == 4 and (strong[rim] > 0.99).all()


def test_what_lies_behind_is_not_seen():
    """A smaller square behind a larger one leaves neither area nor line; before it, it hides its own part."""
    small = SQUARE * 0.5 + (0, 10, 10)
    for shift, left in (((0, 0, 0), False), ((0, -20, 0), True)):
        behind = Facet(small + shift, "plain")
        edges = tuple(SpaceLine(LineKind.EDGE, np.array((a, b)), (1,)) for a,
                      b in zip(behind.corners, np.roll(behind.corners, -1, axis=0), strict=True))
        solid = Solid((Facet(SQUARE, "printed"), behind), edges)
        camera, sights, areas, lines = looked_at(solid, 0.0, 0.0)
        assert (areas[1].area > 0) is left and bool(lines) is left
        whole = sights[0].shape.area
        assert areas[0].area == pytest.approx(whole - sights[1].shape.area * left, rel=1e-3)


@pytest.mark.parametrize("lift", [-0.12, -0.96])
def test_a_tab_does_not_shine_through(lift):
    """Glued flush behind a wall it is hidden from the front with all its edges, and seen whole from behind;
    the lift moves nothing.
    """
    tab = Facet(SQUARE * (0.4, 1, 0.6) + (0, 0, 8), "printed", lift=lift)
    edges = tuple(SpaceLine(LineKind.EDGE, np.array((a, b)), (1,)) for a,
                  b in zip(tab.corners, np.roll(tab.corners, -1, axis=0), strict=True))
    solid = Solid((Facet(SQUARE, "printed"), tab), edges)
    _, sights, areas, lines = looked_at(solid, 20.0)
    assert areas[1].area == 0 and not lines
    _, sights, areas, lines = looked_at(solid, 200.0)
    assert areas[1].area == pytest.approx(sights[1].shape.area, rel=1e-3)
    assert lines and all(line.contour is Contour.CREASE for line in lines)


def test_paper_that_crosses_hides_each_other_in_part():
    """Two squares that pass through each other: of each exactly the half before the other is seen."""
    other = SQUARE[:, [1, 0, 2]]        # stands across the first, in the same middle
    _, sights, areas, _ = looked_at(Solid((Facet(SQUARE, "printed"), Facet(other, "printed")), ()), 45.0, 0.0,
                                    4000.0)
    shares = [area.area / sight.shape.area for sight, area in zip(sights, areas, strict=True)]
    assert shares == pytest.approx([0.5, 0.5], abs=0.01)


def test_a_round_tube_has_two_silhouettes():
    """Besides its rims two straight outlines, as far apart as a cylinder of this radius looks; no line where
    triangles meet.
    """
    camera, _, _, lines = looked_at(tube(), 0.0, 0.0, 3000.0)
    sides = [line for line in lines if np.ptp(line.points[:, 1]) > 40]
    assert len(sides) == 2 and all(line.contour is Contour.OUTLINE for line in sides)
    at = sorted(float(line.points[:, 0].mean()) for line in sides)
    assert at == pytest.approx([-30.0, 30.0], abs=0.25)     # tangents from far away touch at the full radius
    rims = [line for line in lines if np.ptp(line.points[:, 1]) <= 40]
    assert all(abs(abs(line.points[:, 1].mean()) - 30) < 1 for line in rims)


def test_a_half_tube_hides_its_far_side_behind_its_near_one():
    """A part that bends over itself: from the front above, its outside and a little of its inside, and one
    silhouette on top.
    """
    part = bent(lambda u, v: (30 * np.cos(np.pi * u), 80 * v, 30 * np.sin(np.pi * u)), 25, 5, "plain")
    _, sights, areas, lines = looked_at(Solid((part,), ()), 60.0, 20.0)
    assert {sight.side for sight, area in zip(sights, areas, strict=True)
            if area.area > 1} == {"plain", "printed"}
    both = shapely.union_all(areas)
    # nothing is painted twice
    assert both.area == pytest.approx(sum(area.area for area in areas), rel=1e-3)
    assert both.area == pytest.approx(shapely.union_all([sight.shape for sight in sights]).area, rel=0.01)


@st.composite
def convex(draw):
    """Prisms and pyramids over rings of the plane, stretched and sheared: closed and convex."""
    turns = sorted(draw(st.lists(st.floats(0, 6.2), min_size=4, max_size=9, unique_by=lambda t: round(t, 1))))
    ring = shapely.get_coordinates(shapely.convex_hull(shapely.multipoints([(40 * np.cos(t), 40 * np.sin(t))
                                                                            for t in turns])))[:-1][::-1]
    if len(ring) < 3 or shapely.Polygon(ring).area < 400:
        ring = np.array(((-30, -30), (30, -30), (30, 30), (-30, 30)), float)
    ring = ring if shapely.Polygon(ring).exterior.is_ccw else ring[::-1]
    high, n = draw(st.floats(15, 60)), len(ring)
    if draw(st.booleans()):
        solid = prism(ring, high)
    else:
        tip = np.array((*ring.mean(axis=0), high))
        solid = closed(np.array([*((*xy, 0.0) for xy in ring), tip]),
                       (tuple(range(n))[::-1], *((k, (k + 1) % n, n) for k in range(n))))
    shear = np.eye(3) + 0.3 * np.array(draw(st.lists(st.floats(-1, 1), min_size=9, max_size=9))).reshape(3, 3)
    return replace(solid, parts=tuple(replace(p, corners=p.corners @ shear.T) for p in solid.parts),
                   lines=tuple(replace(c, points=c.points @ shear.T) for c in solid.lines))


@settings(deadline=None, max_examples=examples(40))
@given(convex(), st.floats(-170, 170), st.floats(5, 60))
def test_of_a_convex_solid_those_faces_are_seen_that_face_the_eye(solid, yaw, pitch):
    """Each of them whole, none of the others, and only their edges are drawn."""
    camera, sights, areas, lines = looked_at(solid, yaw, pitch)
    seen = {sight.part: area.area / sight.shape.area for sight, area in zip(sights, areas, strict=True)
            if sight.shape.area > 5}
    facing = [camera.facing(p.corners.mean(axis=0), p.normal) for p in solid.parts]
    for number, cosine in enumerate(facing):
        if cosine > 0.05:
            assert seen.get(number, 1.0) == pytest.approx(1.0, abs=0.02)
        elif cosine < -0.05:
            assert seen.get(number, 0.0) < 0.05
    edges = [shapely.linestrings(camera.project(course.points)[0]) for course in solid.lines]
    behind = [all(facing[p] < -0.05 for p in course.parts) for course in solid.lines]
    shown = shapely.union_all([edge for edge, hidden in zip(edges, behind, strict=True)
                               if not hidden]).buffer(0.3)
    ink = shapely.union_all([shapely.linestrings(line.points) for line in lines])
    assert ink.difference(shown).length < 0.5       # no line but those of edges that can be seen


def shown_through(solid, camera, lines) -> float:
    """How many mm of lines of a picture lie where the eye sees no line of the solid."""
    seen = shapely.STRtree(shapely.points(camera.project(seen_points(solid, camera.eye))[0]))
    wrong = 0.0
    for line in lines:
        course = shapely.linestrings(line)
        places = shapely.line_interpolate_point(course, np.arange(0.5, max(course.length, 0.6), 0.5))
        found = np.unique(seen.query(places, predicate="dwithin", distance=0.6)[0])
        wrong += 0.5 * (len(places) - len(found))
    return wrong


@pytest.mark.parametrize("slug", ["hinged-box", "seed-envelope", "soap-tray", "tea-drawer", "window-carton"])
def test_no_line_is_drawn_through_what_covers_it(slug):
    """Every line of every picture lies where a ray from the eye meets a line before it meets other paper.

    Were all lines drawn, many would not: rays find them.
    """
    everything = 0.0
    for solid, camera in solids_of(slug):
        projections, silhouettes = projected_areas(solid, camera)
        areas = visible_areas(projections, camera.distance)
        drawn = [line.points for line in contours(solid, camera, projections, areas, silhouettes)]
        assert shown_through(solid, camera, drawn) < 1.0
        everything += shown_through(solid, camera, [camera.project(line.points)[0] for line in solid.lines])
    assert everything > 20


def solids_of(slug: str):
    """Each shape that the pictures of a tutorial show, and a camera for it."""
    for builder in solid_builders(*folded_of(on_shelf(slug))):
        for stage in builder.stages:
            solid = side_by_side([builder.shape(stage)], 25.0)
            yield solid, choose_camera(solid, (), 25.0)
