"""A glued tab lies on its panel and does not stick out; flaps glued on each other touch."""
from __future__ import annotations

from collections.abc import Iterator

import shapely

from generator.findings import Finding, finding
from generator.folding.case import Case
from generator.folding.closings import Stuck, face_polygon
from generator.folding.rigid import beside, seen_from

OVER = 0.5          # mm; a tab may reach so far beyond an edge before anybody sees it
DUST = 0.5          # mm²


def tab_findings(case: Case) -> Iterator[Finding]:
    """One finding for each glue statement, for the tab that reaches farthest."""
    if not case.closes():
        return
    off = {each.act.number: each for each in reversed(beside(case.folded.flat, case.folded.frames, case.stuck))}
    for each in off.values():
        yield finding("glue-apart", each.act.span, f"{_called(each)} comes to lie beside what it is glued to, not on it",
                      "look at the directions of the folds between them, and at what it is glued to")
    worst: dict[int, tuple[float, Stuck]] = {}
    for each in case.stuck:
        if each.paired and each.panel != each.target_panel and each.act.number not in off:
            far = _reach(case, each)
            if far > OVER and far > worst.get(each.act.number, (0.0, each))[0]:
                worst[each.act.number] = far, each
    for far, each in worst.values():
        yield finding("tab-sticks-out", each.act.span, f"{_called(each)} reaches {case.say(far)} beyond the panel it is glued to",
                      "make it smaller, or taper its ends")


def _called(each: Stuck) -> str:
    name = f"'{each.face.name}'" if each.face.name else "this face"
    return name + (f" {each.face.index} of {each.face.count}" if each.face.count > 1 else "")


def _reach(case: Case, each: Stuck) -> float:
    """How far, in mm, a glued face reaches beyond its target's panel."""
    flat, frames = case.folded.flat, case.folded.frames
    whole = face_polygon(each.face).intersection(flat.panels[each.panel].polygon)
    shape, panel = seen_from(flat, frames, each.panel, each.target_panel, whole), flat.panels[each.target_panel].polygon
    out = shape.difference(panel)
    if out.area < DUST:
        return 0.0
    corners = shapely.points(shapely.get_coordinates(out))
    return float(shapely.distance(panel, corners).max())
