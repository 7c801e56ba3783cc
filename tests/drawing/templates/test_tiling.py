"""Tiles hold the whole plan, and the alignment marks put it together again."""
from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.drawing.backends.pdf import pdf
from generator.drawing.picture_geometry import Box
from generator.drawing.templates.documents import template_pages
from generator.drawing.templates.page import PRINT_PAPERS, TILE_OVERLAP, PrintPaper, TemplateFace
from generator.drawing.templates.plan import true_size_piece
from generator.drawing.templates.tiling import alignment_marks, drawn_lines, row_letters, tiling
from tests.drawing.templates import pdf_reader
from tests.drawing.templates.sample_pieces import NETS, heading, star, strip
from tests.time_limits import examples

BOXES = st.builds(lambda w, h: Box(0, 0, w, h), st.floats(3, 2500), st.floats(3, 2500))
FEATURES = st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), max_size=30)
PAPER = st.sampled_from(PRINT_PAPERS)
RING = 1.5          # mm: radius of an alignment mark


def small(box: Box, shares) -> list[Box]:
    """Small things here and there on a plan."""
    return [Box(box.width * a, box.height * b, box.width * a + 4, box.height * b + 4) for a, b in shares]


@settings(deadline=None, max_examples=examples(40))
@given(box=BOXES, shares=FEATURES, paper=PAPER)
def test_every_point_lies_on_a_tile(box, shares, paper):
    """Tiles leave no gap, neighbours share 10 mm, and none is larger than the page's window."""
    made = tiling(box, paper, small(box, shares))
    window = made.leaf.window
    assert len(made.tiles) == made.rows * made.columns
    for tile in made.tiles:
        assert tile.box.within(box.grown(1e-6))
        assert tile.box.width <= window.width + 1e-5 and tile.box.height <= window.height + 1e-5
    by_place = {(tile.row, tile.column): tile.box for tile in made.tiles}
    for (row, column), at in by_place.items():
        right, below = by_place.get((row, column + 1)), by_place.get((row + 1, column))
        assert math.isclose(at.x1 - right.x0, TILE_OVERLAP, abs_tol=1e-9) if right else at.x1 == box.x1
        assert math.isclose(below.y1 - at.y0, TILE_OVERLAP, abs_tol=1e-9) if below else at.y0 == box.y0
    assert by_place[0, 0].x0 == box.x0 and by_place[0, 0].y1 == box.y1


@settings(deadline=None, max_examples=examples(40))
@given(box=BOXES, paper=PAPER)
def test_there_are_as_few_pages_as_can_be(box, paper):
    """Each further tile of a row gives a window less the overlap; the better of upright and landscape is
    taken.
    """
    def least(leaf: PrintPaper) -> int:
        along = [(box.width, leaf.window.width), (box.height, leaf.window.height)]
        return math.prod(next(n for n in range(1, 99) if n * w - (n - 1) * TILE_OVERLAP >= size - 1e-5)
                         for size, w in along)
    assert len(tiling(box, paper).tiles) == min(least(PrintPaper(paper, turned)) for turned in (False, True))


def test_a_seam_keeps_away_from_a_hole_where_it_can():
    """The even place of the only seam is taken by a hole, so the seam moves beside it."""
    box = Box(0, 0, 300, 100)
    even = tiling(box, "a4").xs
    hole = Box(even[0] - 3, 40, even[0] + 3, 46)
    moved = tiling(box, "a4", [hole]).xs
    assert len(even) == len(moved) == 1 and abs(moved[0] - even[0]) >= 3 + TILE_OVERLAP / 2 - 1e-9


def test_rows_are_lettered():
    """A to Z, then AA."""
    assert [row_letters(n) for n in (0, 25, 26, 27, 52)] == ["A", "Z", "AA", "AB", "BA"]


