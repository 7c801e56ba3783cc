"""All pieces of a step are to one scale, and no leader runs across them, measured in the written pictures."""
from __future__ import annotations

import re

import numpy as np
import pytest
from lxml import etree
from shapely import LineString, box

from generator.drawing.backends.svg import svg
from generator.drawing.steps.step_picture import overview_picture, step_pictures
from generator.paper.records import Plan
from tests.tutorial.site_tutorials import SHELF, on_shelf


def paper_extent(picture) -> tuple[float, float]:
    """Width and height of the paper in the written picture, in its mm, smaller first."""
    low, high = paper_box(etree.fromstring(svg(picture.recording, "t", "d", "k").encode()))
    return tuple(sorted(high - low))


def paper_box(root) -> tuple[np.ndarray, np.ndarray]:
    """Lower and upper corner of the box of the paper in a written picture."""
    (paper,) = root.xpath("//*[@class='g-paper']")
    xy = np.array([re.findall(r"-?[\d.]+", each)[:2] for path in paper.iter("{*}path")
                   for each in re.findall(r"[ML][^A-Za-z]+", path.get("d"))], float)
    return xy.min(axis=0), xy.max(axis=0)


def piece_extent(plan: Plan, name: str, step: int) -> tuple[float, float]:
    """Width and height of the piece before or after the step, whichever is larger, in mm."""
    (piece,) = [info.id for info in plan.pieces if info.name == name]
    states = plan.state(piece, before_step=step), plan.state(piece, after_step=step)
    sizes = [(float(state.width.value), float(state.height.value)) for state in states if state]
    return max((min(size), max(size)) for size in sizes)


@pytest.mark.parametrize("slug", SHELF)
def test_pieces_of_a_step_are_to_one_scale(slug):
    """But for a part that is shown large, which says so by its inset."""
    tutorial = on_shelf(slug)
    for step in range(1, 1 + max(act.step for act in tutorial.drawn.acts)):
        scales = {}
        for picture in step_pictures(tutorial.drawn, tutorial.plans[tutorial.other], step):
            root = etree.fromstring(svg(picture.recording, "t", "d", "k").encode())
            paper, inset = (root.xpath(f"//*[@class='g-{name}']//*[local-name()='path']")
                            for name in ("paper", "where"))
            if paper and not inset:
                drawn, real = paper_extent(picture), piece_extent(tutorial.drawn, picture.piece, step)
                scales[picture.key] = drawn[1] / real[1]
        assert np.ptp(list(scales.values()) or [0]) < 0.01, (step, scales)


@pytest.mark.parametrize(("slug", "step"), [("window-carton", 5), ("biscuit-bag", 7), ("biscuit-bag", 10),
                                            ("gable-carrier", 8), ("soap-pyramid", 6), ("ring-of-wedges", 4)])
def test_no_leader_runs_across_the_net(slug, step):
    """Lines to words and to measures over the box of the paper: a third of its shorter side at most.

    Only the pyramid's measures, whose net is a star in that box, have to go in to the middle.
    """
    tutorial = on_shelf(slug)
    for picture in step_pictures(tutorial.drawn, tutorial.plans[tutorial.other], step):
        root = etree.fromstring(svg(picture.recording, "t", "d", "k").encode())
        low, high = paper_box(root)
        kinds = {"leader"} if slug == "soap-pyramid" else {"leader", "measure"}
        for data in [each.get("d") for each in root.iter("{*}path") if each.get("class") in kinds]:
            for part in data.split("M")[1:]:
                line = LineString(np.array(re.findall(r"-?[\d.]+", part), float).reshape(-1, 2))
                assert line.intersection(box(*low, *high)).length <= (high - low).min() / 3, part


@pytest.mark.parametrize("slug", SHELF)
def test_no_line_runs_across_the_paper_where_there_is_room_beside_it(slug):
    """From the nearer side to what stands in the very middle it is half-way; nothing runs farther, anywhere.

    Lines to words and to measures, in every picture of a step and of a finished blank.
    """
    tutorial = on_shelf(slug)
    other = tutorial.plans[tutorial.other]
    pictures = [picture for step in range(1, 1 + max(act.step for act in tutorial.drawn.acts))
                for picture in step_pictures(tutorial.drawn, other, step)]
    pictures += [overview_picture(tutorial.drawn, other, info.id) for info in tutorial.drawn.pieces
                 if not info.is_ribbon]
    for picture in pictures:
        root = etree.fromstring(svg(picture.recording, "t", "d", "k").encode())
        if not root.xpath("//*[@class='g-paper']//*[local-name()='path']"):
            continue
        low, high = paper_box(root)
        for data in [each.get("d") for each in root.iter("{*}path")
                     if each.get("class") in ("leader", "measure")]:
            for part in data.split("M")[1:]:
                line = LineString(np.array(re.findall(r"-?[\d.]+", part), float).reshape(-1, 2))
                xy = np.array(line.intersection(box(*low, *high)).envelope.bounds).reshape(2, 2)
                if np.isfinite(xy).all():
                    assert (np.ptp(xy, axis=0) / (high - low)).max() < 0.55, (picture.key, part)
