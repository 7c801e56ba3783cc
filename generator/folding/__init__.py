"""Rigid folding: flat maps, closing conditions, the state after each step, and what the folded box tells."""
from generator.folding.effects import KINDS
from generator.folding.forgiveness import HAND, Forgiveness, Sensitivity, by_ill, forgiveness
from generator.folding.gathered import Crown
from generator.folding.mesh import obj_text
from generator.folding.records import Dome, Figures, Fit, Folded, FoldedPiece, Residual, Skin, Top
from generator.folding.rooms import goes_in, rolls_in
from generator.folding.slips import Slip
from generator.folding.thin.choosing import Candidate, ranked, ring_of, through
from generator.folding.whole import fold

__all__ = ["Candidate", "Crown", "Dome", "Figures", "Fit", "Folded", "FoldedPiece", "Forgiveness", "HAND", "KINDS", "Residual", "Sensitivity",
           "Skin", "Slip", "Top", "by_ill", "fold", "forgiveness", "goes_in", "obj_text", "ranked", "ring_of", "rolls_in", "through"]
