"""The tutorials that publish and changed are asked about: what is there now, and what is on record."""
from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

import click

from generator.commands.check import CheckedSource, checked_source, record_of
from generator.commands.sources import is_folder, sources_in
from generator.dataclass import dataclass
from generator.record.revision_files import Record

TUTORIALS = "tutorials"


@dataclass(frozen=True, slots=True)
class RecordedTutorial:
    """A source, what it is now with its state, and its record."""

    source: Path
    now: CheckedSource
    record: Record

    @property
    def slug(self) -> str:
        """The name of its folder."""
        return self.source.parent.name


def sources_named(names: Iterable[str]) -> list[Path]:
    """The sources of tutorials that are named by their slug or by a path; all of ``tutorials`` without any.

    Raises click.UsageError for a name that stands for none.
    """
    paths = []
    for name in names or (TUTORIALS,):
        beside = Path(TUTORIALS) / name
        if not Path(name).exists() and not is_folder(beside):
            raise click.UsageError(f"there is no tutorial {name} in {TUTORIALS}")
        paths.append(name if Path(name).exists() else str(beside))
    return sources_in(paths)


def recorded(sources: Iterable[Path]) -> Iterator[RecordedTutorial]:
    """Each with its record, which is read anew each time."""
    for source in sources:
        yield RecordedTutorial(source, checked_source(source, with_state=True), record_of(source))
