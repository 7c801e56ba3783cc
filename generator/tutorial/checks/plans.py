"""What a step works into an area that an earlier one keeps clear, stamps or embosses.

Small pieces that are to come out of what the blanks leave of a sheet.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping

from shapely import LineString, Polygon

from generator.findings import Finding, finding
from generator.geometry import Region, Stroke
from generator.geometry.strokes import polyline
from generator.language.front_matter import FrontMatter
from generator.paper.records import Act, Decoration, Face, Glue, Mark, PieceInfo, Plan
from generator.paper.sheet_layouts import StockSheet
from generator.sheets import SheetError, blanks_of, most_sets_layout
from generator.units import Quantity, as_text, display_measure


def spoiled_areas(plan: Plan) -> Iterator[Finding]:
    """A warning for each mark, and each face glued over, that lies in such an area and is made later."""
    for act in plan.acts:
        if isinstance(act.detail, Decoration):
            for face in act.detail.faces:
                yield from _spoiled(plan, act, face)


def _spoiled(plan: Plan, act: Act, face: Face) -> Iterator[Finding]:
    area = Region(face.outline).polygon().buffer(-1e-3)
    state = plan.state(face.piece)
    told = set()
    for mark in state.marks if state is not None else ():
        if mark.act > act.number and mark.kind.spoils and mark.act not in told and _crosses(mark, area):
            told.add(mark.act)
            yield _spoiled_finding(plan, mark.act, act, f"this {mark.verb} lies in")
    for later in plan.acts[act.number + 1:]:
        if isinstance(later.detail, Glue) and later.detail.over and any(
                each.piece == face.piece and Region(each.outline).polygon().intersects(area)
                for each in later.detail.target):
            yield _spoiled_finding(plan, later.number, act, "this glues paper over")


def _crosses(mark: Mark, area: Polygon) -> bool:
    return any(area.intersects(_stroke_line(run)) for run in (mark.extent))


def _stroke_line(run: Stroke) -> LineString:
    return LineString(polyline(run))


def _spoiled_finding(plan: Plan, number: int, act: Act, what: str) -> Finding:
    return finding("clear-spoiled", plan.acts[number].span,
                   f"{what} the area that line {act.span.line} {act.kind.words}",
                   "move one of the two, or do this first, so that the clear area keeps off it")


OFFCUT = "offcut"


def offcut_findings(front: FrontMatter, plans: Mapping[str, Plan]) -> Iterator[Finding]:
    """A warning for each piece that comes out of none of the listed sheets' offcuts, in the first edition where it does not."""
    for info in plans[front.drawn_in].pieces:
        for system in (front.drawn_in, front.other) if info.out_of == OFFCUT else ():
            plan = plans[system]
            size = plan.states[info.id][0][1]
            if front.sheets and not any(_fits_offcut(sheet, plan, info, (size.width, size.height))
                                        for sheet in front.sheets):
                said = " by ".join(as_text(display_measure(side, system))
                                   for side in (size.width, size.height))
                yield finding("offcut-small", info.span,
                              f"'{info.name}', {said}, comes out of no offcut of the sheets that are listed",
                              "make it smaller, list a larger sheet, or cut it as a blank of its own, "
                              "without out_of")
                break


def _fits_offcut(sheet: StockSheet, plan: Plan, info: PieceInfo, size: tuple[Quantity, Quantity]) -> bool:
    """Whether one of the pieces that a sheet leaves, once cut, holds this one, upright or turned."""
    paper = info.paper.name if info.paper is not None else ""
    blanks = blanks_of(plan).get(paper, ())
    try:
        layout = most_sets_layout(sheet, blanks) if blanks else None
    except SheetError:
        return False
    if layout is None or not layout.sets:
        return False
    short, long = sorted(float(side.value) for side in size)
    return any(short <= min(float(o.width), float(o.height)) + 1e-6
               and long <= max(float(o.width), float(o.height)) + 1e-6
               for o in layout.offcuts if not o.selvedge)
