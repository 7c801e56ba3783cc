"""A lid goes over its base, with the layers of paper of both.

A drawer slides into its sleeve, with the layers of paper of both.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from generator.findings import Finding, finding
from generator.folding.features.wall_layers import foreign_layers
from generator.folding.kinematics import linkage
from generator.folding.piece_context import PieceContext
from generator.geometry.arrays import FloatArray

BASE_WORDS = ("base", "box", "tray", "bottom")
CLEARANCE_TOLERANCE = 1e-6        # mm


def lid_findings(cases: Sequence[PieceContext]) -> Iterator[Finding]:
    """For each piece called a lid and the one base beside it: whether it is too tight across or deep."""
    for lid, base in lid_pairs(cases):
        for way, spare, needed in lid_clearances(lid, base):
            if spare < needed - CLEARANCE_TOLERANCE:
                yield finding("lid-tight", lid.info.span,
                              f"{way} the lid '{lid.info.name}' is {lid.say(max(spare, 0))} wider than "
                              f"'{base.info.name}', and the paper of both walls takes {lid.say(needed)}",
                              "make the lid wider or the base narrower")


def lid_facts(cases: Sequence[PieceContext]) -> Iterator[str]:
    """How much air a lid has round its base."""
    for lid, base in lid_pairs(cases):
        air = min(spare - needed for _, spare, needed in lid_clearances(lid, base))
        if air >= -CLEARANCE_TOLERANCE:
            yield f"'{lid.info.name}' goes over '{base.info.name}' with {air:.2f} mm to spare"


def lid_pairs(cases: Sequence[PieceContext]) -> Iterator[tuple[PieceContext, PieceContext]]:
    """Pairs of a lid and its base, both folded up round a floor."""
    whole = [case for case in cases if case.closes() and _upright_walls(case)]
    for lid in whole:
        others = [case for case in whole if case is not lid and "lid" not in case.info.name]
        named = [case for case in others if any(word in case.info.name for word in BASE_WORDS)]
        if "lid" in lid.info.name and len(named or others) == 1:
            yield lid, (named or others)[0]


def _upright_walls(case: PieceContext) -> list[int]:
    flat = case.folded.flat
    root = linkage(flat).root
    return [h.other(root) for h in flat.hinges_of(root) if abs(case.folded.angles[h.id] - np.pi / 2) < 0.3]


def lid_clearances(lid: PieceContext, base: PieceContext) -> list[tuple[str, float, float]]:
    """(direction, how much wider the lid is, what the paper takes), for the longer and the shorter way, mm.

    Both measured between the middles of their walls: half a wall of each on
    both sides, and every layer glued inside a wall of the lid or outside one
    of the base, tabs as well as mats of other paper.
    """
    big, small = _lid_spans(lid), _lid_spans(base)
    rows = []
    for way, (wide, lid_layers), (narrow, base_layers) in zip(("lengthwise", "across"), big, small,
                                                              strict=False):
        needed = lid.thickness + lid_layers[0] + base.thickness + base_layers[1]
        rows.append((way, wide - narrow, needed))
    return rows


def _lid_spans(case: PieceContext) -> list[tuple[float, tuple[float, float]]]:
    """For both ways, longer first.

    Distance of the walls, and what is glued (inside, outside) on the two walls, all in mm.
    """
    folded = case.folded
    root = linkage(folded.flat).root
    frame, size = folded.frames[root], np.ptp(np.asarray(folded.flat.panels[root].polygon.exterior.coords),
                                              axis=0)
    rows = []
    for axis in (0, 1):
        walls = [k for k in _upright_walls(case) if abs(folded.normal(k) @ frame[:3, axis]) > 0.7]
        rows.append((float(size[axis]), wall_layers(case, walls)))
    return sorted(rows, key=lambda row: -row[0])


def wall_layers(case: PieceContext, walls: Sequence[int]) -> tuple[float, float]:
    """How thick what is glued on these walls is together, (inside, outside).

    Its own tabs, and paper of other pieces.
    """
    own = {(s.target_panel, s.over) for s in case.stuck if s.paired and s.target_panel in walls
           and s.panel != s.target_panel}
    within = sum(1 for _, over in own if not over)
    inside, outside = foreign_layers(case, walls)
    return within * case.thickness + inside, (len(own) - within) * case.thickness + outside


OPPOSITE_COSINE = -0.999     # cosine; panels whose outsides look away from each other
SLEEVE_TOLERANCE = 1e-6        # mm


def sleeve_findings(cases: Sequence[PieceContext]) -> Iterator[Finding]:
    """For each piece called a sleeve and the one drawer beside it.

    Whether it is too tight across or upwards.
    """
    for sleeve, drawer in sleeve_pairs(cases):
        for way, spare, needed in sleeve_clearances(sleeve, drawer):
            if spare < needed - SLEEVE_TOLERANCE:
                yield finding("sleeve-tight", sleeve.info.span, f"{way} the sleeve '{sleeve.info.name}' is "
                              f"{sleeve.say(max(spare, 0))} wider than '{drawer.info.name}', "
                               "and the paper between their folds takes "
                              f"{sleeve.say(needed)}", "make the sleeve wider or the drawer narrower")


def sleeve_pairs(cases: Sequence[PieceContext]) -> Iterator[tuple[PieceContext, PieceContext]]:
    """Pairs of a sleeve and the one piece with a floor that goes into it.

    A sleeve is a ring without a floor.
    """
    inner = [case for case in cases if case.closes() and case.folded.figures is not None
             and case.folded.figures.floor is not None]
    for sleeve in cases:
        if ("sleeve" in sleeve.info.name and sleeve.closes() and sleeve not in inner and len(inner) == 1
            and len(_wall_distances(sleeve)) == 2):
            yield sleeve, inner[0]


def sleeve_clearances(sleeve: PieceContext, drawer: PieceContext) -> list[tuple[str, float, float]]:
    """(way, how much wider the sleeve is, what the paper takes), across and upwards, mm.

    Measured between the middles of walls: half a wall of each on both sides,
    and whatever is glued inside the sleeve or outside on the drawer.
    """
    if drawer.folded.figures is None:
        return []
    across, deep, high = drawer.folded.figures.size
    (first, one), (second, two) = _wall_distances(sleeve)
    if abs(second - high) < abs(first - high):
        (first, one), (second, two) = (second, two), (first, one)
    wide = min((across, deep), key=lambda side: abs(side - second))
    walls = [panel.id for panel in drawer.folded.flat.panels if drawer.firm(panel.id)]
    outside = wall_layers(drawer, walls)[1]
    paper = sleeve.thickness + drawer.thickness + outside
    return [("across", second - wide, paper + wall_layers(sleeve, two)[0]),
            ("upwards", first - high, paper + wall_layers(sleeve, one)[0])]


def _wall_distances(case: PieceContext) -> list[tuple[float, list[int]]]:
    """The distances of opposite walls of a ring, and those walls."""
    rows: list[tuple[float, list[int], FloatArray]] = []
    firm = [panel.id for panel in case.folded.flat.panels if case.firm(panel.id)]
    for k in firm:
        for j in firm[firm.index(k) + 1:]:
            normal = case.folded.normal(k)
            if normal @ case.folded.normal(j) < OPPOSITE_COSINE:
                step = case.folded.corners(j).mean(axis=0) - case.folded.corners(k).mean(axis=0)
                apart = abs(float(step @ normal))
                same = next((row for row in rows if abs(abs(row[2] @ normal) - 1) < 1e-3), None)
                if same is None:
                    rows.append((apart, [k, j], normal))
                else:
                    rows[rows.index(same)] = (max(same[0], apart), sorted({*same[1], k, j}), same[2])
    return [(apart, walls) for apart, walls, _ in rows]
