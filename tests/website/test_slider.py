"""The data of the fold slider: it says what folding says, in few bytes, the same each time."""
from __future__ import annotations

import json
import math
import re

import numpy as np
import pytest

from generator.drawing.folded.fold_pictures import solid_builders
from generator.drawing.folded.slider_data import PLAN_RESOLUTION, SURFACE_RESOLUTION, slider_data
from generator.folding.records import placed_points
from generator.locale import locale_for
from generator.website.downloads import slider_file, slider_view
from tests.tutorial.site_tutorials import folded_of, on_shelf
from tests.website.test_folded_pictures import BOX

BOXES = ["tea-caddy", "biscuit-box", "gable-carrier", "seed-envelope"]
# mm: panels are told to 1/1000 mm and angles to 1/10000 radian, over some 300 mm and several folds
CLOSE = 0.06


@pytest.fixture(scope="module")
def told():
    """``told(slug)``: the tutorial, its slides, and the data as a page reads it."""
    kept: dict[str, tuple] = {}

    def of(slug: str) -> tuple:
        if slug not in kept:
            tutorial = on_shelf(slug)
            made = slider_data(*folded_of(tutorial))
            kept[slug] = tutorial, made, json.loads(slider_file(made, (20.0, 30.0)).data)
        return kept[slug]
    return of


def folded(body: dict, place: float) -> dict[int, np.ndarray]:
    """Where the panels lie, from the data alone: a plain reading of it, with rotations by
    Rodrigues' formula.
    """
    rows = [row for row in body["angles"] if row[0] <= place + 1e-9]
    angles = np.array(rows[-1][1:]) / 10000
    frames = {body["root"]: np.eye(4)}
    for panel, parent, hinge, x, y, a, b in body["arms"]:
        k = np.array(((0, 0, b), (0, 0, -a), (-b, a, 0)))
        turn = np.eye(4)
        turn[:3, :3] += math.sin(-angles[hinge]) * k + (1 - math.cos(angles[hinge])) * k @ k
        origin = np.array((x, y, 0)) / PLAN_RESOLUTION
        turn[:3, 3] = origin - turn[:3, :3] @ origin
        frames[panel] = frames[parent] @ turn
    return frames


@pytest.mark.parametrize("slug", BOXES)
def test_it_tells_every_panel_and_fold(told, slug):
    """Each piece has its panels, hinges and free edges; the triangles of a panel have its area."""
    tutorial, made, data = told(slug)
    builders = solid_builders(*folded_of(tutorial))
    assert len(data["bodies"]) == len(builders) and data["places"] == len(made.steps)
    for body, builder in zip(data["bodies"], builders, strict=True):
        flat = builder.piece.flat
        assert len(body["panels"]) == len(flat.panels) and len(body["arms"]) == len(builder.motion.link.arms)
        assert sum(line[3] >= 0 for line in body["lines"]) == len(flat.hinges)
        assert sum(line[0] == 1 for line in body["lines"]) == len(flat.edges)
        for panel, (points, triangles) in zip(flat.panels, body["panels"], strict=True):
            corners = (np.array(points).reshape(-1, 2) / PLAN_RESOLUTION)[np.array(triangles).reshape(-1, 3)]
            one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
            areas = (one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]) / 2
            punched = sum(_area(xy) for _, where, xy in builder.punches if where == panel.id)
            assert areas.min() > -1e-3 and areas.sum() == pytest.approx(panel.polygon.area - punched, abs=0.5)


def _area(xy: np.ndarray) -> float:
    return abs(float((xy[:, 0] * np.roll(xy[:, 1], -1) - xy[:, 1] * np.roll(xy[:, 0], -1)).sum())) / 2


@pytest.mark.parametrize("slug", BOXES)
def test_every_stage_lies_where_folding_puts_it(told, slug):
    """At every place the corners of every panel are those of the stage, but for the rounding of the data."""
    tutorial, made, data = told(slug)
    for body, builder in zip(data["bodies"], solid_builders(*folded_of(tutorial)), strict=True):
        compared = 0
        for place, step in enumerate(made.steps, start=1):
            stage = next((s for s in builder.stages if s.step == step), None)
            if stage is None:
                continue
            frames = folded(body, place)
            for panel in builder.piece.flat.panels:
                if builder.is_firm(panel.id):
                    xy = np.asarray(panel.polygon.exterior.coords)
                    far = np.abs(placed_points(frames[panel.id], xy)
                                 - placed_points(stage.frames[panel.id], xy)).max()
                    assert far < CLOSE, (place, panel.id)
            compared += 1
        assert compared


