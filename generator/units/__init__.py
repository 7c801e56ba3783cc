"""Exact measures, the grids of tools, and how measures are worded."""
from generator.units.bench import TOOLS, Bench, Tool, bench_from, default_bench
from generator.units.converting import consistent
from generator.units.lattice import Congruence, Lattice, NotEnough, lattice_of
from generator.units.lists import join, list_html, list_speech, list_text
from generator.units.memoise import memoised
from generator.units.parse import parse_angle, parse_length, unit_of
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
from generator.units.sizes import bulk_html, bulk_speech, bulk_text, size_html, size_speech, size_text
from generator.units.wording import (
           Words,
           as_html,
           as_speech,
           as_text,
           decimal_text,
           number_words,
           plural,
           unit_text,
           word,
)

__all__ = ["MM_PER_INCH", "TOLERANCE", "TOOLS", "ZERO", "Angle", "Bench", "Congruence", "Lattice",
           "NotEnough", "Quantity", "QuantityError", "Real", "Tool", "Words", "as_html", "as_speech",
           "as_text", "bench_from", "bulk_html", "bulk_speech", "bulk_text",
           "consistent", "decimal_text", "default_bench", "join", "lattice_of", "length",
           "list_html", "list_speech", "list_text", "number", "number_words", "memoised", "parse_angle",
           "parse_length", "plural", "size_html", "size_speech", "size_text", "unit_of",
           "unit_text", "word"]
