"""A site is made whole in a folder of its own, and only then takes the place of the one that was there."""
from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

from generator.files.entry_swap import EntrySwap, NotWritten
from generator.files.file_lock import LockTaken
from generator.files.whole_file import error_reason


class AtomicPublish:
    """Publishes into the folder ``site``; its hidden entries stay, as the host leaves them too.

    The new site is made beside the old one, and the two change places. Where
    that cannot be (the site is a mount point, or in use on a system that
    minds), it is copied into the site and each of its entries changes places.
    A ``temporary`` site is private as far as its own folder only: the new one
    is made within it, and the disk is not waited for.
    """

    def __init__(self, site: Path, temporary: bool = False):
        self.site, self.temporary = Path(os.path.realpath(site)), temporary
        self.beside = EntrySwap(self.site.parent, self.site.name)
        self.within = EntrySwap(self.site, self.site.name)
        self.stage = self.beside.new / self.site.name

    def begin(self) -> Path:
        """Put in order what a killed build left; the empty folder for the new site. Raises NotWritten."""
        if self.site.exists() and not self.site.is_dir():
            raise NotWritten(f"{self.site} is a file; the site needs a folder of that name")
        for path in _mount_points(self.site):
            if not path.relative_to(self.site).parts[0].startswith("."):
                raise NotWritten(f"{path} is a disk mounted within the site, whose files would be lost; "
                                 "unmount it, or hide it behind a name that begins with a dot")
        try:
            self._open()
            self.stage.mkdir(exist_ok=True)
        except LockTaken as taken:
            self.discard()
            raise NotWritten(f"another build publishes into {self.site} now ({taken}); "
                             "start this one again when it has ended") from None
        except (OSError, ValueError) as error:
            self.discard()
            raise NotWritten(f"{self.site} cannot be published to: {_words(error)}") from None
        return self.stage

    def _open(self) -> None:
        try:
            if self.temporary:
                self.stage = self.within.new
            else:
                self.beside.open()
        except OSError:         # the folder above may not be ours to write
            if not self.site.is_dir():
                raise
            self.stage = self.within.new
        if self.stage is self.within.new:
            self.within.open()
        elif self.within.work.exists():         # a build was killed in the midst of it
            self.within.open()
            self.within.close()

    def finish(self) -> None:
        """The new site takes its place. Raises NotWritten: then the old one is there as it was."""
        try:
            own = _names(self.stage)
            if self.stage is self.within.new or not self._placed_whole():
                self._place_entries(own)
        except (OSError, ValueError) as error:
            later = self.beside.journal.exists() or self.within.journal.exists()
            raise NotWritten(f"{self.site} cannot be published to: {_words(error)}; " + (
                "the next build puts it in order" if later else "what was there has stayed")) from None
        finally:
            self.discard()

    def discard(self) -> None:
        """Throw away what lies beside the site, the old one or an unfinished new one."""
        self.beside.close()
        self.within.close()

    def _placed_whole(self) -> bool:
        """False where the folder cannot be moved as a whole, or holds a disk; then nothing has changed."""
        if any(_mount_points(self.site)):
            return False
        try:
            if self.site.is_dir():
                for name in _hidden(self.site):
                    _link_missing(self.site / name, self.stage / name)
                shutil.copymode(self.site, self.stage)
            _write_out()
            self.beside.run([self.site.name])
        except OSError:
            if not self.site.is_dir():
                raise
            return False
        return True

    def _place_entries(self, own: list[str]) -> None:
        """The entries of the new site, one after the other; a journal finishes what is broken off."""
        if self.stage is not self.within.new:
            self.within.open()
            for name in own:
                _copy(self.stage / name, self.within.new / name)
        for name in {*own} & {*_hidden(self.site)}:
            _link_missing(self.site / name, self.within.new / name)
        if not self.temporary:
            _write_out()
        gone = {name for name in _names(self.site) if not name.startswith(".")} - {*own}
        self.within.run(own, sorted(gone))


def _words(error: Exception) -> str:
    place = getattr(error, "filename", None)
    return error_reason(error) + (f" ({place})" if place else "")


def _write_out() -> None:
    """Let the disk have every byte before names change, so that a power cut does no more than a kill."""
    if hasattr(os, "sync"):
        os.sync()


def _names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


def _mount_points(folder: Path) -> Iterator[Path]:
    for place, names, _ in os.walk(folder):
        yield from (path for path in map(Path(place).joinpath, names) if path.is_mount())


def _hidden(folder: Path) -> list[str]:
    return [name for name in _names(folder) if name.startswith(".")]


def _link_missing(old: Path, new: Path) -> None:
    """Let ``new`` hold also what only ``old`` holds, without copying a byte. Raises OSError across disks."""
    if old.is_dir() and not old.is_symlink():
        if not new.exists():
            new.mkdir()
            shutil.copystat(old, new)
        for entry in sorted(old.iterdir()):
            _link_missing(entry, new / entry.name)
    elif os.path.lexists(new):
        return
    elif old.is_symlink():
        new.symlink_to(old.readlink())
    else:
        new.hardlink_to(old)


def _copy(source: Path, target: Path) -> None:
    if source.is_dir() and not source.is_symlink():
        target.mkdir()
        for entry in source.iterdir():
            _copy(entry, target / entry.name)
    else:
        shutil.copy2(source, target, follow_symlinks=False)
