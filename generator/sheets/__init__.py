"""Sheets: how many blanks come out of one with cuts from edge to edge, in which order to cut, and how many are needed."""
from generator.paper.cutting_instructions import cutting_text, direction_text, no_set_text, offcut_text
from generator.sheets.batches import Batch, batch, sheets_needed
from generator.sheets.blanks import blank_of, blanks_of, direction_of
from generator.sheets.complete import sets
from generator.sheets.cut_tree import SheetError
from generator.sheets.yields import Best, best_value, how_many, of_blank, yields

__all__ = ["Batch", "Best", "SheetError", "batch", "best_value", "blank_of", "blanks_of", "cutting_text",
           "direction_of", "direction_text", "no_set_text", "how_many", "of_blank", "offcut_text", "sets",
           "sheets_needed", "yields"]
