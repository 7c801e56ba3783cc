"""The two sides of a panel of a folded box: which is printed, and which one looks out."""
from __future__ import annotations

import numpy as np

from generator.folding.piece_context import PieceContext
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import EQUAL_LENGTHS


def printed_normal(context: PieceContext, panel: int) -> FloatArray:
    """The unit vector out of the printed side of a panel."""
    normal = context.folded.normal(panel)
    return normal if context.info.up == "printed" else -normal


def outward(context: PieceContext, panel: int) -> FloatArray:
    """The unit vector from the box out of a panel; out of its printed side where it lies in the middle."""
    points = np.concatenate([context.folded.corners(k) for k in range(len(context.folded.flat.panels))
                             if context.is_rigid(k)])
    normal = context.folded.normal(panel)
    off = float((context.folded.corners(panel).mean(axis=0) - (points.min(axis=0) + points.max(axis=0))
                 / 2) @ normal)
    if abs(off) <= EQUAL_LENGTHS:
        return printed_normal(context, panel)
    return normal if off > 0 else -normal
