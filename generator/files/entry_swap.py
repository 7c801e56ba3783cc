"""New entries of a folder take the place of old ones: all of them, or none, whenever it is broken off."""
from __future__ import annotations

import errno
import json
import os
import shutil
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from generator.files.exchange import exchange
from generator.files.file_lock import FileLock, LockTaken
from generator.files.whole_file import error_reason, replace_file

WORK_FOLDER = ".foldgauge"
LOCK = "lock"


class NotWritten(Exception):
    """Why nothing was written, in one line of plain words."""


class EntrySwap:
    """Puts what lies in ``new`` in its place in ``folder``.

    Everything is made in a folder of its own on the same disk, hidden in
    ``folder``: ``new`` is what is being made, ``old`` what was set aside,
    and the journal is there from the moment when ``new`` is whole until the
    last of its entries has its place. So without a journal whatever lies here
    is rubbish, and with one the swap is finished by whoever comes next.
    """

    def __init__(self, folder: Path, name: str):
        self.folder, self.work = folder, folder / WORK_FOLDER / f"publish-{name}"
        self.new, self.old = self.work / "new", self.work / "old"
        self.journal = self.work / "journal.json"
        self.lock: FileLock | None = None

    def open(self) -> None:
        """Lock; finish or remove what a killed process left. Raises LockTaken, OSError or ValueError."""
        try:
            self.lock = FileLock(self.work / LOCK)
            if self.journal.exists():
                incoming, outgoing = json.loads(self.journal.read_bytes())
                self.old.mkdir(exist_ok=True)
                self._swap(incoming, outgoing)
                self.journal.unlink()
            self._remove_left()
            self.new.mkdir()
        except BaseException:
            self.close()
            raise

    def run(self, incoming: Sequence[str], outgoing: Sequence[str] = ()) -> None:
        """Place the entries ``incoming`` of ``new``, take the entries ``outgoing`` away.

        One entry and nothing else changes places with its forerunner at
        once, where the system can. Raises OSError: then all is as it was.
        """
        if len(incoming) == 1 and not outgoing and os.path.lexists(self.folder / incoming[0]):
            with suppress(OSError):
                exchange(self.new / incoming[0], self.folder / incoming[0])
                return
        self.old.mkdir()
        replace_file(self.journal, json.dumps([*map(list, (incoming, outgoing))]).encode())
        self._swap(incoming, outgoing)
        with suppress(OSError):         # the next one then finds that all is done
            self.journal.unlink()

    def close(self) -> None:
        """Remove what is left and let the next one in; what cannot be removed is left to the next one."""
        if self.lock is not None:
            with suppress(OSError):
                if not self.journal.exists():
                    self._remove_left()
            self.lock.release()
            self.lock = None
        for folder in (self.work, self.work.parent):
            with suppress(OSError):         # others keep their things there
                folder.rmdir()

    def _swap(self, incoming: Sequence[str], outgoing: Sequence[str]) -> None:
        """As often as it takes: an entry that is still in ``new`` has not got its place yet."""
        try:
            for name in outgoing:
                self._set_aside(name)
            for name in incoming:
                if os.path.lexists(self.new / name):
                    self._set_aside(name)
                    (self.new / name).rename(self.folder / name)
        except BaseException:
            self._take_back(incoming, outgoing)
            raise

    def _set_aside(self, name: str) -> None:
        if os.path.lexists(self.folder / name):
            (self.old / name).parent.mkdir(parents=True, exist_ok=True)
            _remove(self.old / name)        # only where somebody made it anew after a kill
            (self.folder / name).rename(self.old / name)

    def _take_back(self, incoming: Sequence[str], outgoing: Sequence[str]) -> None:
        for name in incoming:
            if not os.path.lexists(self.new / name):
                (self.folder / name).rename(self.new / name)
        for name in (*incoming, *outgoing):
            if os.path.lexists(self.old / name):
                (self.old / name).rename(self.folder / name)
        self.journal.unlink()

    def _remove_left(self) -> None:
        for path in self.work.iterdir():
            if path.name != LOCK:
                _remove(path)


def _remove(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)


def finish_writing(folder: Path) -> None:
    """Give its place to what a killed :func:`write_files` had made whole, before it is read.

    Where nothing was killed, or somebody writes there at this moment, nothing is done.
    """
    swap = EntrySwap(folder, "files")
    with suppress(LockTaken, OSError, ValueError):
        if swap.work.exists():
            swap.open()
            swap.close()


def write_files(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write ``files`` (name or path → bytes) below ``folder``, made where it is missing: all, or none.

    On a full disk, or where a name is taken by a folder, the old files stay. Raises NotWritten.
    """
    swap = EntrySwap(folder, "files")
    made = not folder.exists()
    try:
        swap.open()
        for name, data in files.items():
            if (folder / name).is_dir():
                raise IsADirectoryError(errno.EISDIR, f"{name} is a folder")
            for parent in ((folder / name).parent, (swap.new / name).parent):
                parent.mkdir(parents=True, exist_ok=True)
            replace_file(swap.new / name, data)
        swap.run(tuple(files))
    except LockTaken as taken:
        raise NotWritten(f"{folder} is being written to by {taken}; nothing was written") from None
    except (OSError, ValueError) as error:
        raise NotWritten(f"{folder} cannot be written to: {error_reason(error)}; what was there has stayed"
                         ) from None
    finally:
        swap.close()
        if made and folder.exists() and not any(folder.iterdir()):
            folder.rmdir()
