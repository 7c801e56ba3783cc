"""What mkdocs.yml may say to the plugin."""
from __future__ import annotations

from collections.abc import Mapping

from mkdocs.config import config_options as option
from mkdocs.config.base import Config, ValidationError

from generator.units import Bench, QuantityError, bench_from, default_bench

SYSTEMS = ("in", "mm")


class Benches(option.BaseConfigOption[Mapping[str, Bench]]):
    """``benches: {in: {…}, mm: {…}}``: the marks that the reader's tools carry, each length with its unit.

    A system that is not named keeps the default bench. What is wrong becomes
    one message of MkDocs, which stops before anything is read.
    """

    def run_validation(self, value: object) -> Mapping[str, Bench]:
        value = {} if value is None else value
        if not isinstance(value, Mapping):
            raise ValidationError("give the tools of each system, such as {in: {board: 1/8 in}}")
        if unknown := [key for key in value if key not in SYSTEMS]:
            raise ValidationError(f"{unknown[0]!r} is no system of measures: there are 'in' and 'mm'")
        return {system: _bench(value.get(system), system) for system in SYSTEMS}


def _bench(tools: object, system: str) -> Bench:
    if not tools:
        return default_bench(system)
    if not isinstance(tools, Mapping):
        raise ValidationError(f"{system}: name the tools and their marks, such as {{board: 1/8 in}}")
    try:
        return bench_from(tools, system)
    except QuantityError as wrong:
        raise ValidationError(f"{system}: {wrong}" + (f" ({wrong.hint})" if wrong.hint else "")) from None


class Settings(Config):
    """The options of the plugin, checked when mkdocs.yml is read."""

    benches = Benches()
