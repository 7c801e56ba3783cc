"""A plan that is larger than the paper, parted into tiles that overlap.

The pages that show the plan: one tile each, with its title line, ticks along two edges, and alignment marks.
"""
from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import partial

import shapely

from generator.dataclass import dataclass
from generator.drawing import lettering
from generator.drawing.pen import Role
from generator.drawing.picture_geometry import Box, centred_box
from generator.drawing.templates.page import (
    TILE_OVERLAP,
    Page,
    PageHeading,
    PagePen,
    PlacedDrawing,
    PrintPaper,
    edge_ticks,
    shortened,
)
from generator.drawing.templates.plan import TrueSizePiece, line_strings
from generator.geometry import Circle, Point
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.locale import Locale

SEAM_STEP = 1.0          # mm between two places where a seam is tried
UNDIVIDED_LENGTH = 12.0        # mm; a seam should not part what is no longer than this across it
EVENNESS_WEIGHT = 1e-3        # weight of the distance from an even spacing, for each mm


@dataclass(frozen=True, slots=True)
class Tile:
    """What one page shows of the plan: ``box`` in mm of the plan. ``row`` counts from the top, from 0."""

    row: int
    column: int
    box: Box

    @property
    def name(self) -> str:
        """A letter for the row, a number for the column: "B3"."""
        return f"{row_letters(self.row)}{self.column + 1}"


@dataclass(frozen=True, slots=True)
class Tiling:
    """All tiles in reading order; ``xs``, ``ys`` are the middles of the overlaps in mm, ascending."""

    leaf: PrintPaper
    box: Box
    xs: tuple[float, ...]
    ys: tuple[float, ...]
    tiles: tuple[Tile, ...]

    @property
    def columns(self) -> int:
        """How many tiles lie side by side."""
        return len(self.xs) + 1

    @property
    def rows(self) -> int:
        """How many tiles lie above each other."""
        return len(self.ys) + 1


