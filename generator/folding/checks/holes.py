"""Punched holes keep clear of edges and of glue."""
from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely import Point, Polygon

from generator.findings import Finding, finding
from generator.folding.case import Case
from generator.folding.closings import face_polygon
from generator.folding.faces import piece_polygon
from generator.folding.rigid import seen_from
from generator.paper.records import Mark

CLEAR = 3.0         # mm between a hole and an edge (common practice, no source)
ALIGNED = 0.5       # mm; holes so near each other go through both layers


def hole_findings(case: Case) -> Iterator[Finding]:
    """One finding for each statement that punches too near an edge, and one where it punches into glue."""
    holes = [mark for mark in case.state.marks if mark.kind.is_hole and mark.runs]
    if not holes:
        return
    edges = _edges(case)
    glued = list(_glued(case))
    told: set[tuple[str, int]] = set()
    for mark in holes:
        near = _spot(mark).distance(edges) - float(mark.whole[0].radius)
        if near < CLEAR - 1e-3 and _first(told, "near", mark):
            yield finding("hole-near-edge", mark.span, f"{_called(mark)} keeps {case.say(max(near, 0))} from the edge; "
                          f"paper tears when it is less than {case.say(CLEAR)}", "move it inwards, or punch a smaller hole")
        if any(_disc(mark).intersection(area).area > 1e-3 for area in glued) and not _goes_through(case, mark, holes) \
                and _first(told, "glued", mark):
            yield finding("hole-glued", mark.span, f"{_called(mark)} lies where paper is glued",
                          "move it off the glued area, or punch both layers in the same place")


def _first(told: set[tuple[str, int]], what: str, mark: Mark) -> bool:
    new = (what, mark.act) not in told
    told.add((what, mark.act))
    return new


def _called(mark: Mark) -> str:
    name = f"'{mark.name}'" if mark.name else "this hole"
    return name + (f" {mark.index} of {mark.count}" if mark.count > 1 else "")


def _spot(mark: Mark) -> Point:
    centre = mark.whole[0].center
    return Point(float(centre.x), float(centre.y))


def _disc(mark: Mark) -> Polygon:
    return _spot(mark).buffer(float(mark.whole[0].radius))


def _edges(case: Case) -> shapely.Geometry:
    """The outline of the piece and all its cuts."""
    cuts = [shapely.linestrings([(float(p.x), float(p.y)) for p in run.flattened()])
            for mark in case.state.marks if mark.kind.cuts for run in mark.runs]
    return shapely.union_all([piece_polygon(case.state).boundary, *cuts])


def _glued(case: Case) -> Iterator[Polygon]:
    """Areas of the flat plan with glue on them: each tab, and where it lies on its target."""
    flat, frames = case.folded.flat, case.folded.frames
    for each in case.stuck:
        if not each.paired:
            continue
        tab = face_polygon(each.face)
        yield tab
        if case.closes() and each.panel != each.target_panel:
            yield seen_from(flat, frames, each.panel, each.target_panel, tab)


def _goes_through(case: Case, mark: Mark, holes: list[Mark]) -> bool:
    """Whether another hole comes to lie on this one when the box is folded."""
    if not case.closes():
        return False
    flat, frames = case.folded.flat, case.folded.frames
    own = next((p.id for p in flat.panels if p.polygon.contains(_spot(mark))), None)
    for each in case.stuck:
        if own not in (each.panel, each.target_panel):
            continue
        away = each.target_panel if own == each.panel else each.panel
        for other in holes:
            if flat.panels[away].polygon.contains(_spot(other)):
                if seen_from(flat, frames, away, own, _disc(other)).distance(_spot(mark)) <= ALIGNED:
                    return True
    return False
