"""The way from one stage of a piece to the next as rows of angles, a loop of folds kept closed all the way.

Where panels hang on each other like a tree every fold may turn evenly. Round a
point at which folds meet they may not: turned evenly the paper would come
apart. There the even turn is only where the search for angles at which
everything meets begins (Newton's method; of all steps the shortest).
"""
from __future__ import annotations

import numpy as np

from generator.folding.conditions import Rows
from generator.folding.stages import Stage, Way

PARTS = 12          # of the way between two stages, where it is not even
ROUNDS = 20
MET = 1e-6          # mm
WEAK = 1e-4         # of the strongest; directions that close less are left alone


def along(way: Way, one: Stage, other: Stage) -> np.ndarray:
    """Signed angles of all hinges (rows × hinges, radians) at even shares of the way, both stages among them.

    Two rows where folds turn evenly; between rows they always do.
    """
    loops = tuple(row for closing in way.closings if closing.kind == "loop" for row in closing.conditions)
    even = np.array((one.angles, other.angles))
    if not loops or np.allclose(*even):
        return even
    rows = Rows(way.link, loops)
    shares = np.linspace(0, 1, PARTS + 1)[1:-1]
    return np.array([one.angles, *(_closed(rows, one.angles + u * (other.angles - one.angles)) for u in shares), other.angles])


def _closed(rows: Rows, even: np.ndarray) -> np.ndarray:
    """The nearest angles at which loops close; those it began with where none are found."""
    angles = even
    for _ in range(ROUNDS):
        gaps, slopes = rows.slopes(angles)
        if np.abs(gaps).max() < MET:
            return angles
        angles = angles - np.linalg.lstsq(slopes, gaps, rcond=WEAK)[0]
    return even
