"""Exact measures, the grids of tools, and how measures are worded."""
from generator.units.bench import TOOLS, Bench, Tool, bench_from, default_bench
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
           MM_PER_INCH,
           TOLERANCE,
           ZERO,
           Angle,
           Quantity,
           QuantityError,
           Real,
           length,
           number,
)
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

__all__ = ["MM_PER_INCH", "TOLERANCE", "TOOLS", "ZERO", "Angle", "Bench", "Congruence", "Lattice",
           "UnboundNameError", "Quantity", "QuantityError", "Real", "Tool", "DisplayMeasure", "as_html", "as_speech",
           "as_text", "bench_from", "dimensions_html", "dimensions_speech", "dimensions_text",
           "converted_figures", "decimal_text", "default_bench", "join", "lattice_of", "length",
           "list_html", "list_speech", "list_text", "number", "number_words", "FrozenRecord", "memoised", "parse_angle",
           "parse_length", "plural", "size_html", "size_speech", "size_text", "unit_of",
           "unit_text", "display_measure"]
