"""Panels do not pass through each other in the folded box."""
from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import LineString, Polygon

from generator.findings import Finding, finding
from generator.folding.case import Case, path_is_loose
from generator.folding.linkage import linkage

PLAY = 0.15         # mm beyond the paper's thickness before two panels are said to collide
FAR = 1e5           # mm; longer than any piece


def piercing_findings(case: Case) -> Iterator[Finding]:
    """The pair of panels that pass through each other most, beyond the thickness of the paper."""
    if not case.closes():
        return
    margin = case.thickness + PLAY
    worst, pair = margin, None
    for one, other in _near(case, margin):
        deep = _shared(case, one, other, margin)
        if deep > worst:
            worst, pair = deep, (one, other)
    if pair is not None:
        yield finding("panels-collide", case.last_fold(*pair), f"{case.called(pair[0])} and {case.called(pair[1])} pass "
                      f"through each other over {case.say(worst)}", "make one of them shorter or narrower, or notch it")


def _near(case: Case, margin: float) -> Iterator[tuple[int, int]]:
    """Pairs of settled panels of which each has corners well on both sides of the other's plane."""
    folded = case.folded
    paths = linkage(folded.flat).paths
    firm = [k for k in range(len(folded.flat.panels)) if case.firm(k) and not path_is_loose(folded, paths, k)]
    corners = {k: folded.corners(k) for k in firm}
    lows, highs = (np.array([f(corners[k], axis=0) for k in firm]).reshape(-1, 3) for f in (np.min, np.max))
    for place, one in enumerate(firm):
        close = np.all((lows[place + 1:] < highs[place]) & (highs[place + 1:] > lows[place]), axis=1)
        for step in np.flatnonzero(close):
            other = firm[place + 1 + step]
            if _straddles(folded, corners[other], one, margin) and _straddles(folded, corners[one], other, margin):
                yield one, other


def _straddles(folded: object, corners: np.ndarray, panel: int, margin: float) -> bool:
    heights = (corners - folded.frames[panel][:3, 3]) @ folded.normal(panel)
    return heights.min() < -margin and heights.max() > margin


def _shared(case: Case, one: int, other: int, margin: float) -> float:
    """How long two panels, each without a border of the margin, share the line in which their planes meet."""
    folded = case.folded
    axis = np.cross(folded.normal(one), folded.normal(other))
    size = np.linalg.norm(axis)
    if size < 1e-6:
        return 0.0
    axis /= size
    planes = np.array((folded.normal(one), folded.normal(other), axis))
    point = np.linalg.solve(planes, np.array((folded.normal(one) @ folded.frames[one][:3, 3],
                                              folded.normal(other) @ folded.frames[other][:3, 3], 0.0)))
    spans = [_spans(folded.frames[k], folded.flat.panels[k].polygon.buffer(-margin), point, axis) for k in (one, other)]
    return max((min(b, d) - max(a, c) for a, b in spans[0] for c, d in spans[1]), default=0.0)


def _spans(frame: np.ndarray, polygon: Polygon, point: np.ndarray, axis: np.ndarray) -> list[tuple[float, float]]:
    """Where a line in a panel's plane lies within the panel, as distances along the line."""
    start, step = (frame[:3, :2].T @ (point - frame[:3, 3])), frame[:3, :2].T @ axis
    cut = polygon.intersection(LineString([start - FAR * step, start + FAR * step]))
    parts = [g for g in getattr(cut, "geoms", [cut]) if isinstance(g, LineString) and not g.is_empty]
    along = [np.sort((shapely.get_coordinates(g)[[0, -1]] - start) @ step) for g in parts]
    return [(float(a), float(b)) for a, b in along]