def row_letters(number: int) -> str:
    """A row's name: A, B … Z, AA, AB … for 0, 1 and so on."""
    return (row_letters(number // 26 - 1) if number >= 26 else "") + chr(ord("A") + number % 26)


def tiling(box: Box, paper: str, features: Sequence[Box] = ()) -> Tiling:
    """The fewest tiles that hold ``box``; of equals the one with fewer seams, then the upright one.

    Neighbours overlap by :data:`TILE_OVERLAP`. Where the pages leave a choice,
    seams keep away from ``features``.
    """
    leaf = min((PrintPaper(paper), PrintPaper(paper, True)), key=lambda each: _cost(box, each))
    window = leaf.window
    xs = _seams((box.x0, box.x1), window.width, [(f.x0, f.x1) for f in features])
    ys = _seams((box.y0, box.y1), window.height, [(f.y0, f.y1) for f in features])
    return Tiling(leaf, box, xs, ys, tuple(_tiles(box, xs, ys)))


def tile_count(box: Box, paper: str) -> int:
    """How many tiles there will be."""
    return min(_cost(box, PrintPaper(paper, landscape))[0] for landscape in (False, True))


def _cost(box: Box, leaf: PrintPaper) -> tuple[int, int, bool]:
    across, up = _tiles_along(box.width, leaf.window.width), _tiles_along(box.height, leaf.window.height)
    return across * up, across + up, leaf.landscape


def _tiles_along(length: float, window: float) -> int:
    return max(1, math.ceil((length - TILE_OVERLAP - PLACE_TOLERANCE) / (window - TILE_OVERLAP)))


def _tiles(box: Box, xs: Sequence[float], ys: Sequence[float]) -> list[Tile]:
    columns, rows = _spans(box.x0, box.x1, xs), _spans(box.y0, box.y1, ys)[::-1]
    return [Tile(row, column, Box(x0, y0, x1, y1))
            for row, (y0, y1) in enumerate(rows) for column, (x0, x1) in enumerate(columns)]


def _spans(low: float, high: float, seams: Sequence[float]) -> list[tuple[float, float]]:
    half = TILE_OVERLAP / 2
    return list(zip((low, *(s - half for s in seams)), (*(s + half for s in seams), high), strict=True))


def _seams(span: tuple[float, float], window: float,
           features: Sequence[tuple[float, float]]) -> tuple[float, ...]:
    """The middles of the overlaps along one axis: each where it parts as few features as the pages allow.

    Worked out from the first seam to the last, keeping for each place the
    cheapest way to it.
    """
    low, high = span
    number = _tiles_along(high - low, window) - 1
    small = [(a, b) for a, b in features if b - a <= UNDIVIDED_LENGTH]
    ways: dict[float, tuple[float, tuple[float, ...]]] = {low + TILE_OVERLAP / 2: (0.0, ())}
    for k in range(1, number + 1):
        even = low + (high - low) * k / (number + 1)
        ways = _best_continuations(ways, _choices(span, window, number, k), window, even, small)
    return min(ways.values())[1]


def _choices(span: tuple[float, float], window: float, number: int, k: int) -> list[float]:
    """Where seam ``k`` of ``number`` may lie, so that all before and after it fit their windows."""
    (low, high), reach, half = span, window - TILE_OVERLAP, TILE_OVERLAP / 2
    last = min(low + half + k * reach + PLACE_TOLERANCE, high - half)
    first = max(high - half - (number + 1 - k) * reach - PLACE_TOLERANCE, low + half)
    first = min(first, last)
    steps = int((last - first) // SEAM_STEP)
    return [*(first + SEAM_STEP * s for s in range(steps + 1)), last]


Ways = dict[float, tuple[float, tuple[float, ...]]]     # last seam → cost so far, all seams up to it


def _best_continuations(ways: Ways, choices: Sequence[float], window: float, even: float,
                        small: Sequence[tuple[float, float]]) -> Ways:
    found: Ways = {}
    for at in choices:
        before = [way for place, way in ways.items() if place < at
                  and at - place <= window - TILE_OVERLAP + 2 * PLACE_TOLERANCE]
        if before:
            cost, seams = min(before)
            found[at] = cost + _divided_features(at, small) + abs(at - even) * EVENNESS_WEIGHT, (*seams, at)
    return found


def _divided_features(at: float, small: Sequence[tuple[float, float]]) -> int:
    """How many small things the overlap touches."""
    return sum(a < at + TILE_OVERLAP / 2 and b > at - TILE_OVERLAP / 2 for a, b in small)


MARK_INSET = 25.0        # mm from the end of a seam to its alignment mark
MARK_ARM = 3.0           # mm: half of an alignment mark's cross
MARK_RING_RADIUS = 1.5          # mm: radius of its ring
MARK_STEP = 1.0          # mm from one place that is tried for a mark to the next
MARK_LETTER_SIZE = 2.65       # mm


def plan_pages(plate: TrueSizePiece, tiles: Tiling, heading: PageHeading) -> Iterator[Page]:
    """One page a tile, in reading order."""
    lines = drawn_lines(plate) if len(tiles.tiles) > 1 else None
    for tile in tiles.tiles:
        yield _tile_page(plate, tiles, tile, heading, lines)


def drawn_lines(plate: TrueSizePiece) -> shapely.Geometry:
    """All lines and words of a plan: what an alignment mark should not lie on."""
    words = (shapely.box(*item.box()) for item in plate.recording.of("label"))
    lines = shapely.union_all([*line_strings(plate.piece.strokes()), *words])
    shapely.prepare(lines)
    return lines


def _tile_page(plate: TrueSizePiece, tiles: Tiling, tile: Tile, heading: PageHeading,
               lines: shapely.Geometry | None) -> Page:
    leaf, window = tiles.leaf, tiles.leaf.window
    dx = window.x0 + (window.width - tile.box.width) / 2 - tile.box.x0
    dy = window.y0 + (window.height - tile.box.height) / 2 - tile.box.y0
    clip = tile.box.moved(dx, dy)
    ink = PagePen()
    ink.page()
    title_line(ink, leaf.printed, plate.piece.name, tile.name if len(tiles.tiles) > 1 else "",
               len(tiles.tiles), heading)
    ink.end()
    if lines is not None:
        ink.begin("alignment")
        for mark in alignment_marks(tiles, tile, lines):
            _draw_alignment_mark(ink, mark, dx, dy, heading.locale)
        ink.end()
    ink.repeat(edge_ticks(window))
    return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height),
                PlacedDrawing(plate.recording, dx, dy, clip))


def title_line(ink: PagePen, inside: Box, piece: str, tile: str, count: int, heading: PageHeading) -> None:
    """At the top of a page: whose it is on the left, which it is on the right."""
    y = inside.y1 - 2.2
    say = heading.locale
    right = say.say("templates.page.right", revision=heading.revision)
    if tile:
        right = say.say("templates.page.tile", tile=tile, count=count, rest=right)
    ink.words(right, inside.x1, y, 3.0, "end")
    name = say.name(piece)
    left = ", ".join(filter(None, (f"{heading.title}: {name}", heading.edition, heading.seen)))
    room = inside.width - lettering.line_width(right, 3.0) - 4.0
    ink.words(shortened(left, 3.0, room), inside.x0, y, 3.0)


@dataclass(frozen=True, slots=True)
class AlignmentMark:
    """An alignment mark at a point of the plan, on a seam that runs up the page (``upright``) or across it.

    The ``neighbour`` lies to the right or above where ``outward`` is 1, to the
    left or below where it is -1. Its words run towards the middle of the seam,
    onward where it is the ``first`` of two.
    """

    at: Point
    upright: bool
    neighbour: str
    outward: int
    first: bool


def alignment_marks(tiles: Tiling, tile: Tile, lines: shapely.Geometry) -> Iterator[AlignmentMark]:
    """Two marks on every seam of a tile, where its neighbour has them, clear of ``lines`` if they can."""
    box = tile.box
    for column, outward in ((tile.column - 1, -1), (tile.column, 1)):
        if 0 <= column < len(tiles.xs):
            name, x = f"{row_letters(tile.row)}{tile.column + 1 + outward}", tiles.xs[column]
            yield from (AlignmentMark(Point(x, y), True, name, outward, first)
                        for y, first in _mark_positions(box.y0, box.y1, partial(_is_clear, lines, x)))
    for row, outward in ((tile.row - 1, 1), (tile.row, -1)):
        if 0 <= row < len(tiles.ys):
            name = f"{row_letters(tile.row - outward)}{tile.column + 1}"
            y = tiles.ys[len(tiles.ys) - 1 - row]
            yield from (AlignmentMark(Point(x, y), False, name, outward, first)
                        for x, first in _mark_positions(box.x0, box.x1, partial(_is_clear, lines, y=y)))


def _is_clear(lines: shapely.Geometry, x: float, y: float) -> bool:
    room = shapely.box(*centred_box((x, y), 2 * MARK_ARM + 1, 2 * MARK_ARM + 1))
    return not bool(shapely.intersects(lines, room))


def _mark_positions(low: float, high: float,
                    clear: Callable[[float], bool]) -> tuple[tuple[float, bool], ...]:
    """One place in each half of a seam, the nearest clear one to where it should be, or that itself."""
    inset, middle = min(MARK_INSET, (high - low) / 4), (low + high) / 2
    return tuple((next(filter(clear, _mark_candidates(at, end, middle)), at), first)
                 for at, end, first in ((low + inset, low, True), (high - inset, high, False)))


def _mark_candidates(at: float, end: float, middle: float) -> Iterator[float]:
    """Places of one half of a seam, the nearest to ``at`` first; marks of two halves never meet."""
    low, high = sorted((end, middle))
    low, high = (low + MARK_ARM, high - 2 * MARK_ARM) if end < middle else (low + 2 * MARK_ARM,
                                                                            high - MARK_ARM)
    yield at
    for k in range(1, int((high - low) / MARK_STEP) + 1):
        yield from (place for place in (at + k * MARK_STEP, at - k * MARK_STEP) if low <= place <= high)


def _draw_alignment_mark(ink: PagePen, mark: AlignmentMark, dx: float, dy: float, locale: Locale) -> None:
    x, y = mark.at.x + dx, mark.at.y + dy
    ink.line(x - MARK_ARM, y, x + MARK_ARM, y)
    ink.line(x, y - MARK_ARM, x, y + MARK_ARM)
    ink.stroke((Circle(Point(x, y), MARK_RING_RADIUS),), Role.TICK, False)
    off = mark.outward * (TILE_OVERLAP / 2 - MARK_LETTER_SIZE / 2 - 0.4)
    words, on, align = locale.say("templates.page.to",
                                  tile=mark.neighbour), *((MARK_ARM + 1.0, "start") if mark.first
                                                          else (-MARK_ARM - 1.0, "end"))
    at = (x + off, y + on) if mark.upright else (x + on, y + off)
    ink.words(words, *at, MARK_LETTER_SIZE, align, upright=mark.upright, quiet=True)
