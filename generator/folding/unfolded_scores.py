"""Scores that are never folded, whole or in part, and which fold forgot them."""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely

from generator.dataclass import dataclass
from generator.findings import Finding, finding
from generator.folding.plan_lines import LineOrigin, mark_name
from generator.geometry.arrays import FloatArray
from generator.geometry.noding import Edge, Network
from generator.geometry.strokes import polyline
from generator.geometry.tolerances import CHORD_TOLERANCE
from generator.paper.records import Fold, Mark, PieceState

# statements of scores about one panel that are folded together: one more was forgotten
MIN_FELLOWS = 2
MAX_FLAT_REST = 1.0           # mm; so much of a score may stay flat at its ends, where a stylus is lifted


@dataclass(frozen=True, slots=True)
class CellsBeside:
    """The network of a piece's lines, the cells on both sides of each edge, and those beside curved folds."""

    net: Network[LineOrigin]
    cells: Mapping[Edge, Sequence[int]]
    soft: frozenset[int]

    def is_open(self, edge: Edge) -> bool:
        """Whether the paper goes on flat across an edge: a score that is not folded."""
        return not {o.kind for o in self.net.edges[edge]} & {"rim", "cut", "fold"}


def unfolded_scores(state: PieceState, beside: CellsBeside) -> Iterator[Finding]:
    """Scores that stay flat, whole or in part; where their fellows are folded that fold is at fault."""
    if not state.folds:
        return
    marks = {mark.id: mark for mark in state.marks}
    flat = _flat_edges(state, beside)
    folded = {fold.mark for fold in state.folds}
    reported: set[int] = set()
    for mark in sorted((marks[m] for m in flat), key=lambda m: m.id):
        rest = sum(float(np.hypot(*(beside.net.nodes[b] - beside.net.nodes[a]))) for a, b in flat[mark.id])
        fold = _fold_at_fault(state, beside, mark, flat[mark.id])
        if mark.id in folded and rest <= MAX_FLAT_REST or (fold.act if fold else mark.act) in reported:
            continue
        reported.add(fold.act if fold else mark.act)
        if fold is None:
            yield finding("score-unfolded", mark.span, f"{mark_name(mark)} is never folded",
                          "fold it, leave it out, or say keep=flat where it only guides the eye")
        else:
            part = "a part of " if mark.id in folded else ""
            yield finding("score-unfolded", fold.span, f"this fold leaves {part}{mark_name(mark)} flat",
                          "fold all of it, or end the score where its fold ends")


def _flat_edges(state: PieceState, beside: CellsBeside) -> dict[int, list[Edge]]:
    """Score → the edges of it that are never folded, with paper on both sides."""
    marks = {mark.id: mark for mark in state.marks}
    rest: dict[int, list[Edge]] = defaultdict(list)
    rows = {marks[fold.mark].act for fold in state.folds}
    for edge, cells in beside.cells.items():
        if len(cells) < 2 or not beside.is_open(edge):
            continue
        for which in {o.which for o in beside.net.edges[edge] if o.kind == "score"}:
            mark = marks[which]
            # paper beside a curve gives, so a line there that nobody folds is no mistake
            gives = mark.act not in rows and beside.soft & set(cells)
            if mark.kind.must_fold and not mark.stays_flat and not gives:
                rest[which].append(edge)
    return rest


def _fold_at_fault(state: PieceState, beside: CellsBeside, mark: Mark, edges: Sequence[Edge]) -> Fold | None:
    """The last fold that folds its fellows where a score stays flat, or else the score itself elsewhere.

    Fellows are the scores of the same row, or those that bound a panel with it and are folded together.
    """
    marks = {each.id: each for each in state.marks}
    at = [_share_along(mark, beside.net.nodes[list(edge)].mean(axis=0)) for edge in edges]
    row = [f for f in state.folds if marks[f.mark].act == mark.act]
    same = [f for f in row if f.mark != mark.id and any(
        low <= share <= high for low, high in _shares(marks[f.mark], f) for share in at)]
    if same or row:
        return (same or [f for f in row if f.mark == mark.id] or row)[-1]
    cells = {cell for edge in edges for cell in beside.cells[edge]}
    near = {o.which for edge, own in beside.cells.items() if cells & set(own)
              for o in beside.net.edges[edge] if o.kind == "fold"}
    found = [state.folds[k] for k in sorted(near)]
    statements = {f.act: {marks[o.mark].act for o in found if o.act == f.act} for f in found}
    together = [f for f in found if len(statements[f.act]) >= MIN_FELLOWS]
    return together[-1] if together else None


def _share_along(mark: Mark, point: FloatArray) -> float:
    """How far along a mark a point lies, from 0 to 1."""
    line = shapely.LineString(np.concatenate([polyline(stroke, CHORD_TOLERANCE) for stroke in mark.whole]))
    return float(line.project(shapely.Point(point), normalized=True))


def _shares(mark: Mark, fold: Fold) -> list[tuple[float, float]]:
    """From where to where along its mark a fold runs, from 0 to 1."""
    return [(min(ends), max(ends)) for run in fold.runs
            for ends in [[_share_along(mark, point) for point in polyline(run, CHORD_TOLERANCE)[[0, -1]]]]]
