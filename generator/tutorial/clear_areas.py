"""What a step works into an area that an earlier one keeps clear, stamps or embosses."""
from __future__ import annotations

from collections.abc import Iterator

from shapely import LineString, Polygon

from generator.findings import Finding, finding
from generator.geometry import Region, Stroke
from generator.paper.records import Act, Decoration, Face, Glue, Mark, Plan


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
            yield _finding(plan, mark.act, act, f"this {mark.verb} lies in")
    for later in plan.acts[act.number + 1:]:
        if isinstance(later.detail, Glue) and later.detail.over and any(
                each.piece == face.piece and Region(each.outline).polygon().intersects(area) for each in later.detail.target):
            yield _finding(plan, later.number, act, "this glues paper over")


def _crosses(mark: Mark, area: Polygon) -> bool:
    return any(area.intersects(_shape(run)) for run in (mark.extent))


def _shape(run: Stroke) -> LineString:
    return LineString([(float(p.x), float(p.y)) for p in run.flattened()])


def _finding(plan: Plan, number: int, act: Act, what: str) -> Finding:
    return finding("clear-spoiled", plan.acts[number].span, f"{what} the area that line {act.span.line} {act.kind.words}",
                   "move one of the two, or do this first, so that the clear area keeps off it")
