"""A second look at a family that was fitted: its source is read anew, nothing of the search is asked.

The thing stands over the middle of the floor or does not: corners and circles
against the sides of the floor and the walls that lean in, by distances. Blanks
are counted where they lie on the sheet.
"""
from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import combinations

import numpy as np
import shapely

from generator.dataclass import dataclass
from generator.findings import has_errors
from generator.folding import PieceDimensions
from generator.folding.piece_context import paper_thickness
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import PLACE_TOLERANCE, POINT_TOLERANCE
from generator.paper.sheet_layouts import Blank, SheetLayout, StockSheet
from generator.sheets import SheetError, blanks_of, most_sets_layout
from generator.tutorial.contents_wish import Room
from generator.tutorial.folded_sizes import folded_length, receiving_piece, size_text, solid_size
from generator.tutorial.load import load_text
from generator.tutorial.records import Tutorial
from generator.units import Bench, length
from generator.units import size_text as blank_text

MAX_ROUNDED_UP = 0.1     # mm; blanks that are no whole length are cut a little larger
TURNS = 361       # at which a box is tried over a floor, half a degree apart


@dataclass(frozen=True, slots=True)
class EditionFigures:
    """What an edition comes to; ``lengths`` in mm, ``waste`` the share of the sheet outside all blanks."""

    system: str
    lengths: Mapping[str, Fraction]
    finished: str
    inside: str
    blanks: tuple[str, ...]
    boxes: int
    sheet: StockSheet
    waste: float


def reread(text: str, shown: str, benches: Mapping[str, Bench]) -> tuple[Tutorial | None, str]:
    """The tutorial of a source, or why there is none."""
    loaded = load_text(text, shown, benches)
    wrong = [f.message for f in loaded.findings if has_errors([f])]
    return loaded.tutorial, "; ".join(wrong)


def figures_of(tutorial: Tutorial, system: str, sheet: StockSheet) -> EditionFigures:
    """The figures of one edition on one sheet. Raises ValueError where its inside is not known."""
    plan, folded = tutorial.plans[system], tutorial.folds[system]
    piece = receiving_piece(folded)
    if piece is None or piece.dimensions is None or piece.dimensions.inside is None:
        raise ValueError("nothing is known of its inside")
    layouts = [_layout(sheet, blanks) for blanks in blanks_of(plan).values()]
    boxes = min((each.sets for each in layouts), default=0)
    used = sum(float(b.width.value * b.height.value) * b.count for blanks in blanks_of(plan).values()
               for b in blanks) * boxes
    whole = float(sheet.width.value * sheet.height.value) * len(layouts)
    front = tutorial.front
    finish = {name: folded_length(float(q.value), system) for name, q in plan.finish.items()}
    size = solid_size(piece.dimensions.size, system)
    return EditionFigures(
        system, {n: Fraction(q.value) for n, q in front.lengths[system].items() if n not in front.tools},
        size_text(type(size)(finish.get("width", size.across), finish.get("depth", size.deep),
                             finish.get("height", size.high)), system),
        size_text(solid_size(piece.dimensions.inside, system), system),
        tuple(f"{b.name}, {blank_text(b.width, b.height, system)}"
              for blanks in blanks_of(plan).values() for b in blanks),
        boxes, sheet, 1 - used / whole)


def _layout(sheet: StockSheet, blanks: tuple[Blank, ...]) -> SheetLayout:
    try:
        return most_sets_layout(sheet, blanks)
    except SheetError:
        return SheetLayout(sheet)


def problems_of(tutorial: Tutorial, system: str, room: Room, slack: Fraction, sheet: StockSheet,
                boxes: int) -> Iterator[str]:
    """What is wrong with an edition that is said to hold a thing, and to come out of a sheet so often."""
    plan = tutorial.plans[system]
    piece = receiving_piece(tutorial.folds[system])
    if piece is None or piece.dimensions is None or piece.dimensions.floor is None:
        yield f"{system}: nothing is known of its inside"
        return
    layer = max(paper_thickness(each.paper) for each in plan.pieces if not each.is_ribbon)
    if not _stands_inside(piece.dimensions, room, float(slack), layer):
        yield f"{system}: the thing and its slack do not stand inside '{piece.name}'"
    for blanks in blanks_of(plan).values():
        yield from (f"{system}: {each}" for each in _miscounted(_layout(sheet, blanks), blanks, boxes))


