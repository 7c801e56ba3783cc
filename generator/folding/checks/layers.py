"""Glued faces have an order in which they can be glued: no circle of flaps under each other."""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding.case import Case
from generator.folding.rigid import lap


def layer_findings(case: Case) -> Iterator[Finding]:
    """The first circle of faces of which each lies under the next."""
    if not case.closes():
        return
    above: dict[int, set[int]] = defaultdict(set)
    for low, high, act in _laps(case):
        if _reaches(above, high, low):
            yield finding("layers-circle", act.span, f"here {case.called(low)} and others lie under each other in a circle",
                          "glue them in an order in which the last one lies on top of all: order=in_turn or opposite")
            return
        above[low].add(high)


def _laps(case: Case) -> Iterator[tuple[int, int, object]]:
    """(lower panel, upper panel, act) for faces that are glued on each other and lie so."""
    flat, frames = case.folded.flat, case.folded.frames
    before: dict[int, list[int]] = defaultdict(list)
    for each in case.stuck:
        if each.paired:
            low, high = (each.target_panel, each.panel) if each.over else (each.panel, each.target_panel)
            if low != high and lap(flat, frames, low, high) > 0.02:
                yield low, high, each.act
            continue
        earlier = before[each.act.number] or [each.target_panel]
        for k in earlier:
            if k != each.panel and lap(flat, frames, k, each.panel) > 0.02:
                yield k, each.panel, each.act
        before[each.act.number] = [*earlier, each.panel]


def _reaches(above: dict[int, set[int]], start: int, goal: int) -> bool:
    seen, queue = {start}, [start]
    while queue:
        k = queue.pop()
        if k == goal:
            return True
        queue.extend(above[k] - seen)
        seen |= above[k]
    return False
