"""Ribbons threaded through holes: how long their ways are."""
from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon

from generator.folding.piece_context import PieceContext
from generator.folding.records import placed_points
from generator.geometry import Circle
from generator.geometry.arrays import FloatArray
from generator.geometry.plane import floats
from generator.paper.records import Thread
from generator.paper.work_kinds import Effect


def ribbon_lengths(context: PieceContext) -> tuple[tuple[int, float], ...]:
    """The way of every ribbon that is threaded through this piece, by the number of its act."""
    lengths = ((act.number, ribbon_length(context, act.detail.marks)) for act in context.plan.acts
               if isinstance(act.detail, Thread))
    return tuple((act, length) for act, length in lengths if length is not None)


def ribbon_length(context: PieceContext, marks: Sequence[int]) -> float | None:
    """How long a ribbon's way through holes is, round to its start; None when they cannot be placed.

    A top that is gathered counts while it is open; all else as it stands when folded.
    """
    wanted = set(marks)
    centres = {m.id: hole.center for m in context.state.marks
               if m.id in wanted and isinstance(hole := m.whole[0], Circle)}
    if len(centres) < len(wanted) or len(marks) < 2:      # slits, or holes of another piece
        return None
    steps = _hole_distances(context, np.array([floats(centres[k]) for k in marks]))
    return float(steps.sum() + steps.mean())


def _hole_distances(context: PieceContext, points: FloatArray) -> FloatArray:
    """The lengths from hole to hole (points n × 2 in the flat sheet), in mm.

    Along the paper where it goes on over one fold at most, else straight in space; along the flat sheet
    throughout where the piece is gathered later, or bent, or a hole lies on no panel.
    """
    folded = context.folded
    flat: FloatArray = np.hypot(*np.diff(points, axis=0).T)
    found = [next((k for k, panel in enumerate(folded.flat.panels)
                   if Polygon(panel.polygon.exterior).covers(shapely.Point(xy))), None) for xy in points]
    panels = [k for k in found if k is not None]
    if any(act.effect is Effect.GATHER and folded.piece in act.pieces
           for act in context.plan.acts) or folded.surface is not None or len(panels) < len(found):
        return flat
    spots = np.concatenate([placed_points(folded.frames[k], xy[None]) for k,
                            xy in zip(panels, points, strict=False)])
    near = [i == j or any(h.other(i) == j for h in folded.flat.hinges_of(i)) for i,
            j in zip(panels, panels[1:], strict=False)]
    result: FloatArray = np.where(near, flat, np.linalg.norm(np.diff(spots, axis=0), axis=1))
    return result