@settings(deadline=None, max_examples=8)
@given(plan=NETS, paper=PAPER)
def test_tiles_laid_together_by_their_marks_give_the_plan_back(plan, paper):
    """Wherever two pages have a mark in common, laying it on itself lays all lines on themselves,
    to 0.01 mm.
    """
    made = true_size_piece(plan, 0, TemplateFace.INSIDE)
    tiles = tiling(made.box, paper, made.features)
    if len(tiles.tiles) > 12:
        return
    pages = pdf_reader.read(pdf("x", template_pages([made], heading(paper))))[1:]
    shifts = placed(pages, tiles)
    first = pages[0].segments()
    for page, shift in zip(pages[1:], shifts[1:], strict=True):
        outline = np.array([[float(c) for c in s.start] for s in made.piece.outline])
        here = outline + reference(pages[0], made, tiles)
        assert pdf_reader.distances(here + shift, page.segments()).max() < 0.01
        assert pdf_reader.distances(here, first).max() < 0.01


def reference(page: pdf_reader.Drawn, made, tiles) -> np.ndarray:
    """Where the plan's origin lies on the first page."""
    box, window = tiles.tiles[0].box, tiles.leaf.window
    return np.array((window.x0 + (window.width - box.width) / 2 - box.x0,
                     window.y0 + (window.height - box.height) / 2 - box.y0))


def placed(pages, tiles) -> list[np.ndarray]:
    """By how much each page must be moved to lie on the first: worked out from mark to mark, row by row."""
    shifts: dict[tuple[int, int], np.ndarray] = {(0, 0): np.zeros(2)}
    by_place = {(t.row, t.column): page for t, page in zip(tiles.tiles, pages, strict=True)}
    for tile in tiles.tiles:
        key = tile.row, tile.column
        if key in shifts:
            continue
        before = (tile.row, tile.column - 1) if tile.column else (tile.row - 1, 0)
        a, b = (seam_marks(by_place[k], side) for k,
                side in zip((before, key), sides(tile.column > 0), strict=True))
        assert np.allclose(np.ptp(b - a, axis=0), 0, atol=0.01)
        shifts[key] = shifts[before] + (b - a)[0]
    return [shifts[t.row, t.column] for t in tiles.tiles]


def sides(right: bool) -> tuple[str, str]:
    """The seam that two neighbours share, as each calls it."""
    return ("right", "left") if right else ("bottom", "top")


def seam_marks(page: pdf_reader.Drawn, side: str) -> np.ndarray:
    """The two marks nearest to one side of a page, in order along the seam."""
    rings = np.array(page.rings(RING))
    axis, last = {"left": (0, 1), "right": (0, -1), "bottom": (1, 1), "top": (1, -1)}[side]
    level = np.round(rings[:, axis], 3)
    rows = [v for v in sorted(set(level), reverse=last < 0)
            if np.count_nonzero(np.abs(level - v) < 0.01) >= 2]
    found = rings[np.abs(rings[:, axis] - rows[0]) < 0.01]
    found = found[np.argsort(found[:, 1 - axis])]
    return found[[0, -1]]


@pytest.mark.parametrize("paper", PRINT_PAPERS)
@pytest.mark.parametrize("height", [25, 125])
def test_alignment_marks_keep_off_the_lines(paper, height):
    """A hole lies where a mark would be, 25 mm from the end of a seam: the mark goes beside it, on both tiles
    alike.
    """
    seam = tiling(true_size_piece(strip(400, 150), 0, TemplateFace.INSIDE).box, paper).xs[0]
    made = true_size_piece(strip(400, 150, [], [(Fraction(round(seam), 400), Fraction(height, 150))]), 0,
                           TemplateFace.INSIDE)
    # without its features, so that the seam stays
    tiles, lines = tiling(made.box, paper), drawn_lines(made)
    hole = made.piece.punched[0]
    assert math.dist(hole.center, (tiles.xs[0], height)) < hole.radius
    pairs = [[mark.at for mark in alignment_marks(tiles, tile, lines)] for tile in tiles.tiles]
    assert pairs[0] == pairs[1] and len(pairs[0]) == 2
    assert all(lines.distance(shapely.Point(*point)) > 3 for point in pairs[0])


def test_a_star_that_is_larger_than_a_page_is_put_together():
    """The property above is not empty: this one takes several rows and columns."""
    made = true_size_piece(star(7, 260.0), 0, TemplateFace.INSIDE)
    tiles = tiling(made.box, "letter", made.features)
    assert tiles.rows > 1 and tiles.columns > 1
    pages = pdf_reader.read(pdf("x", template_pages([made], heading("letter"))))[1:]
    assert len(placed(pages, tiles)) == len(tiles.tiles)
