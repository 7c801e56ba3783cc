"""The printed pages of every tutorial's template, laid together by their marks, give its pieces back."""
from __future__ import annotations

import numpy as np
import pytest

from generator.drawing.backends.pdf import pdf
from generator.drawing.templates.documents import template_pages
from generator.drawing.templates.page import PageHeading, TemplateFace
from generator.drawing.templates.plan import true_size_piece
from generator.drawing.templates.processes import piece_as_laid, processed_piece, template_pieces
from generator.drawing.templates.tiling import tiling
from tests.drawing.templates import pdf_reader
from tests.drawing.templates.test_tiling import placed, reference
from tests.tutorial.site_tutorials import SHELF, on_shelf


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
