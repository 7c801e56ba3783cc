"""Regauging: choose the values of the other edition so that every mark lies on a mark of its tool (controlled rounding)."""
from generator.tutorial.regauge.certificate import as_data
from generator.tutorial.regauge.ranking import PREFERENCES
from generator.tutorial.regauge.report import explained, told
from generator.tutorial.regauge.solution import Answer, DrawnSource, Wish, ask, read_drawn
from generator.tutorial.regauge.yields import Wanted

__all__ = ["PREFERENCES", "Answer", "DrawnSource", "Wanted", "Wish", "as_data", "ask", "explained", "read_drawn", "told"]
