"""Rigid folding: flat maps, closing conditions, the state after each step, and what the folded box tells."""
from generator.folding.bending.domes import CandidateCurve, bay_ring_of_plan, curves_over_chord, ranked_curves
from generator.folding.contents_fit import box_goes_in, round_goes_in
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
           "box_goes_in", "obj_text", "ranked_curves", "bay_ring_of_plan", "round_goes_in",
           "curves_over_chord"]
