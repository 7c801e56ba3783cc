"""Answers that take long to work out, kept as files from one build to the next."""
from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Iterator, MutableMapping
from pathlib import Path

ROOM = 200          # files
LARGEST = 200_000_000       # bytes of all files: the templates of a tutorial are half a megabyte in each language
NAME = re.compile(r"[0-9a-f]{16,128}")


class FileCache(MutableMapping[str, bytes]):
    """A folder as a mapping from keys (of hexadecimal digits) to bytes.

    The keys name all that an answer depends on, the code too, so nothing ever
    becomes wrong; what was not asked for longest goes first. A disk that
    cannot be read or written is no reason to stop a build: then nothing is kept.
    """

    def __init__(self, folder: Path, room: int = ROOM, largest: int = LARGEST) -> None:
        self.folder, self.room, self.largest = folder, room, largest

    def __getitem__(self, key: str) -> bytes:
        path = self._path(key)
        try:
            data = path.read_bytes()
            os.utime(path)
        except OSError:
            raise KeyError(key) from None
        return data

    def __setitem__(self, key: str, value: bytes) -> None:
        path = self._path(key)
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            with tempfile.NamedTemporaryFile(dir=self.folder, prefix=".", delete=False) as file:
                file.write(value)
            Path(file.name).replace(path)       # whole or not at all, whoever else builds at the same time
            self._forget()
        except OSError:
            return

    def __delitem__(self, key: str) -> None:
        try:
            self._path(key).unlink()
        except OSError:
            raise KeyError(key) from None

    def __iter__(self) -> Iterator[str]:
        return (path.name for path in self._files())

    def __len__(self) -> int:
        return len(self._files())

    def _path(self, key: str) -> Path:
        if not NAME.fullmatch(key):
            raise KeyError(key)
        return self.folder / key

    def _files(self) -> list[Path]:
        """The oldest first."""
        try:
            found = [(path.stat().st_mtime_ns, path) for path in self.folder.iterdir() if NAME.fullmatch(path.name)]
        except OSError:
            return []
        return [path for _, path in sorted(found)]

    def _forget(self) -> None:
        files = self._files()
        sizes = [path.stat().st_size for path in files]
        total, left = sum(sizes), len(files)
        for path, size in zip(files, sizes, strict=True):
            if left <= self.room and total <= self.largest:
                return
            path.unlink(missing_ok=True)
            left, total = left - 1, total - size
