"""Which sources a command is asked about."""
from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import click

from generator.commands.bench import benches_near
from generator.tutorial import Loaded, load


def sources_in(paths: Iterable[str]) -> list[Path]:
    """Files as they are; of a folder its own index.md when it is a tutorial's, else all tutorials in it.

    The page that lists the tutorials (index.md of the folder that holds their folders) is not one.
    Raises click.UsageError for a folder in which no tutorial can be found.
    """
    found: dict[Path, None] = {}
    for each in map(Path, paths):
        if not each.is_dir():
            found[each] = None
            continue
        inner = sorted(each.glob("*/index.md"))
        own = each / "index.md"
        if not inner and not own.is_file():
            raise click.UsageError(f"{each} holds no tutorial; a tutorial is a folder with a file index.md")
        found |= dict.fromkeys(inner or [own])
    return list(found)


def load_source(path: Path) -> Loaded:
    """Load one source as its own project would."""
    return load(path, str(path), benches_near(path.parent))
