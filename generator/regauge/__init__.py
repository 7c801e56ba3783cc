"""Regauging: choose the values of the other edition so that every mark lies on a mark of its tool (controlled rounding)."""
from generator.regauge.certificate import result_data
from generator.regauge.comparison import PREFERENCES
from generator.regauge.report import explanation_text, report_text
from generator.regauge.sheet_yields import WantedYield
from generator.regauge.solution import (
    DrawnEdition,
    RegaugeOptions,
    RegaugeResult,
    find_lengths,
    read_drawn_edition,
)

__all__ = ["PREFERENCES", "RegaugeResult", "DrawnEdition", "WantedYield", "RegaugeOptions", "result_data", "find_lengths", "explanation_text", "read_drawn_edition", "report_text"]
