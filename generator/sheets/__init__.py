"""Cutting blanks from sheets: how many come out, in which order to cut, and how many sheets are needed."""
from generator.paper.cutting_instructions import cutting_text, direction_text, no_set_text, offcut_text
from generator.sheets.batches import Batch, batch, sheets_needed
from generator.sheets.cut_tree import SheetError
from generator.sheets.cutting_problem import blank_of, blanks_of, direction_of, pieces_from_sheets
from generator.sheets.sets import most_sets_layout
from generator.sheets.yields import BestValue, blank_count, most_blanks, most_of_blank, most_valuable

__all__ = ["Batch", "BestValue", "SheetError", "batch", "most_valuable", "blank_of", "blanks_of",
           "cutting_text",
           "direction_of", "direction_text", "no_set_text", "blank_count", "most_of_blank", "offcut_text",
           "most_sets_layout", "pieces_from_sheets",
           "sheets_needed", "most_blanks"]
