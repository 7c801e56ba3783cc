"""Find the benches that the project's mkdocs.yml describes, so that commands judge marks as the site does."""
from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import click
import yaml

from generator.units import Bench, QuantityError, bench_from, default_bench

SYSTEMS = ("mm", "in")
CONFIG = "mkdocs.yml"


class _Loader(yaml.SafeLoader):
    """Reads plain YAML and passes over tags of the host, such as environment variables."""


_Loader.add_multi_constructor("!", lambda loader, suffix, node: None)
_Loader.add_multi_constructor("tag:", lambda loader, suffix, node: None)


def benches_near(path: Path) -> Mapping[str, Bench]:
    """The benches of the nearest mkdocs.yml at or above ``path``, or the usual ones."""
    given = _settings(_config_near(path.resolve()))
    try:
        return {system: bench_from(given[system], system) if given.get(system) else default_bench(system)
                for system in SYSTEMS}
    except QuantityError as error:
        raise click.UsageError(f"{CONFIG}: benches: {error}" + (f" ({error.hint})" if error.hint else "")) from None


def _config_near(path: Path) -> Path | None:
    for folder in (path, *path.parents):
        if (folder / CONFIG).is_file():
            return folder / CONFIG
    return None


def _settings(config: Path | None) -> Mapping:
    if config is None:
        return {}
    try:
        data = yaml.load(config.read_text(encoding="utf-8"), _Loader)
    except (OSError, UnicodeDecodeError, yaml.YAMLError) as error:
        raise click.UsageError(f"{config} cannot be read: {str(error).splitlines()[0]}") from None
    plugins = data.get("plugins") if isinstance(data, dict) else None
    for plugin in plugins if isinstance(plugins, list) else ():
        if isinstance(plugin, dict) and isinstance(plugin.get("foldgauge"), dict):
            benches = plugin["foldgauge"].get("benches")
            return benches if isinstance(benches, dict) else {}
    return {}
