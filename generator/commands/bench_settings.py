"""What commands take from the project's mkdocs.yml, so that they judge sources as the site does.

The benches of readers, and what of the folder of tutorials stays out of the site.
"""
from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from functools import lru_cache
from os.path import realpath
from pathlib import Path
from types import MappingProxyType
from typing import Any  # what a file of settings holds is anybody's

import click
import yaml
from pathspec import GitIgnoreSpec

from generator.dataclass import dataclass
from generator.units import SYSTEMS, Bench, QuantityError, bench_from, default_bench

CONFIG_FILE = "mkdocs.yml"


class _TagTolerantLoader(yaml.SafeLoader):
    """Reads plain YAML and passes over tags of the host, such as environment variables."""


def _environment(loader: yaml.SafeLoader, node: yaml.Node) -> object:
    """What the host takes for ``!ENV``: the first variable that is set, else the last of several."""
    names = (loader.construct_sequence(node) if isinstance(node, yaml.SequenceNode)
             else [node.value, None])
    return next((os.environ[name] for name in map(str, names) if name in os.environ),
                names[-1] if len(names) > 1 else None)


_TagTolerantLoader.add_constructor("!ENV", _environment)
for _tag in ("!", "tag:"):
    _TagTolerantLoader.add_multi_constructor(_tag, lambda *_: None)


def configured_benches(path: Path,
                       tried: Mapping[str, Mapping[str, str]] = MappingProxyType({})) -> Mapping[str, Bench]:
    """The benches of the nearest mkdocs.yml at or above ``path``, or the usual ones.

    ``tried`` are settings by system that go before those of the file. Raises click.UsageError for settings
    that cannot be used.
    """
    config = _nearest_config(Path(realpath(path)))
    try:
        given = _bench_settings(config) if config is not None else {}
        return {system: bench_from({**given.get(system, {}), **tried.get(system, {})}, system)
                if system in given or system in tried else default_bench(system) for system in SYSTEMS}
    except QuantityError as error:
        hint = f" ({error.hint})" if error.hint else ""
        raise _unusable(config, f": benches: {error}{hint}") from None


def _nearest_config(path: Path) -> Path | None:
    for folder in (path, *path.parents):
        try:
            if (folder / CONFIG_FILE).is_file():
                return folder / CONFIG_FILE
        except (OSError, ValueError):   # a folder that cannot be looked into holds no settings for us
            continue
    return None


@dataclass(frozen=True, slots=True)
class SiteFolder:
    """The folder of a project's tutorials; ``wanted`` tells of an address below it whether it is shown.

    ``root`` is the folder of its settings; ``needs_record`` whether it refuses what is not on record,
    ``refuses_stale`` photos and translations that are older than the tutorial;
    ``keep`` how many older templates of an edition it shows;
    ``address`` where the site will stand, "" where nothing says so.
    """

    root: Path
    path: Path
    wanted: Callable[[str], bool]
    needs_record: bool = False
    refuses_stale: bool = False
    keep: int = 0
    address: str = ""


def site_folder(path: Path) -> SiteFolder | None:
    """Where the nearest mkdocs.yml at or above the whole ``path`` has its tutorials; None without one.

    Raises click.UsageError for settings that cannot be read.
    """
    config = _nearest_config(path)
    if config is None:
        return None
    data = _settings(config)
    docs = data.get("docs_dir")
    left_out = [str(data[key]) for key in ("exclude_docs", "draft_docs") if data.get(key)]
    spec = GitIgnoreSpec.from_lines("\n".join(left_out).splitlines())
    return SiteFolder(config.parent, config.parent / (docs if isinstance(docs, str) else "docs"),
                      lambda uri: not spec.match_file(uri),
                      _refuses(data, "unpublished"), _refuses(data, "stale"), _kept_count(data),
                      str(data.get("site_url") or ""))


def _kept_count(data: Mapping[str, Any]) -> int:
    found = [options.get("keep") for options in _plugin_options(data)]
    return found[0] if found and isinstance(found[0], int) else 0


def _refuses(data: Mapping[str, Any], name: str) -> bool:
    return any(options.get(name) == "error" for options in _plugin_options(data))


def _settings(config: Path) -> Mapping[str, Any]:
    """The file's settings; none where it holds something else."""
    try:
        data = _data_of(config.read_text(encoding="utf-8"))
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else 1
        raise _unusable(config, f", line {line}: this is not YAML ({error.problem})") from None
    except OSError as error:
        raise _unusable(config, f" cannot be read: {(error.strerror or str(error)).lower()}") from None
    except (ValueError, RecursionError, yaml.YAMLError):
        raise _unusable(config, " cannot be read as YAML in UTF-8") from None
    return data if isinstance(data, dict) else {}


@lru_cache(maxsize=4)       # each source of a run asks
def _data_of(text: str) -> object:
    with suppress(yaml.YAMLError):      # what the faster loader refuses the other reads, or words the problem
        return yaml.load(text, getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    return yaml.load(text, _TagTolerantLoader)


def _bench_settings(config: Path) -> Mapping[str, Mapping[str, str]]:
    """The tools by system, as the file has them; what is no system, or no tools, is refused."""
    for options in _plugin_options(_settings(config)):
        benches = options.get("benches") or {}
        given = {system: bench for system, bench in benches.items()
                 if bench} if isinstance(benches, dict) else None
        if given is None or any(s not in SYSTEMS or not isinstance(b, dict) for s, b in given.items()):
            raise _unusable(config, ": benches: write in: {…} and mm: {…}, each with its tools")
        return given
    return {}


def _plugin_options(settings: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    """What the settings say to our plugin: nothing, or one mapping."""
    plugins = settings.get("plugins")
    for plugin in plugins if isinstance(plugins, list) else ():
        if isinstance(plugin, dict) and isinstance(plugin.get("foldgauge"), dict):
            yield plugin["foldgauge"]
            return


def _unusable(config: Path | None, problem: str) -> click.UsageError:
    """The file as a person would type it from where they are, and what is wrong with it."""
    here = Path.cwd()
    shown = config.relative_to(here) if config is not None and config.is_relative_to(here) else config
    return click.UsageError(f"{shown}{problem}")
