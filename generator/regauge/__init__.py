"""Regauging: choose lengths of the other edition so that every mark lies on a mark of its tool.

Statistics knows the task as controlled rounding.

    problem      named lengths, windows, congruences of all marks, needs    (formulas, sheet_yields)
      → search   lattice in Hermite form, parts apart, best first, cut off by a bound
      → solution the leading choices worked out in full until five are certain; number by number; the answer
      → conflicts  where nothing fits: which demands contradict each other, and which could give way
      → report, certificate, rewriting   words, JSON with the certificate, the source

Every measure of the drawn plan that is a plain sum of named lengths is one
congruence; requirements, clearances and yields that rest on named lengths
alone are needs, judged during the search; everything else is judged when a
leading choice is worked out (``ChoiceEvaluator``), so a new check of plans has
to be asked there too. What folding finds is handed in (``check_folded`` of
``tutorial/folded_editions.py``). The search is bounded by work, not by time,
and says when it ended early. ``verify`` checks a certificate on its own and
may import nothing of ours. The build asks the same search in
``tutorial/suggested_lengths.py``, and only when something is wrong with the
other edition.
"""
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
