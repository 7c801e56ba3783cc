"""Exact measures, the grids of tools, and how measures are worded."""
from generator.units.bench import TOOL_KINDS, TOOLS, Bench, Tool, ToolKind, bench_from, default_bench
from generator.units.distinct_wording import distinct_texts
from generator.units.frozen_record import FrozenRecord
from generator.units.lattice import Congruence, Lattice, UnboundNameError, lattice_of
from generator.units.measure_phrases import (
           dimensions_html,
           dimensions_speech,
           dimensions_text,
           join,
           list_html,
           list_speech,
           list_text,
           size_html,
           size_speech,
           size_text,
)
from generator.units.memoise import memoised
from generator.units.parsing import parse_angle, parse_length, unit_of
from generator.units.quantity import (
           TOLERANCE,
           ZERO,
           Angle,
           Quantity,
           QuantityError,
           Real,
           length,
           number,
)
from generator.units.record_data import NotData, data_of, digest_of, value_of
from generator.units.stored_answers import stored
from generator.units.systems import INCH, METRIC, SYSTEMS, System, other_system, system_of
from generator.units.wording import (
           DisplayMeasure,
           as_html,
           as_speech,
           as_text,
           converted_figures,
           decimal_text,
           display_measure,
           number_words,
           plural,
           unit_text,
)

__all__ = ["Angle", "Bench", "Congruence", "DisplayMeasure", "FrozenRecord", "INCH", "Lattice", "METRIC",
           "NotData", "Quantity", "QuantityError", "Real", "SYSTEMS", "System", "TOLERANCE", "TOOLS",
           "TOOL_KINDS", "Tool", "ToolKind", "UnboundNameError", "ZERO", "as_html", "as_speech", "as_text",
           "bench_from", "converted_figures", "data_of", "decimal_text", "default_bench", "digest_of",
           "dimensions_html", "dimensions_speech", "dimensions_text", "display_measure", "distinct_texts",
           "join", "lattice_of", "length", "list_html", "list_speech", "list_text", "memoised", "number",
           "number_words", "other_system", "parse_angle", "parse_length", "plural", "size_html",
           "size_speech", "size_text", "stored", "system_of", "unit_of", "unit_text", "value_of"]
