"""Panels do not pass through each other; those that swing freely, in none of the ways they may lie."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely import LineString, Polygon

from generator.findings import Finding, Severity, finding
from generator.folding.features.tabs_and_rings import leaves_panel_out
from generator.folding.features.tops import top_of
from generator.folding.piece_context import PieceContext, has_undetermined_path
from generator.folding.records import FoldedPiece
from generator.folding.rigid_folding import faces_off_target
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import CLOSING_TOLERANCE, COLLISION_MARGIN

BEYOND_ANY_PIECE = 1e5           # mm; longer than any piece
# ways in which panels that nothing settles are tried
TRIAL_ANGLES = np.radians((20, 55, 90, 125, 160, 179))


def collision_findings(context: PieceContext) -> Iterator[Finding]:
    """The pair of settled panels that pass through each other most, beyond the thickness of the paper.

    Where a panel swings freely, a pair that is in each other's way however
    far it is swung: a warning, for only some of the ways are tried.
    """
    if not context.closes():
        return
    rigid = [k for k in range(len(context.folded.flat.panels)) if context.is_rigid(k)]
    undetermined = {k for k in rigid if has_undetermined_path(context.folded, context.link.paths, k)}
    worst = _deepest_collision(context, [k for k in rigid if k not in undetermined])
    if worst is not None:
        deep, pair = worst
        yield finding("panels-collide", context.last_fold(*pair),
                      f"{context.panel_name(pair[0])} and {context.panel_name(pair[1])} pass "
                      f"through each other over {context.length_text(deep)}",
                      "make one of them shorter or narrower, or notch it")
    elif (undetermined and _is_otherwise_sound(context)
          and (worst := _deepest_collision(context, rigid)) is not None
          and not _some_trial_is_free(context, rigid)):
        deep, pair = worst
        yield finding("panels-collide", context.last_fold(*pair),
                      f"{context.panel_name(pair[0])} and {context.panel_name(pair[1])} seem to be in "
                      f"each other's way over {context.length_text(deep)}, however they are swung",
                      "say how far they are folded (by=…), or make one of them shorter", Severity.WARNING)


def _is_otherwise_sound(context: PieceContext) -> bool:
    """Whether all else is right, the top too; if it is not, what swings has no place yet."""
    top = top_of(context)
    on_target = not faces_off_target(context.folded.flat, context.folded.frames,
                                context.glued) and not leaves_panel_out(context)
    return on_target and all(r.gap <= 2 * CLOSING_TOLERANCE
                        for r in context.folded.residuals) and (top is None or top.closes)


def _some_trial_is_free(context: PieceContext, rigid: Sequence[int]) -> bool:
    """Whether nothing collides in one of the ways in which the unsettled panels are tried."""
    folded = context.folded
    signs = np.array([h.bend.sign for h in folded.flat.hinges], float)
    for swing in TRIAL_ANGLES:
        angles = folded.angles.copy()
        angles[list(folded.unconstrained)] = swing
        frames = context.link.frames(signs * angles)
        if _deepest_collision(replace(context, folded=replace(folded, angles=angles, frames=frames)),
                              rigid) is None:
            return True
    return False


def _deepest_collision(context: PieceContext, panels: Sequence[int]) -> tuple[float, tuple[int, int]] | None:
    """How far the two panels that collide most do so, in mm, and which; the largest pair of equals."""
    margin = context.thickness + COLLISION_MARGIN
    found = [(deep, pair) for pair in _candidate_pairs(context, panels, margin)
             if (deep := _shared_length(context, *pair, margin)) > margin]
    return max(found, key=lambda row: row[0], default=None)


def _candidate_pairs(context: PieceContext, rigid: Sequence[int], margin: float) -> Iterator[tuple[int, int]]:
    """Pairs of panels of which each has corners well on both sides of the other's plane."""
    folded = context.folded
    corners = {k: folded.corners(k) for k in rigid}
    lows, highs = (np.array([f(corners[k], axis=0) for k in rigid]).reshape(-1, 3) for f in (np.min, np.max))
    for place, one in enumerate(rigid):
        close = np.all((lows[place + 1:] < highs[place]) & (highs[place + 1:] > lows[place]), axis=1)
        for step in np.flatnonzero(close):
            other = rigid[place + 1 + int(step)]
            if _straddles(folded, corners[other], one,
                          margin) and _straddles(folded, corners[one], other, margin):
                yield one, other


def _straddles(folded: FoldedPiece, corners: FloatArray, panel: int, margin: float) -> bool:
    heights = (corners - folded.frames[panel][:3, 3]) @ folded.normal(panel)
    return bool(heights.min() < -margin and heights.max() > margin)


def _shared_length(context: PieceContext, one: int, other: int, margin: float) -> float:
    """How long two panels, each without a border of the margin, share the line in which their planes meet."""
    folded = context.folded
    axis = np.cross(folded.normal(one), folded.normal(other))
    size = np.linalg.norm(axis)
    if size < 1e-6:
        return 0.0
    axis /= size
    planes = np.array((folded.normal(one), folded.normal(other), axis))
    point = np.linalg.solve(planes, np.array((folded.normal(one) @ folded.frames[one][:3, 3],
                                              folded.normal(other) @ folded.frames[other][:3, 3], 0.0)))
    spans = [_intervals_on_line(folded.frames[k], folded.flat.panels[k].polygon.buffer(-margin), point, axis)
             for k in (one, other)]
    return max((min(b, d) - max(a, c) for a, b in spans[0] for c, d in spans[1]), default=0.0)


def _intervals_on_line(frame: FloatArray, polygon: Polygon, point: FloatArray,
                       axis: FloatArray) -> list[tuple[float, float]]:
    """Where a line in a panel's plane lies within the panel, as distances along the line."""
    start, step = (frame[:3, :2].T @ (point - frame[:3, 3])), frame[:3, :2].T @ axis
    cut = polygon.intersection(LineString([start - BEYOND_ANY_PIECE * step, start + BEYOND_ANY_PIECE * step]))
    parts = [g for g in getattr(cut, "geoms", [cut]) if isinstance(g, LineString) and not g.is_empty]
    along = [np.sort((shapely.get_coordinates(g)[[0, -1]] - start) @ step) for g in parts]
    return [(float(a), float(b)) for a, b in along]
