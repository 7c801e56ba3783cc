"""All pieces of a step are drawn to one scale, measured in the pictures that were written."""
from __future__ import annotations

import re

import numpy as np
import pytest
from lxml import etree

from generator.drawing import step_pictures, svg
from generator.paper.records import Plan
from tests.tutorial.site_tutorials import SHELF, on_shelf


def paper_extent(picture) -> tuple[float, float]:
    """Width and height of the paper in the written picture, in its mm, smaller first."""
    root = etree.fromstring(svg(picture.recording, "t", "d", "k").encode())
    (paper,) = root.xpath("//*[@class='g-paper']")
    xy = np.array([re.findall(r"-?[\d.]+", each)[:2] for path in paper.iter("{*}path")
                   for each in re.findall(r"[ML][^A-Za-z]+", path.get("d"))], float)
    return tuple(sorted(np.ptp(xy, axis=0)))


def piece_extent(plan: Plan, name: str, step: int) -> tuple[float, float]:
    """Width and height of the piece before or after the step, whichever is larger, in mm."""
    (piece,) = [info.id for info in plan.pieces if info.name == name]
    states = [state for state in (plan.state(piece, before_step=step), plan.state(piece, after_step=step)) if state]
    sizes = [tuple(sorted((float(state.width.value), float(state.height.value)))) for state in states]
    return max(sizes)


@pytest.mark.parametrize("slug", SHELF)
def test_pieces_of_a_step_are_to_one_scale(slug):
    """But for a part that is shown large, which says so by its inset."""
    tutorial = on_shelf(slug)
    for step in range(1, 1 + max(act.step for act in tutorial.drawn.acts)):
        scales = {}
        for picture in step_pictures(tutorial.drawn, tutorial.plans[tutorial.other], step):
            root = etree.fromstring(svg(picture.recording, "t", "d", "k").encode())
            if root.xpath("//*[@class='g-paper']//path | //*[@class='g-paper']//*[local-name()='path']") and not (
                    root.xpath("//*[@class='g-where']")):
                drawn, real = paper_extent(picture), piece_extent(tutorial.drawn, picture.piece, step)
                scales[picture.key] = drawn[1] / real[1]
        assert not scales or max(scales.values()) == pytest.approx(min(scales.values()), rel=0.01), (step, scales)
