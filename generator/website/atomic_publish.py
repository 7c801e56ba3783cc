"""The site that was there stays there until the new one is whole."""
from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path


class AtomicPublish:
    """Sets the published pages aside during a build.

    MkDocs empties its folder before it reads the first page, and finds dead
    links only after it has written the last one. So the old pages wait
    beside the folder, and come back when the build breaks off for whatever
    reason. Hidden files stay where they are, as MkDocs leaves them too.
    """

    def __init__(self, site: Path):
        self.site = site
        self.aside = site.parent / ".foldgauge" / f"{site.name}-before"

    def back_up(self) -> None:
        """Move the old pages away; those which an interrupted build left aside come back first."""
        if self.aside.exists():
            self.restore()
        if self.site.exists():
            self.aside.mkdir(parents=True)
            _move_entries(self.site, self.aside)

    def restore(self) -> None:
        """Throw away what the broken build wrote."""
        for entry in _visible_entries(self.site):
            _remove_entry(entry)
        if self.aside.exists():
            _move_entries(self.aside, self.site)
            self.discard_backup()

    def discard_backup(self) -> None:
        """The new site is whole: the old one is not needed any more."""
        if self.aside.exists():
            shutil.rmtree(self.aside)
            if not any(self.aside.parent.iterdir()):
                self.aside.parent.rmdir()


def _visible_entries(folder: Path) -> Iterator[Path]:
    if folder.exists():
        yield from [entry for entry in folder.iterdir() if not entry.name.startswith(".")]


def _move_entries(source: Path, target: Path) -> None:
    for entry in _visible_entries(source):
        entry.rename(target / entry.name)


def _remove_entry(entry: Path) -> None:
    shutil.rmtree(entry) if entry.is_dir() and not entry.is_symlink() else entry.unlink()
