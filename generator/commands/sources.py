"""Which sources a command is asked about."""
from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import click

from generator.commands.bench_settings import configured_benches
from generator.tutorial import LoadedSource, load
from generator.tutorial.translation import TRANSLATION_FILE


def sources_in(paths: Iterable[str]) -> list[Path]:
    """Files as they are, of a translation its tutorial; of a folder its own index.md when it is a tutorial's, else all tutorials in it.

    The page that lists the tutorials (index.md of the folder that holds their folders) is not one.
    Raises click.UsageError for a folder in which no tutorial can be found.
    """
    found: dict[Path, None] = {}
    for each in map(Path, paths):
        if TRANSLATION_FILE.match(each.name):        # it is judged with the tutorial that it tells again
            each = each.with_name("index.md")
        if not is_folder(each):
            found[each] = None
            continue
        inner = sorted(source for source in each.glob("*/index.md") if is_readable_file(source))
        own = each / "index.md"
        if not inner and not is_readable_file(own):
            raise click.UsageError(f"{display_path(each)} holds no tutorial; a tutorial is a folder with a file index.md")
        found |= dict.fromkeys(inner or [own])
    return list(found)


def source_at(path: str) -> Path:
    """The one source that a file or folder names. Raises click.UsageError for a folder of several."""
    sources = sources_in([path])
    if len(sources) > 1:
        raise click.UsageError(f"{path} holds {len(sources)} tutorials; name one of them, such as {sources[0]}")
    return sources[0]


def is_folder(path: Path) -> bool:
    """False too for what cannot be looked at: reading it then says why."""
    try:
        return path.is_dir()
    except (OSError, ValueError):
        return False


def is_readable_file(path: Path) -> bool:
    """True for a file that is there and can be looked at."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def load_source(path: Path) -> LoadedSource:
    """Load one source as its own project would."""
    return load(path, display_path(path), configured_benches(path.parent))


def display_path(path: Path) -> str:
    """A path as findings name it: as it was typed, without signs that no file name should have."""
    return click.format_filename(path)
