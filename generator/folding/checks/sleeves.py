"""A drawer slides into its sleeve, with the layers of paper of both."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from generator.findings import Finding, finding
from generator.folding.case import Case
from generator.folding.checks.lids import layers_on

FACING = -0.999     # cosine; panels whose outsides look away from each other
SLACK = 1e-6        # mm


def sleeve_findings(cases: Sequence[Case]) -> Iterator[Finding]:
    """For each piece called a sleeve and the one drawer beside it: whether it is too tight across or upwards."""
    for sleeve, drawer in sleeves(cases):
        for way, spare, needed in rooms(sleeve, drawer):
            if spare < needed - SLACK:
                yield finding("sleeve-tight", sleeve.info.span, f"{way} the sleeve '{sleeve.info.name}' is "
                              f"{sleeve.say(max(spare, 0))} wider than '{drawer.info.name}', and the paper between their folds takes "
                              f"{sleeve.say(needed)}", "make the sleeve wider or the drawer narrower")


def sleeves(cases: Sequence[Case]) -> Iterator[tuple[Case, Case]]:
    """Pairs of a sleeve, which is a ring without a floor, and the one piece with a floor that goes into it."""
    inner = [case for case in cases if case.closes() and case.folded.figures is not None and case.folded.figures.floor is not None]
    for sleeve in cases:
        if "sleeve" in sleeve.info.name and sleeve.closes() and sleeve not in inner and len(inner) == 1 and len(_spans(sleeve)) == 2:
            yield sleeve, inner[0]


def rooms(sleeve: Case, drawer: Case) -> list[tuple[str, float, float]]:
    """(way, how much wider the sleeve is, what the paper takes), across and upwards, mm.

    Measured between the middles of walls: half a wall of each on both sides,
    and whatever is glued inside the sleeve or outside on the drawer.
    """
    across, deep, high = drawer.folded.figures.size
    (first, one), (second, two) = _spans(sleeve)
    if abs(second - high) < abs(first - high):
        (first, one), (second, two) = (second, two), (first, one)
    wide = min((across, deep), key=lambda side: abs(side - second))
    walls = [panel.id for panel in drawer.folded.flat.panels if drawer.firm(panel.id)]
    outside = layers_on(drawer, walls)[1]
    paper = sleeve.thickness + drawer.thickness + outside
    return [("across", second - wide, paper + layers_on(sleeve, two)[0]), ("upwards", first - high, paper + layers_on(sleeve, one)[0])]


def _spans(case: Case) -> list[tuple[float, list[int]]]:
    """The distances of opposite walls of a ring, and those walls."""
    rows: list[tuple[float, list[int], np.ndarray]] = []
    firm = [panel.id for panel in case.folded.flat.panels if case.firm(panel.id)]
    for k in firm:
        for j in firm[firm.index(k) + 1:]:
            normal = case.folded.normal(k)
            if normal @ case.folded.normal(j) < FACING:
                apart = abs(float((case.folded.corners(j).mean(axis=0) - case.folded.corners(k).mean(axis=0)) @ normal))
                same = next((row for row in rows if abs(abs(row[2] @ normal) - 1) < 1e-3), None)
                if same is None:
                    rows.append((apart, [k, j], normal))
                else:
                    rows[rows.index(same)] = (max(same[0], apart), sorted({*same[1], k, j}), same[2])
    return [(apart, walls) for apart, walls, _ in rows]
