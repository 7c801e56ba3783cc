"""A lid goes over its base, with the layers of paper of both."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from generator.findings import Finding, finding
from generator.folding.case import Case
from generator.folding.checks.coats import coats
from generator.folding.linkage import linkage

BASES = ("base", "box", "tray", "bottom")
SLACK = 1e-6        # mm


def lid_findings(cases: Sequence[Case]) -> Iterator[Finding]:
    """For each piece called a lid and the one base beside it: whether it is too tight across or deep."""
    for lid, base in lids(cases):
        for way, spare, needed in clearances(lid, base):
            if spare < needed - SLACK:
                yield finding("lid-tight", lid.info.span, f"{way} the lid '{lid.info.name}' is {lid.say(max(spare, 0))} wider than "
                              f"'{base.info.name}', and the paper of both walls takes {lid.say(needed)}",
                              "make the lid wider or the base narrower")


def lid_facts(cases: Sequence[Case]) -> Iterator[str]:
    """How much air a lid has round its base."""
    for lid, base in lids(cases):
        air = min(spare - needed for _, spare, needed in clearances(lid, base))
        if air >= -SLACK:
            yield f"'{lid.info.name}' goes over '{base.info.name}' with {air:.2f} mm to spare"


def lids(cases: Sequence[Case]) -> Iterator[tuple[Case, Case]]:
    """Pairs of a lid and its base, both folded up round a floor."""
    whole = [case for case in cases if case.closes() and _walls(case)]
    for lid in whole:
        others = [case for case in whole if case is not lid and "lid" not in case.info.name]
        named = [case for case in others if any(word in case.info.name for word in BASES)]
        if "lid" in lid.info.name and len(named or others) == 1:
            yield lid, (named or others)[0]


def _walls(case: Case) -> list[int]:
    flat = case.folded.flat
    root = linkage(flat).root
    return [h.other(root) for h in flat.hinges_of(root) if abs(case.folded.angles[h.id] - np.pi / 2) < 0.3]


def clearances(lid: Case, base: Case) -> list[tuple[str, float, float]]:
    """(direction, how much wider the lid is, what the paper takes), for the longer and the shorter way, mm.

    Both measured between the middles of their walls: half a wall of each on
    both sides, and every layer glued inside a wall of the lid or outside one
    of the base, tabs as well as mats of other paper.
    """
    big, small = _spans(lid), _spans(base)
    rows = []
    for way, (wide, lid_layers), (narrow, base_layers) in zip(("lengthwise", "across"), big, small):
        needed = lid.thickness + lid_layers[0] + base.thickness + base_layers[1]
        rows.append((way, wide - narrow, needed))
    return rows


def _spans(case: Case) -> list[tuple[float, tuple[float, float]]]:
    """For both ways, longer first: distance of the walls, and what is glued (inside, outside) on the two walls, all in mm."""
    folded = case.folded
    root = linkage(folded.flat).root
    frame, size = folded.frames[root], np.ptp(np.asarray(folded.flat.panels[root].polygon.exterior.coords), axis=0)
    rows = []
    for axis in (0, 1):
        walls = [k for k in _walls(case) if abs(folded.normal(k) @ frame[:3, axis]) > 0.7]
        rows.append((float(size[axis]), layers_on(case, walls)))
    return sorted(rows, key=lambda row: -row[0])


def layers_on(case: Case, walls: Sequence[int]) -> tuple[float, float]:
    """How thick what is glued on these walls is together, (inside, outside): its own tabs, and paper of other pieces."""
    own = {(s.target_panel, s.over) for s in case.stuck if s.paired and s.target_panel in walls and s.panel != s.target_panel}
    within = sum(1 for _, over in own if not over)
    inside, outside = coats(case, walls)
    return within * case.thickness + inside, (len(own) - within) * case.thickness + outside
