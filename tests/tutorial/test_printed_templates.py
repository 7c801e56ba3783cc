"""The printed pages of every tutorial's template, laid together by their marks, give its pieces back."""
from __future__ import annotations

import numpy as np
import pytest

from generator.drawing.backends.pdf import pdf
from generator.drawing.recording import Recording
from generator.drawing.templates.documents import template_pages
from generator.drawing.templates.page import Page, PageHeading, PlacedDrawing, TemplateFace
from generator.drawing.templates.plan import PRICK_RING_RADIUS, true_size_piece
from generator.drawing.templates.processes import piece_as_laid, processed_piece, template_pieces
from generator.drawing.templates.tiling import tiling
from generator.geometry import Circle, Line
from tests.drawing.templates import pdf_reader
from tests.drawing.templates.test_tiling import placed, reference
from tests.tutorial.site_tutorials import SHELF, on_shelf

FINE = 0.01     # mm


class Unpunched:
    """A page of which holes as large as an alignment mark are not taken for one."""

    def __init__(self, page, holes) -> None:
        self.segments, self._page, self._holes = page.segments, page, holes

    def rings(self, radius: float) -> list:
        return [ring for ring in self._page.rings(radius)
                if not len(self._holes) or np.hypot(*(self._holes - np.array(ring)).T).min() > 1]


def corner(tile, tiles) -> np.ndarray:
    """Where the plan's origin lies on the page of a tile."""
    window = tiles.leaf.window
    return np.array((window.x0 + (window.width - tile.box.width) / 2 - tile.box.x0,
                     window.y0 + (window.height - tile.box.height) / 2 - tile.box.y0))


HOUSEHOLDS = (("mm", "a4"), ("in", "letter"))


@pytest.mark.parametrize("slug", SHELF)
def test_pages_laid_together_give_every_piece_back(slug):
    """Each corner of each outline lies on a line of the pages, moved from mark to mark, to 0.01 mm; read by
    pdfplumber.
    """
    checked = 0
    for system, paper in HOUSEHOLDS:
        plan = on_shelf(slug).plans[system]
        for info in template_pieces(plan):
            made = true_size_piece(plan, info.id, TemplateFace.INSIDE)
            tiles = tiling(made.box, paper, made.features)
            pages = pdf_reader.read(pdf("x",
                                        template_pages([made], PageHeading("A box", system, "ABC123", paper,
                                                                           TemplateFace.INSIDE))))[1:]
            holes = np.array([[float(c) for c in run.center] for mark in plan.state(info.id).marks
                              if mark.verb == "punch"
                              for run in mark.whole]).reshape(-1, 2)
            pages = [Unpunched(page, holes + corner(tile, tiles)) for page,
                     tile in zip(pages, tiles.tiles, strict=True)]
            corners = np.array([[float(c) for c in s.start]
                                for s in made.piece.outline]) + reference(pages[0], made, tiles)
            gaps = np.min([pdf_reader.distances(corners + shift, page.segments())
                           for page, shift in zip(pages, placed(pages, tiles), strict=True)], axis=0)
            assert gaps.max() < 0.01, (slug, system, info.name)
            checked += len(corners)
    assert checked >= 8


@pytest.mark.parametrize("slug", ["gable-carrier", "tea-caddy", "biscuit-box"])
def test_a_bench_card_shows_the_paper_as_it_is_first_laid(slug):
    """Whichever side is up, each outline lies as in its own frame, whose left is the reader's; a cutting file
    shows the plain side.
    """
    plan = on_shelf(slug).drawn
    for info in template_pieces(plan):
        own = sorted((float(rim.stroke.start.x), float(rim.stroke.start.y))
                     for rim in plan.state(info.id).outline)
        assert np.allclose(sorted((float(s.start.x), float(s.start.y))
                                  for s in piece_as_laid(plan, info.id).outline), own)
        inside = max(float(s.start.x) for s in processed_piece(plan, info.id).outline)
        assert (inside <= 1e-9) == (info.up == "printed")


@pytest.mark.parametrize("slug", SHELF)
@pytest.mark.parametrize("system", ["mm", "in"])
def test_every_prick_is_a_point_of_the_plan(slug, system):
    """Each dot of the prick template is an end of a score, a fold or a cut, a corner, the middle of a hole,
    an end of a tick on the edge, or lies on a curve; none stands twice, and each hole has one. A tick's end
    within the paper is no point of the plan.
    """
    plan, dots_seen = on_shelf(slug).plans[system], 0
    for info in template_pieces(plan):
        made, state = true_size_piece(plan, info.id, TemplateFace.TICKS), plan.state(info.id)
        page = Page(made.box.width, made.box.height, Recording(0, 0, ()),
                    PlacedDrawing(made.recording, 0, 0, made.box))
        edges = [rim.stroke for path in (state.outline, *state.holes) for rim in path]
        mirror = np.array((-1.0 if info.up == "printed" else 1.0, 1.0))
        corners = np.array([as_floats(stroke.start) for stroke in edges]) * mirror
        there = np.array([as_floats(stroke.start) for stroke in made.piece.outline])
        dots = (np.array(pdf_reader.read(pdf("x", [page]))[0].rings(PRICK_RING_RADIUS)).reshape(-1, 2)
                - there.min(axis=0) + corners.min(axis=0)) * mirror
        marks = [(mark.verb, run) for mark in state.marks for run in mark.runs]
        lines = [*edges, *(run for verb, run in marks if verb != "tick"),
                 *(run for fold in state.folds for run in fold.runs)]
        holes = [as_floats(stroke.center) for stroke in lines if isinstance(stroke, Circle)]
        on_edge = np.vstack([segments_of(stroke) for stroke in edges])
        points = np.array([as_floats(stroke.at(t)) for stroke in lines for t in (0, 1)] + holes + [
            point for verb, run in marks if verb == "tick" for point in map(as_floats, (run.at(0), run.at(1)))
            if pdf_reader.distances(np.array([point]), on_edge).max() < FINE])
        curves = [segments_of(each) for each in lines if not isinstance(each, Line | Circle)]
        for dot in dots:
            on_curve = min((pdf_reader.distances(dot[None], curve)[0] for curve in curves), default=1.0)
            assert min(np.hypot(*(points - dot).T).min(), on_curve) < FINE, (slug, info.name, dot)
        apart = np.hypot(*(dots[:, None] - dots[None]).transpose(2, 0, 1)) + np.eye(len(dots))
        assert not len(dots) or apart.min() > FINE, (slug, info.name)
        assert all(np.hypot(*(dots - hole).T).min() < FINE for hole in holes), (slug, info.name)
        dots_seen += len(dots)
    assert dots_seen >= 4


def segments_of(stroke) -> np.ndarray:
    """A stroke as chords that leave it by a thousandth of a millimetre at most."""
    points = np.array([as_floats(point) for point in stroke.flattened(0.001)])
    return np.hstack((points[:-1], points[1:]))


def as_floats(point) -> tuple[float, float]:
    """Both coordinates."""
    return float(point[0]), float(point[1])
