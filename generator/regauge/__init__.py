"""Regauging: lengths of the other edition that put every mark on its tool (controlled rounding)."""
from generator.regauge.certificate import result_data
from generator.regauge.comparison import PREFERENCES
from generator.regauge.report import explanation_text, report_text
from generator.regauge.sheet_yields import WantedYield
from generator.regauge.solution import (
    DrawnEdition,
    EvaluatedChoice,
    RegaugeOptions,
    RegaugeResult,
    find_lengths,
    read_drawn_edition,
)

__all__ = ["PREFERENCES", "DrawnEdition", "EvaluatedChoice", "RegaugeOptions", "RegaugeResult", "WantedYield",
           "explanation_text", "find_lengths", "read_drawn_edition", "report_text", "result_data"]