def test_the_bent_sheet_ends_as_folding_bends_it(told):
    """The last key of the caddy's dome is its skin to a hundredth of a millimetre and its rounding."""
    tutorial, made, data = told("tea-caddy")
    skin, (builder,) = data["bodies"][0]["skin"], solid_builders(*folded_of(tutorial))
    assert skin["at"][0] == 4 and skin["at"][-1] == len(made.steps) and len(skin["points"]) == len(skin["at"])
    cell = np.sum(skin["points"], axis=0).reshape(3, -1).T / SURFACE_RESOLUTION
    seats = np.array(skin["seats"]).reshape(-1, 3, 4)
    points = np.concatenate([cell @ seat[:, :3].T + seat[:, 3] for seat in seats])
    far = np.linalg.norm(points[:, None] - builder.surface.points[None], axis=2)
    assert far.min(axis=1).max() < 2 / SURFACE_RESOLUTION and far.min(axis=0).max() < 2 / SURFACE_RESOLUTION
    assert len(skin["patch"]) == len(builder.surface.triangles) and skin["covers"] == sorted(
        {*builder.surface.panel.tolist()})


def test_the_same_plan_gives_the_same_bytes_and_another_one_another_name(told):
    """Worked out twice the file is the same; its name is made from its content, so no page meets an older
    one.
    """
    tutorial, made, _ = told("biscuit-box")
    one, two = (slider_file(each, (20.0, 30.0)) for each in (made, slider_data(*folded_of(tutorial))))
    assert one.data == two.data and one.name == two.name and re.fullmatch(r"fold-[0-9a-f]{12}\.json",
                                                                          one.name)
    assert slider_file(made, (25.0,
                              30.0)).name != one.name != slider_file(
                                  slider_data(*folded_of(on_shelf("seed-envelope"))), (20.0, 30.0)).name


def test_the_lid_has_a_place_of_its_own(told):
    """A lidded box ends with the lid over its base: one place more than steps, named as the finished piece;
    others end with a step.
    """
    tutorial, made, data = told("biscuit-box")
    view = slider_view(slider_file(made, (0.0, 30.0)), tutorial)
    assert data["lid"] == 1 and [stop.number for stop in view.stops] == [0, *made.steps, 0]
    assert view.stops[0].words == "Flat, before the first fold" and view.stops[
        -1].words == "The finished piece"
    assert view.ends == {step: place for place, step in enumerate(made.steps, start=1)}
    tutorial, made, data = told("tea-caddy")
    view = slider_view(slider_file(made, (0.0, 30.0)), tutorial)
    assert data["lid"] == -1 and view.stops[-1].anchor == next(s.anchor for s in tutorial.steps
                                                               if s.number == made.steps[-1])


def test_the_build_puts_one_file_beside_the_page(project):
    """A page with a fold has the slider, its file and its name; the print view has none; a box never folded
    has neither.
    """
    assert project.build().exit_code == 0
    assert not list(project.site.rglob("fold-*.json")) and not project.page("soap-sleeve/index.html").xpath(
        "//*[@id='the-folding']")
    text = project.source.read_text(encoding="utf-8")
    project.source.write_text(text.replace("every(panel, 2)",
                                           "every(panel, 4)").replace("2*panel + tab", "4*panel + tab")
                              .replace("panel: 60 mm", "panel: 40 mm").replace("2 3/8 in", "1 5/8 in") + BOX,
                              encoding="utf-8")
    assert project.build().exit_code == 0
    (file,) = project.site.rglob("fold-*.json")
    page = project.page("soap-sleeve/index.html")
    (control,) = page.xpath("//*[@id='the-folding']")
    assert (project.site / "soap-sleeve" / control.get("data-fold")) == file
    assert [o.get("label") for o in page.xpath("//datalist[@id='the-fold-stops']/option")] == [
        "Flat, before the first fold", "Fold it"]
    assert len(page.xpath("//*[contains(@class, 'fold-this')]//button")) == 1
    assert not project.page("soap-sleeve/print/index.html").xpath(
        "//*[contains(@class, 'fold')][not(self::figure)]")


def test_every_string_is_said_in_german():
    """Nothing of the slider is left in English."""
    for key in ("slider", "flat", "back", "next", "left", "right", "picture", "show", "part", "bends",
                "failed"):
        assert locale_for("de").say(f"website.fold_{key}") != locale_for("en").say(f"website.fold_{key}")
