"""What is cut away: its letter, by which rows and drawings call it, and where it lay."""
from __future__ import annotations

from collections.abc import Iterator, Mapping

import shapely

from generator.drawing.pen import Path
from generator.drawing.picture_geometry import View, polygon_loops
from generator.geometry import Region, bounds_of
from generator.geometry.overlay import common_area
from generator.geometry.tolerances import TANGENT_CHORD_TOLERANCE
from generator.paper.records import Plan, Removal
from generator.units import memoised

SCRAP_TOLERANCE = 0.05      # mm by which the drawn edge of what is cut away may leave it


@memoised(8)
def scrap_letters(plan: Plan) -> Mapping[tuple[int, int], str]:
    """The letter of each area that is cut away, by its act and its place in it: A, B, … Z, AA."""
    areas = [(act.number, k) for act in plan.acts if isinstance(act.detail, Removal)
             for k in range(len(act.detail.areas))]
    return {area: _letters(number) for number, area in enumerate(areas)}


def _letters(number: int) -> str:
    before, last = divmod(number, 26)
    return (_letters(before - 1) if before else "") + chr(ord("A") + last)


def scraps_of(plan: Plan, piece: int, view: View,
            outline: Path) -> Iterator[tuple[str, tuple[Path, ...]]]:
    """What is cut away of the paper as it was before, as far as it lies beside what is left of it."""
    letters = scrap_letters(plan)
    left, bottom, right, top = map(float, bounds_of(outline))       # which a piece without an area has too
    frame = shapely.box(left, bottom, right, top)
    for act in plan.acts:
        if isinstance(act.detail, Removal) and act.pieces[0] == piece:
            before = [state for number, state in plan.states[piece] if number < act.number][-1]
            paper = Region(view.path(tuple(rim.stroke for rim in before.outline))).polygon(
                TANGENT_CHORD_TOLERANCE)
            for k, area in enumerate(act.detail.areas):
                whole = Region(view.path(area.outline)).polygon(TANGENT_CHORD_TOLERANCE)
                loops = polygon_loops(common_area(common_area(whole, paper), frame).simplify(SCRAP_TOLERANCE))
                yield letters[act.number, k], loops
