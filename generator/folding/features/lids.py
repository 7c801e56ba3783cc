"""Lids over their bases and drawers in their sleeves: who belongs together, and how much room is left."""
from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

import numpy as np

from generator.folding.closings import glued_pairs
from generator.folding.piece_context import PieceContext, paper_thickness
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import OPPOSITE_COSINE
from generator.paper.records import Glue

BASE_WORDS = ("base", "box", "tray", "bottom")


def lid_pairs(contexts: Sequence[PieceContext]) -> Iterator[tuple[PieceContext, PieceContext]]:
    """Pairs of a lid and its base, both folded up round a floor."""
    whole = [context for context in contexts if context.closes() and _upright_walls(context)]
    for lid in whole:
        others = [context for context in whole if context is not lid and "lid" not in context.info.name]
        named = [context for context in others if any(word in context.info.name for word in BASE_WORDS)]
        if "lid" in lid.info.name and len(named or others) == 1:
            yield lid, (named or others)[0]


def _upright_walls(context: PieceContext) -> list[int]:
    flat = context.folded.flat
    root = context.link.root
    return [h.other(root) for h in flat.hinges_of(root) if abs(context.folded.angles[h.id] - np.pi / 2) < 0.3]


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


def _lid_spans(context: PieceContext) -> list[tuple[float, tuple[float, float]]]:
    """Of the longer and the shorter way: the distance of the walls, and what is glued in and out (mm)."""
    folded = context.folded
    root = context.link.root
    frame, size = folded.frames[root], np.ptp(np.asarray(folded.flat.panels[root].polygon.exterior.coords),
                                              axis=0)
    rows = []
    for axis in (0, 1):
        walls = [k for k in _upright_walls(context) if abs(folded.normal(k) @ frame[:3, axis]) > 0.7]
        rows.append((float(size[axis]), wall_layers(context, walls)))
    return sorted(rows, key=lambda row: -row[0])


def wall_layers(context: PieceContext, walls: Sequence[int]) -> tuple[float, float]:
    """The thickness of all that is glued (inside, outside) on these walls, own tabs and other paper."""
    own = {(s.target_panel, s.over) for s in context.glued if s.paired and s.target_panel in walls
           and s.panel != s.target_panel}
    within = sum(1 for _, over in own if not over)
    inside, outside = foreign_layers(context, walls)
    return within * context.thickness + inside, (len(own) - within) * context.thickness + outside


def sleeve_pairs(contexts: Sequence[PieceContext]) -> Iterator[tuple[PieceContext, PieceContext]]:
    """Pairs of a sleeve, a ring without a floor, and the one piece with a floor that goes into it."""
    inner = [context for context in contexts if context.closes() and context.folded.dimensions is not None
             and context.folded.dimensions.floor is not None]
    for sleeve in contexts:
        if ("sleeve" in sleeve.info.name and sleeve.closes() and sleeve not in inner and len(inner) == 1
            and len(_wall_distances(sleeve)) == 2):
            yield sleeve, inner[0]


def sleeve_clearances(sleeve: PieceContext, drawer: PieceContext) -> list[tuple[str, float, float]]:
    """(way, how much wider the sleeve is, what the paper takes), across and upwards, mm.

    Measured between the middles of walls: half a wall of each on both sides,
    and whatever is glued inside the sleeve or outside on the drawer.
    """
    if drawer.folded.dimensions is None:
        return []
    across, deep, high = drawer.folded.dimensions.size
    (first, one), (second, two) = _wall_distances(sleeve)
    if abs(second - high) < abs(first - high):
        (first, one), (second, two) = (second, two), (first, one)
    wide = min((across, deep), key=lambda side: abs(side - second))
    walls = [panel.id for panel in drawer.folded.flat.panels if drawer.is_rigid(panel.id)]
    outside = wall_layers(drawer, walls)[1]
    paper = sleeve.thickness + drawer.thickness + outside
    return [("across", second - wide, paper + wall_layers(sleeve, two)[0]),
            ("upwards", first - high, paper + wall_layers(sleeve, one)[0])]


def _wall_distances(context: PieceContext) -> list[tuple[float, list[int]]]:
    """The distances of opposite walls of a ring, and those walls."""
    rows: list[tuple[float, list[int], FloatArray]] = []
    rigid = [panel.id for panel in context.folded.flat.panels if context.is_rigid(panel.id)]
    for k in rigid:
        for j in rigid[rigid.index(k) + 1:]:
            normal = context.folded.normal(k)
            if normal @ context.folded.normal(j) < OPPOSITE_COSINE:
                step = context.folded.corners(j).mean(axis=0) - context.folded.corners(k).mean(axis=0)
                apart = abs(float(step @ normal))
                same = next((row for row in rows if abs(abs(row[2] @ normal) - 1) < 1e-3), None)
                if same is None:
                    rows.append((apart, [k, j], normal))
                else:
                    rows[rows.index(same)] = (max(same[0], apart), sorted({*same[1], k, j}), same[2])
    return [(apart, walls) for apart, walls, _ in rows]


def foreign_layers(context: PieceContext, panels: Collection[int]) -> tuple[float, float]:
    """The thickness of other pieces on these panels (inside, outside); glued over a face is outside."""
    within = without = 0.0
    for thick, over in _foreign_layers(context, panels):
        within, without = (within, without + thick) if over else (within + thick, without)
    return within, without


def _foreign_layers(context: PieceContext, panels: Collection[int]) -> Iterator[tuple[float, bool]]:
    own = context.info.id
    for act in context.plan.acts:
        if isinstance(act.detail, Glue):
            for face, target, _ in glued_pairs(act.detail):
                if target.piece == own and face.piece != own and context.locator.panel(target) in panels:
                    yield paper_thickness(context.plan.pieces[face.piece].paper), act.detail.over