def _stands_inside(known: PieceDimensions, room: Room, slack: float, layer: float) -> bool:
    """Whether it stands over the middle of the floor, upright, with its slack and a layer at each side."""
    floor, inside = known.floor, known.inside
    assert floor is not None and inside is not None
    wide, deep, high = (float(mm) for mm in room.sides)
    tall, around = high + (2 * (slack + layer) if room.height is None else slack), slack + layer
    if tall > inside[2] + POINT_TOLERANCE:
        return False
    middle = np.asarray(floor.centroid.coords[0])
    bounds = [*_floor_bounds(floor, middle), *known.slopes]
    if room.height is None:         # a ball on the floor, by the distance of its middle from each wall
        radius = wide / 2 + around
        return all(a * middle[0] + b * middle[1] + c * radius + radius * math.sqrt(a * a + b * b + c * c)
                   <= d + POINT_TOLERANCE for a, b, c, d in bounds)
    if room.depth is None:
        return all(a * middle[0] + b * middle[1] + c * tall + (wide / 2 + around) * math.hypot(a, b)
                   <= d + POINT_TOLERANCE for a, b, c, d in bounds)
    half = wide / 2 + around, deep / 2 + around
    return any(all(a * middle[0] + b * middle[1] + c * tall + _reach(a, b, turn, half)
                   <= d + POINT_TOLERANCE for a, b, c, d in bounds)
               for turn in np.radians(np.linspace(0, 180, TURNS)))


def _reach(a: float, b: float, turn: float, half: tuple[float, float]) -> float:
    """How far a rectangle that is turned about its middle reaches along (a, b)."""
    return (half[0] * abs(a * math.cos(turn) + b * math.sin(turn))
            + half[1] * abs(-a * math.sin(turn) + b * math.cos(turn)))


def _floor_bounds(floor: shapely.Polygon, middle: FloatArray) -> Iterator[tuple[float, float, float, float]]:
    """The sides of a convex floor as bounds a·x + b·y ≤ d, each (a, b) a unit vector that points outwards."""
    xy = np.asarray(floor.exterior.coords)
    for start, end in zip(xy[:-1], xy[1:], strict=True):
        normal = np.array((end[1] - start[1], start[0] - end[0])) / np.hypot(*(end - start))
        normal = normal if normal @ (start - middle) > 0 else -normal
        yield float(normal[0]), float(normal[1]), 0.0, float(normal @ start)


def _miscounted(layout: SheetLayout, blanks: tuple[Blank, ...], boxes: int) -> Iterator[str]:
    """Where blanks do not lie on the sheet, lie upon each other, have another size, or are too few."""
    wide, tall = layout.sheet.width.value, layout.sheet.height.value
    for each in layout.placements:
        blank = next(b for b in blanks if b.name == each.piece)
        sides = zip(sorted((each.width, each.height)), sorted((blank.width.value, blank.height.value)),
                    strict=True)
        if any(not -PLACE_TOLERANCE <= float(lies) - float(own) <= MAX_ROUNDED_UP for lies, own in sides):
            yield f"{each.piece} lies on the sheet in another size than it has"
        if not (each.x >= 0 and each.x + each.width <= wide and each.y >= 0 and each.y + each.height <= tall):
            yield f"{each.piece} does not lie on the sheet"
    if any(min(a.x + a.width, b.x + b.width) > max(a.x, b.x) and min(a.y + a.height, b.y + b.height)
           > max(a.y, b.y) for a, b in combinations(layout.placements, 2)):
        yield "two blanks lie upon each other"
    for blank in blanks:
        lying = sum(each.piece == blank.name for each in layout.placements)
        if lying < boxes * blank.count:
            yield f"of {blank.name} {lying} lie on the sheet, and {boxes} boxes take {boxes * blank.count}"


def grid_problems(tutorial: Tutorial) -> Iterator[str]:
    """The lengths that lie on no mark of a rule of their edition's bench."""
    for system, bench in tutorial.benches.items():
        for name, quantity in tutorial.front.lengths[system].items():
            if name not in tutorial.front.tools and length(quantity.value).value % bench.grid("rule"):
                yield f"{system}: {name} lies on no mark of the rule"
