"""Regauging: choose the values of the other edition so that every mark lies on a mark of its tool (controlled rounding)."""
from generator.tutorial.regauge.asking import Answer, Drawn, Wish, ask, read_drawn
from generator.tutorial.regauge.data import as_data
from generator.tutorial.regauge.ranking import PREFERENCES
from generator.tutorial.regauge.telling import explained, told
from generator.tutorial.regauge.yields import Wanted

__all__ = ["PREFERENCES", "Answer", "Drawn", "Wanted", "Wish", "as_data", "ask", "explained", "read_drawn", "told"]
