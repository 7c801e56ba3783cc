"""The tutorials that publish and changed are asked about: what is there now, and what is on record."""
from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

import click

from generator.commands.check import CheckedSource, checked_source, record_of
from generator.commands.sources import is_folder, sources_in
from generator.dataclass import dataclass
from generator.language.source.document import read_document, read_source
from generator.language.source.yaml_tree import read_tree
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


def title_of(source: Path, language: str) -> str:
    """What a tutorial is called in a language; its own title where it is not told in it, else its slug."""
    for name in (f"index.{language}.md", source.name):
        text, _ = read_source(source.with_name(name), name)
        front = read_document(name, text).front if text is not None else None
        tree = read_tree(front, name)[0] if front is not None else None
        if tree is not None and isinstance(title := tree.data.get("title"), str):
            return title
    return source.parent.name


def recorded(sources: Iterable[Path]) -> Iterator[RecordedTutorial]:
    """Each with its record, which is read anew each time."""
    for source in sources:
        yield RecordedTutorial(source, checked_source(source, with_state=True), record_of(source))
