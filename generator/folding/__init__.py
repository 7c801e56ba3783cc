"""Rigid folding: flat maps, closing conditions, the state after each step, and what the folded box tells.

    planar_map       outline, cuts and folds → panels and hinges                (noding)
      → closings     seams, glue and loops as conditions on panels
      → rigid_folding  angles given or found, the state after each step         (kinematics, closing_solver)
      → features/    floors, tabs, rings, tops, lids, joints, computed once on a ``PieceContext``
      → checks/      one question a file; read features only, nothing but ``whole`` imports them
      → tolerance_analysis  every mark a little wrong: what fails first         (marking_errors, defects)

``whole.fold`` calls them in this order. One ``Budget`` (closing_solver) bounds
the search for angles over all pieces; when it is spent a piece is left flat
and ``too-much`` says so. ``FoldedPiece.placement`` says where a piece lies
beside the first one.

A *marking error* is one mark, row, blank or panel set wrong: a displacement of
the corners of the flat map. ``tolerance_analysis`` refolds to first order with
the slopes of the planned box; the few worst are refolded as folding itself
does. A *defect* is what may fail, with the value from which anybody sees it;
its words stand in ``trouble.yaml`` of each language. Its row on the page has
the address ``#if-<defect>``, which must stay.
"""
from generator.folding.bending.domes import CandidateCurve, bay_ring_of_plan, curves_over_chord, ranked_curves
from generator.folding.contents_fit import box_goes_in, round_goes_in, soft_goes_in
from generator.folding.defects import DEFECT_KINDS
from generator.folding.features.crown import Crown
from generator.folding.marking_errors import MarkingError
from generator.folding.obj_export import obj_text
from generator.folding.records import (
           BentSurface,
           ContentsLimits,
           Dome,
           FoldedPiece,
           FoldedPlan,
           GatheredTop,
           PieceDimensions,
           Residual,
)
from generator.folding.tolerance_analysis import (
           Sensitivity,
           ToleranceReport,
           analyse_tolerances,
           by_defect,
)
from generator.folding.whole import fold

__all__ = ["CandidateCurve", "Crown", "Dome", "PieceDimensions", "ContentsLimits", "FoldedPlan",
           "FoldedPiece", "ToleranceReport", "DEFECT_KINDS", "Residual", "Sensitivity",
           "BentSurface", "MarkingError", "GatheredTop", "by_defect", "fold", "analyse_tolerances",
           "box_goes_in", "obj_text", "ranked_curves", "bay_ring_of_plan", "round_goes_in", "soft_goes_in",
           "curves_over_chord"]
