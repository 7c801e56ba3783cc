"""Find the benches that the project's mkdocs.yml describes, so that commands judge marks as the site does."""
from __future__ import annotations

from collections.abc import Mapping
from os.path import realpath
from pathlib import Path

import click
import yaml

from generator.units import SYSTEMS, Bench, QuantityError, bench_from, default_bench

CONFIG_FILE = "mkdocs.yml"


class _TagTolerantLoader(yaml.SafeLoader):
    """Reads plain YAML and passes over tags of the host, such as environment variables."""


_TagTolerantLoader.add_multi_constructor("!", lambda loader, suffix, node: None)
_TagTolerantLoader.add_multi_constructor("tag:", lambda loader, suffix, node: None)


def configured_benches(path: Path) -> Mapping[str, Bench]:
    """The benches of the nearest mkdocs.yml at or above ``path``, or the usual ones."""
    config = _nearest_config(Path(realpath(path)))
    given = _bench_settings(config)
    for system, bench in given.items():
        if system not in SYSTEMS or not isinstance(bench, dict):
            raise click.UsageError(f"{_display_path(config)}: benches: write in: {{…}} and mm: {{…}}, each with its tools")
    try:
        return {system: bench_from(given[system], system) if system in given else default_bench(system)
                for system in SYSTEMS}
    except QuantityError as error:
        raise click.UsageError(f"{_display_path(config)}: benches: {error}" + (f" ({error.hint})" if error.hint else "")) from None


def _nearest_config(path: Path) -> Path | None:
    for folder in (path, *path.parents):
        try:
            if (folder / CONFIG_FILE).is_file():
                return folder / CONFIG_FILE
        except (OSError, ValueError):   # a folder that cannot be looked into holds no settings for us
            continue
    return None


def _bench_settings(config: Path | None) -> Mapping:
    if config is None:
        return {}
    try:
        data = yaml.load(config.read_text(encoding="utf-8"), _TagTolerantLoader)
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else 1
        raise click.UsageError(f"{_display_path(config)}, line {line}: this is not YAML ({error.problem})") from None
    except OSError as error:
        raise click.UsageError(f"{_display_path(config)} cannot be read: {(error.strerror or str(error)).lower()}") from None
    except (ValueError, RecursionError, yaml.YAMLError):
        raise click.UsageError(f"{_display_path(config)} cannot be read as YAML in UTF-8") from None
    plugins = data.get("plugins") if isinstance(data, dict) else None
    for plugin in plugins if isinstance(plugins, list) else ():
        if isinstance(plugin, dict) and isinstance(plugin.get("foldgauge"), dict):
            benches = plugin["foldgauge"].get("benches") or {}
            if not isinstance(benches, dict):
                raise click.UsageError(f"{_display_path(config)}: benches: write in: {{…}} and mm: {{…}}, each with its tools")
            return {system: bench for system, bench in benches.items() if bench}
    return {}


def _display_path(config: Path) -> str:
    """A path as a person would type it from where they are."""
    here = Path.cwd()
    return str(config.relative_to(here) if config.is_relative_to(here) else config)
