"""A glued tab lies on its panel, not on the one it hangs on, does not stick out and is wide enough to hold."""
from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Polygon

from generator.findings import Finding, Severity, finding
from generator.folding.case import Case
from generator.folding.closings import Stuck, face_polygon
from generator.folding.rigid import beside, seen_from

OVER = 0.5          # mm; a tab may reach so far beyond an edge before anybody sees it
DUST = 0.5          # mm²
NARROW = 5.0        # mm; a narrower tab holds badly (common practice, no source)
FLAT = np.pi - 1e-3


def tab_findings(case: Case) -> Iterator[Finding]:
    """One finding for each glue statement, for the tab that reaches farthest."""
    yield from _own(case)
    yield from _behind(case)
    yield from _narrow(case)
    if not case.closes():
        return
    off = {each.act.number: each for each in reversed(beside(case.folded.flat, case.folded.frames, case.stuck))}
    for each in off.values():
        yield finding("glue-apart", each.act.span, f"{_called(each)} comes to lie beside what it is glued to, not on it",
                      "look at the directions of the folds between them, and at what it is glued to")
    worst: dict[int, tuple[float, Stuck]] = {}
    for each in case.stuck:
        if each.paired and each.panel != each.target_panel and each.act.number not in off:
            far = reach_beyond(case, each)
            if far > OVER and far > worst.get(each.act.number, (0.0, each))[0]:
                worst[each.act.number] = far, each
    for far, each in worst.values():
        yield finding("tab-sticks-out", each.act.span, f"{_called(each)} reaches {case.say(far)} beyond the panel it is glued to",
                      "make it smaller, or taper its ends")


def _own(case: Case) -> Iterator[Finding]:
    """Tabs glued to the panel they hang on, unless that is folded flat on purpose."""
    told = set()
    for each in case.stuck:
        hung = [h for h in case.folded.flat.hinges_of(each.panel) if h.other(each.panel) == each.target_panel]
        flat = hung and all(h.bend.angle is not None and h.bend.angle > FLAT for h in hung)
        if each.paired and not flat and (hung or each.panel == each.target_panel) and each.act.number not in told:
            told.add(each.act.number)
            where = "the panel that it hangs on" if hung else "the very panel that it is part of"
            yield finding("glue-own", each.act.span, f"{_called(each)} is glued to {where}",
                          "name the panel that it shall hold" + ("; a hem is folded by=180 deg" if hung else ""))


def _behind(case: Case) -> Iterator[Finding]:
    """Flaps folded flat on one panel and glued on each other, of which one lies on its other side."""
    groups: dict[int, set[int]] = {}
    for each in case.stuck:
        if not each.paired:
            groups.setdefault(each.act.number, {each.target_panel}).add(each.panel)
    for flaps in groups.values():
        hung = [(h, h.other(k)) for k in sorted(flaps) for h in case.folded.flat.hinges_of(k)
                if h.other(k) not in flaps and case.folded.angles[h.id] > FLAT]
        for base in {other for _, other in hung}:
            row = [h for h, other in hung if other == base]
            usual = 1 if sum(h.bend.sign for h in row) >= 0 else -1
            odd = [h for h in row if h.bend.sign != usual]
            if odd and len(row) > 2:
                yield finding("folds-contradict", odd[0].bend.span, "this takes a flap behind the panel that it hangs on, and those "
                              "it is glued to lie before it", "look at its direction: mountain and valley may be exchanged")


def _narrow(case: Case) -> Iterator[Finding]:
    """Tabs with hardly any room for glue: one finding for each statement that makes them."""
    told = set()
    for each in case.stuck:
        wide = _breadth(face_polygon(each.face))
        if each.paired and each.panel != each.target_panel and wide < NARROW - 1e-3 and each.face.act not in told:
            told.add(each.face.act)
            yield finding("tab-narrow", each.face.span, f"{_called(each)} is {case.say(wide)} wide, and holds badly",
                          f"give it {case.say(NARROW)} or more", Severity.WARNING)


def _breadth(shape: Polygon) -> float:
    """The shorter side of the smallest rectangle about a shape, in mm."""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shape))
    return float(np.hypot(*np.diff(corners[:3], axis=0).T).min()) if len(corners) > 3 else 0.0


def _called(each: Stuck) -> str:
    name = f"'{each.face.name}'" if each.face.name else "this face"
    return name + (f" {each.face.index} of {each.face.count}" if each.face.count > 1 else "")


def reach_beyond(case: Case, each: Stuck) -> float:
    """How far, in mm, a glued face reaches beyond its target's panel."""
    flat, frames = case.folded.flat, case.folded.frames
    whole = face_polygon(each.face).intersection(flat.panels[each.panel].polygon)
    shape, panel = seen_from(flat, frames, each.panel, each.target_panel, whole), flat.panels[each.target_panel].polygon
    out = shape.difference(panel)
    if out.area < DUST:
        return 0.0
    corners = shapely.points(shapely.get_coordinates(out))
    return float(shapely.distance(panel, corners).max())
