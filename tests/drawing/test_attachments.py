"""What is glued on, put round and threaded through is drawn: mats, liners, bands, ribbons with their bows."""
from __future__ import annotations

import re
from collections import Counter

import numpy as np
import pytest
import shapely
from lxml import etree
from shapely import Polygon

from generator.drawing.backends.svg import svg
from generator.drawing.folded.arrangement import side_by_side
from generator.drawing.folded.camera import Facet, box_centre, choose_camera
from generator.drawing.folded.contours import contours
from generator.drawing.folded.fold_pictures import fold_pictures, solid_builders
from generator.drawing.folded.hidden_lines import visible_areas
from generator.drawing.folded.projection import projected_areas
from generator.paper.records import Band
from tests.tutorial.site_tutorials import folded_of, on_shelf


def paths(slug: str, step: int) -> dict[str, str]:
    """Class → path data of the written picture after a step."""
    picture = fold_pictures(*folded_of(on_shelf(slug))).steps[step]
    root = etree.fromstring(svg(picture.recording, "t", "d", "k").encode())
    return {each.get("class"): each.get("d") for each in root.iter("{*}path") if each.get("class")}


def area(data: str) -> float:
    """The area of closed polygons in path data (absolute M, L and Z), those within others being holes."""
    rings = [Polygon(np.array(re.findall(r"-?[\d.]+", part), float).reshape(-1, 2))
             for part in data.split("Z") if part]
    total = Polygon()
    for ring in rings:
        total = total.symmetric_difference(ring)
    return float(total.area)


def side_areas(slug: str, step: int) -> dict[str, float]:
    """How much of the picture is the plain side, and how much the printed one, in mm²."""
    found: Counter[str] = Counter()
    for name, data in paths(slug, step).items():
        if name.split("-")[0] in ("plain", "printed"):
            found[name.split("-")[0]] += area(data)
    return found


def test_a_liner_covers_the_inside_of_its_envelope():
    """Of the open envelope only the border that the liner leaves free is plain, 5 mm of flaps of 80 mm."""
    found = side_areas("seed-envelope", 6)
    assert 0 < found["plain"] < 0.12 * found["printed"]


def test_a_mat_lies_in_its_lid():
    """Of the inside of the lid, 102 by 71 mm, all but 5 mm along its edges is the printed side of the mat."""
    (box,) = solid_builders(*folded_of(on_shelf("hinged-box")))
    (mat,) = [part for part in box.shape(box.stages[-2]).parts if isinstance(part, Facet)
              and np.allclose(sorted(np.linalg.norm(np.diff(part.corners, axis=0), axis=1))[-1], 92)]
    sides = np.linalg.norm(np.roll(mat.corners, -1, axis=0) - mat.corners, axis=1)
    assert sorted(sides) == pytest.approx([61, 61, 92, 92], abs=0.01)


def test_a_band_is_round_the_box_once_it_is_put_there():
    """As wide as it is cut, 35 mm, and as long but for its lap and the play that it is cut with."""
    (box,) = solid_builders(*folded_of(on_shelf("hinged-box")))
    before, after = ([part for part in box.shape(stage).parts if isinstance(part, Facet)
                      and len(part.corners) == 4 and np.linalg.norm(part.corners[2] - part.corners[1])
                      == pytest.approx(35, abs=0.01)] for stage in box.stages[-2:])
    (act,) = [act for act in box.plan.acts if isinstance(act.detail, Band)]
    length = max(float(box.plan.final_state(act.pieces[0]).width.value),
                 float(box.plan.final_state(act.pieces[0]).height.value)) - float(act.detail.lap.value)
    round_it = sum(np.linalg.norm(part.corners[1] - part.corners[0]) for part in after)
    assert not before and len(after) >= 4 and round_it == pytest.approx(length, abs=5)


@pytest.mark.parametrize(("slug", "step"), [("biscuit-bag", 13), ("gable-carrier", 12), ("soap-pyramid", 10),
                                            ("tea-caddy", 13), ("almond-pot", 13)])
def test_a_tied_ribbon_is_one_line_with_a_bow(slug, step):
    """Both loops and both ends of the bow meet in its knot: the line passes it four times."""
    builders = solid_builders(*folded_of(on_shelf(slug)))
    (ribbon,) = builders[0].shape(builders[0].stages[-1]).ribbons
    knots = Counter(map(tuple, ribbon.round(1)))
    assert knots.most_common(1)[0][1] == 4
    drawn = Counter(re.findall(r"-?[\d.]+ -?[\d.]+(?=[A-Z]|$)", paths(slug, step)["lace"]))
    assert drawn.most_common(1)[0][1] >= 3


def test_a_ribbon_that_gathers_later_is_not_tied_yet():
    """Both ends of the caddy's hang out of neighbouring holes, 30 mm from each other."""
    (caddy,) = solid_builders(*folded_of(on_shelf("tea-caddy")))
    (ribbon,) = caddy.shape(caddy.stages[-2]).ribbons
    assert np.linalg.norm(ribbon[0] - ribbon[-1]) == pytest.approx(30, abs=4)
    assert max(Counter(map(tuple, ribbon.round(1))).values()) == 1


def test_the_edge_of_a_tab_is_not_drawn_through_the_face_that_covers_it():
    """The pouch's tab reaches 12 mm under its back, as the source says; only its seam at the side is seen.

    No line of a picture passes within half a millimetre of the middle of its free edge.
    """
    plan, folded = folded_of(on_shelf("soap-pouch"))
    (pouch,) = solid_builders(plan, folded)
    flat = folded.pieces[0].surface.flat
    edge = np.flatnonzero(np.isclose(flat[:, 0], 202) & (np.abs(flat[:, 1] - 72.5) < 40))
    checked = 0
    for stage in pouch.stages[1:]:
        points = stage.surface.points[edge] @ pouch.turn.T
        solid = side_by_side([pouch.shape(stage)], 25.0)
        camera = choose_camera(solid, (), 25.0)
        whole = stage.surface.points @ pouch.turn.T
        seen, _ = camera.project(points - box_centre(whole) + box_centre(solid.points()))
        projections, silhouettes = projected_areas(solid, camera)
        drawn = contours(solid, camera, projections, visible_areas(projections, camera.distance), silhouettes)
        ink = shapely.union_all([shapely.linestrings(line.points) for line in drawn])
        assert len(seen) and shapely.distance(ink, shapely.points(seen)).min() > 0.5, stage.step
        checked += 1
    assert checked == 3
