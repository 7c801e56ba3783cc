"""What is tucked in behind a panel shows no line through it."""
from __future__ import annotations

import numpy as np
import pytest

from generator.drawing.folded.camera import Facet, LineKind, Solid, SpaceLine
from generator.drawing.pen import Contour
from tests.drawing.sample_solids import looked_at

LAYER = 0.12        # mm


def gusset(lift: float) -> Solid:
    """A panel 60 square on the table, a triangle in its plane, and one across that hangs on the triangle's
    long side, downwards.
    """
    panel = np.array(((-30.0, -30, 40), (30, -30, 40), (30, 30, 40), (-30, 30, 40)))
    inner = np.array(((-20.0, -20, 40), (20, -20, 40), (20, 20, 40)))
    across = np.array(((20.0, 20, 40), (-20, -20, 40), (0, 0, 5)))
    fold = SpaceLine(LineKind.FOLD, inner[[2, 0]], (1, 2))
    rim = tuple(SpaceLine(LineKind.EDGE, panel[[k, (k + 1) % 4]], (0,)) for k in range(4))
    return Solid((Facet(panel, "printed"), Facet(inner, "plain", lift=lift), Facet(across, "plain")),
                 (*rim, fold))


@pytest.mark.parametrize(("lift", "creases"), [(-LAYER, 0), (LAYER, 1)])
def test_a_fold_lies_where_its_lifted_part_does(lift, creases):
    """Behind the panel the fold is hidden, though the part across it is not lifted; before the panel it is
    seen.
    """
    *_, strokes = looked_at(gusset(lift))
    assert sum(stroke.contour is Contour.CREASE for stroke in strokes) == creases
