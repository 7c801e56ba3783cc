"""The pages that show the plan: one tile each, with its title line, ticks along two edges, and alignment marks."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import shapely

from generator.drawing.backends import helvetica
from generator.drawing.pen import Role
from generator.drawing.steps.boxes import Box, centred
from generator.drawing.templates.page import Heading, Page, PlacedDrawing
from generator.drawing.templates.page_elements import Ink, edge_ticks, fitted
from generator.drawing.templates.page_format import OVERLAP
from generator.drawing.templates.plan import Plate
from generator.drawing.templates.tiling import Tile, Tiling, letters
from generator.geometry import Circle, Point
from generator.locale import Locale

INSET = 25.0        # mm from the end of a seam to its alignment mark
ARM = 3.0           # mm: half of an alignment mark's cross
RING = 1.5          # mm: radius of its ring
STEP = 1.0          # mm from one place that is tried for a mark to the next
CHORD = 0.3         # mm by which a curve may leave the chords that marks are held against
LETTERS = 2.6       # mm


def plan_pages(plate: Plate, tiles: Tiling, heading: Heading) -> Iterator[Page]:
    """One page a tile, in reading order."""
    lines = drawn(plate) if len(tiles.tiles) > 1 else None
    for tile in tiles.tiles:
        yield _page(plate, tiles, tile, heading, lines)


def drawn(plate: Plate) -> shapely.Geometry:
    """All lines and words of a plan: what an alignment mark should not lie on."""
    strokes = [shapely.LineString([tuple(map(float, p)) for p in stroke.flattened(CHORD)]) for stroke in plate.piece.strokes()]
    lines = shapely.union_all([*strokes, *(shapely.box(*item.box()) for item in plate.recording.of("label"))])
    shapely.prepare(lines)
    return lines


def _page(plate: Plate, tiles: Tiling, tile: Tile, heading: Heading, lines: shapely.Geometry | None) -> Page:
    leaf, window = tiles.leaf, tiles.leaf.window
    dx = window.x0 + (window.width - tile.box.width) / 2 - tile.box.x0
    dy = window.y0 + (window.height - tile.box.height) / 2 - tile.box.y0
    clip = tile.box.moved(dx, dy)
    ink = Ink()
    ink.page()
    title_line(ink, leaf.printed, plate.piece.name, tile.name if len(tiles.tiles) > 1 else "", len(tiles.tiles), heading)
    ink.end()
    if lines is not None:
        ink.begin("alignment")
        for mark in marks(tiles, tile, lines):
            _draw(ink, mark, dx, dy, heading.locale)
        ink.end()
    ink.begin("dimensions")
    edge_ticks(ink, window)
    ink.end()
    return Page(leaf.width, leaf.height, ink.recording(leaf.width, leaf.height),
                PlacedDrawing(plate.recording, dx, dy, clip))


def title_line(ink: Ink, inside: Box, piece: str, tile: str, count: int, heading: Heading) -> None:
    """At the top of a page: whose it is on the left, which it is on the right."""
    y = inside.y1 - 2.2
    say = heading.locale
    right = say.say("templates.page.right", revision=heading.revision)
    if tile:
        right = say.say("templates.page.tile", tile=tile, count=count, rest=right)
    ink.words(right, inside.x1, y, 3.0, "end")
    name = say.name(piece)
    left = ", ".join(filter(None, (f"{heading.title}: {name}", heading.edition, heading.seen)))
    room = inside.width - helvetica.width(right, 3.0) - 4.0
    ink.words(fitted(left, 3.0, room), inside.x0, y, 3.0)


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


def marks(tiles: Tiling, tile: Tile, lines: shapely.Geometry) -> Iterator[AlignmentMark]:
    """Two marks on every seam of a tile, at the same points of the plan as its neighbour's, clear of ``lines`` if they can."""
    box = tile.box
    for column, outward in ((tile.column - 1, -1), (tile.column, 1)):
        if 0 <= column < len(tiles.xs):
            name, x = f"{letters(tile.row)}{tile.column + 1 + outward}", tiles.xs[column]
            yield from (AlignmentMark(Point(x, y), True, name, outward, first)
                        for y, first in _ends(box.y0, box.y1, lambda y, x=x: _clear(lines, x, y)))
    for row, outward in ((tile.row - 1, 1), (tile.row, -1)):
        if 0 <= row < len(tiles.ys):
            name = f"{letters(tile.row - outward)}{tile.column + 1}"
            y = tiles.ys[len(tiles.ys) - 1 - row]
            yield from (AlignmentMark(Point(x, y), False, name, outward, first)
                        for x, first in _ends(box.x0, box.x1, lambda x, y=y: _clear(lines, x, y)))


def _clear(lines: shapely.Geometry, x: float, y: float) -> bool:
    return not lines.intersects(shapely.box(*centred((x, y), 2 * ARM + 1, 2 * ARM + 1)))


def _ends(low: float, high: float, clear: Callable[[float], bool]) -> tuple[tuple[float, bool], ...]:
    """One place in each half of a seam: the clear one nearest to where it should be, or there where none is."""
    inset, middle = min(INSET, (high - low) / 4), (low + high) / 2
    return tuple((next(filter(clear, _tried(at, end, middle)), at), first)
                 for at, end, first in ((low + inset, low, True), (high - inset, high, False)))


def _tried(at: float, end: float, middle: float) -> Iterator[float]:
    """Places of one half of a seam, the nearest to ``at`` first; none so near to its middle that two marks meet."""
    low, high = sorted((end, middle))
    low, high = (low + ARM, high - 2 * ARM) if end < middle else (low + 2 * ARM, high - ARM)
    yield at
    for k in range(1, int((high - low) / STEP) + 1):
        yield from (place for place in (at + k * STEP, at - k * STEP) if low <= place <= high)


def _draw(ink: Ink, mark: AlignmentMark, dx: float, dy: float, locale: Locale) -> None:
    x, y = mark.at.x + dx, mark.at.y + dy
    ink.line(x - ARM, y, x + ARM, y)
    ink.line(x, y - ARM, x, y + ARM)
    ink.stroke((Circle(Point(x, y), RING),), Role.TICK, False)
    off = mark.outward * (OVERLAP / 2 - LETTERS / 2 - 0.4)
    words, on, align = locale.say("templates.page.to", tile=mark.neighbour), *((ARM + 1.0, "start") if mark.first else (-ARM - 1.0, "end"))
    at = (x + off, y + on) if mark.upright else (x + on, y + off)
    ink.words(words, *at, LETTERS, align, upright=mark.upright, quiet=True)
