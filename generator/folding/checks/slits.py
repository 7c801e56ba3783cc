"""Cuts and slits stop at the score they lead to."""
from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from generator.findings import Finding, finding
from generator.folding.case import Case
from generator.geometry import Line, Stroke
from generator.paper.records import Mark

OVERRUN = 8.0       # mm; a cut that goes on farther than this behind a fold is meant to (common practice, no source)
LEAST = 0.05        # mm


def slit_findings(case: Case) -> Iterator[Finding]:
    """One finding for each statement with a cut that ends a little behind a fold."""
    marks = {mark.id: mark for mark in case.state.marks}
    folds = [shapely.linestrings([(float(p.x), float(p.y)) for p in run.flattened()])
             for fold in case.state.folds for run in fold.runs]
    told: set[int] = set()
    for ident, tip in case.folded.flat.tips:
        mark = marks[ident]
        past = _past(mark, tip, folds)
        if past is not None and mark.act not in told:
            told.add(mark.act)
            name = f" '{mark.name}'" if mark.name else ""
            yield finding("cut-overruns", mark.span, f"the {mark.verb}{name} runs {case.say(past)} past the score it comes to",
                          "end it at the score, or a hair before it")


def _past(mark: Mark, tip: np.ndarray, folds: list[shapely.LineString]) -> float | None:
    """How far a cut runs on behind the last fold it meets; None where it ends on a fold, or far from any."""
    found = []
    for run in mark.runs:
        line = shapely.linestrings([(float(p.x), float(p.y)) for p in run.flattened()])
        if line.distance(shapely.Point(tip)) > 1e-3:
            continue
        end = line.project(shapely.Point(tip))
        for fold in folds:
            meet = line.intersection(fold)
            if not meet.is_empty and meet.geom_type == "Point" and not _goes_on(run, fold):
                found.append(abs(line.project(meet) - end))
    past = min(found, default=None)
    return past if past is not None and LEAST < past <= OVERRUN else None


def _goes_on(run: Stroke, fold: shapely.LineString) -> bool:
    """Whether a fold runs along the cut's own line, so that it is not one to stop at."""
    if not isinstance(run, Line):
        return False
    u, (a, b) = np.array([float(x) for x in run.step]), np.asarray(fold.coords)[[0, -1]]
    return abs(u[0] * (b - a)[1] - u[1] * (b - a)[0]) < 0.05 * np.hypot(*u) * np.hypot(*(b - a))
