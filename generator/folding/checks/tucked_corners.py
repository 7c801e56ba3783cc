"""Flaps that close a corner from within, unglued: each lies behind the panel along whose edge it folds."""
from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from generator.dataclass import dataclass
from generator.findings import Finding, Severity, finding
from generator.folding.features.tops import top_of
from generator.folding.piece_context import PieceContext
from generator.folding.records import Hinge, placed_points
from generator.geometry.arrays import FloatArray

MAX_STANDING = 15.0     # degrees between a tuck and its panel; paper springs so far by itself
MIN_AWAY = 90.0         # degrees, from which on it lies on the other side, and closes nothing
MAX_PARTING = 3.0       # mm between a fold and the edge it runs along, at the end of the shorter
MAX_BESIDE = 25.0       # degrees between a fold and an edge, beyond which neither was meant for the other
MIN_CORNER = 15.0       # degrees between two panels, below which there is no corner
MAX_OFF_CORNER = 1.0    # mm from the corner of a fold to that of an edge
MIN_RUN = 10.0          # mm of a fold and of an edge, both of which are to run together


@dataclass(frozen=True, slots=True)
class CornerEdge:
    """An edge of a ``panel`` beside a ``fold`` (2 × 3), and how far it is from it at its end (mm)."""

    panel: int
    fold: FloatArray
    parting: float


def tucked_corner_findings(context: PieceContext) -> Iterator[Finding]:
    """One for each statement with tucks that stand off what they go behind, or hang beside its edge."""
    # the gussets of a gathered top are judged by the height of its crown
    if not context.closes() or top_of(context) is not None:
        return
    held = {k for each in context.glued for k in (each.panel, each.target_panel)} | {
        context.locator.panel(face) for closure in context.plan.closures for face in closure.faces
        if face.piece == context.info.id}
    reported: set[int] = set()
    for panel in range(len(context.folded.flat.panels)):
        hinges = context.folded.flat.hinges_of(panel)
        if (len(hinges) != 1 or panel in held or hinges[0].bend.act in reported
                or not context.is_rigid(panel) or not context.is_rigid(hinges[0].other(panel))):
            continue
        if (fault := _fault(context, panel, hinges[0])) is not None:
            reported.add(hinges[0].bend.act)
            yield finding("tuck-askew", hinges[0].bend.span, *fault, Severity.WARNING)


def _fault(context: PieceContext, panel: int, hinge: Hinge) -> tuple[str, str] | None:
    """What is wrong with a tuck, and what mends it; None where it closes a corner, or has none to close."""
    wall, name = hinge.other(panel), context.panel_name(panel)
    found = [edge for ends in ((hinge.start, hinge.end), (hinge.end, hinge.start))
             for edge in _edges_beside(context, (panel, wall), placed_points(context.folded.frames[wall],
                                                                             np.array(ends)))]
    along = [edge for edge in found if edge.parting <= MAX_PARTING]
    if found and not along:
        apart = context.length_text(min(edge.parting for edge in found))
        return (f"the fold on which {name} hangs parts from the edge that it would close a corner with: they "
                f"end {apart} apart", "let its score begin and end where that edge does")
    standing, needed = min(((_angle(*(_into(context, each, edge) for each in (panel, edge.panel))),
                             180 - _angle(*(_into(context, each, edge) for each in (wall, edge.panel))))
                            for edge in along), default=(0.0, 0.0))
    if not MAX_STANDING < standing < MIN_AWAY:
        return None
    return (f"folded so, {name} stands at an angle of {standing:.0f}° to the panel behind which it would "
            "close the corner", f"fold it by about {needed:.0f}°")


def _edges_beside(context: PieceContext, own: tuple[int, int], fold: FloatArray) -> Iterator[CornerEdge]:
    """Edges of other panels that begin at the first end of a fold (2 × 3) and run beside it."""
    folded, run = context.folded, fold[1] - fold[0]
    for panel in range(len(folded.flat.panels)):
        between = _angle(folded.normal(own[1]), folded.normal(panel))
        if panel in own or not context.is_rigid(panel) or not MIN_CORNER <= between <= 180 - MIN_CORNER:
            continue
        ring = folded.corners(panel)
        for k in np.flatnonzero(np.linalg.norm(ring - fold[0], axis=1) <= MAX_OFF_CORNER):
            for other in (ring[k - 1], ring[(k + 1) % len(ring)]):
                way = other - ring[k]
                length = min(np.linalg.norm(way), np.linalg.norm(run))
                if length >= MIN_RUN and (angle := _angle(way, run)) <= MAX_BESIDE:
                    yield CornerEdge(panel, fold, float(2 * length * np.sin(np.radians(angle) / 2)))


def _into(context: PieceContext, panel: int, edge: CornerEdge) -> FloatArray:
    """The direction (3) square to the fold in which a panel lies from it."""
    along = (edge.fold[1] - edge.fold[0]) / np.linalg.norm(edge.fold[1] - edge.fold[0])
    ways = context.folded.corners(panel) - edge.fold[0]
    ways = ways - (ways @ along)[:, None] * along
    result: FloatArray = ways[int(np.argmax(np.linalg.norm(ways, axis=1)))]
    return result


def _angle(one: FloatArray, other: FloatArray) -> float:
    """Between two vectors, in degrees from 0 to 180."""
    cosine = one @ other / (np.linalg.norm(one) * np.linalg.norm(other))
    return float(np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0))))

