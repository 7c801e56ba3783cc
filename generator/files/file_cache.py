"""Answers that take long to work out, kept as files from one run to the next.

What is kept carries its own digest; whatever does not match it is as good as not there.
"""
from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator, MutableMapping
from contextlib import suppress
from pathlib import Path

from generator.files.whole_file import remove_stale, replace_file

STORE_FOLDER = ".foldgauge/cache"       # beside a site
# bytes that are kept beyond what the last build used: what changes to and fro is found again
MAX_BYTES = 200_000_000
DIGEST_BYTES = 32         # of SHA-256
KEY_PATTERN = re.compile(r"[0-9a-f]{16,128}")


class FileCache(MutableMapping[str, bytes]):
    """A folder as a mapping from keys (of hexadecimal digits) to bytes.

    The keys name all that an answer depends on, the code too, so nothing ever
    becomes wrong. A disk that cannot be read or written is no reason to stop a build: then nothing is kept.
    """

    def __init__(self, folder: Path, largest: int = MAX_BYTES) -> None:
        self.folder, self.largest = folder, largest
        self._used: set[str] = set()

    def __getitem__(self, key: str) -> bytes:
        try:
            stored = self._path(key).read_bytes()
        except OSError:
            raise KeyError(key) from None
        data = stored[DIGEST_BYTES:]
        if _seal(key, data) != stored[:DIGEST_BYTES]:
            raise KeyError(key)
        self._used.add(key)
        return data

    def __setitem__(self, key: str, value: bytes) -> None:
        path = self._path(key)
        self._used.add(key)
        with suppress(OSError):
            self.folder.mkdir(parents=True, exist_ok=True)
            replace_file(path, _seal(key, value) + value, lasting=False)

    def __contains__(self, key: object) -> bool:
        if not (isinstance(key, str) and KEY_PATTERN.fullmatch(key) and self._path(key).is_file()):
            return False
        self._used.add(key)
        return True

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
        if not KEY_PATTERN.fullmatch(key):
            raise KeyError(key)
        return self.folder / key

    def _files(self) -> list[Path]:
        """The oldest first."""
        try:
            found = [(path.stat().st_mtime_ns, path) for path in self.folder.iterdir()
                     if KEY_PATTERN.fullmatch(path.name)]
        except OSError:
            return []
        return [path for _, path in sorted(found)]

    def evict(self) -> None:
        """Remove what was written longest ago and not used through this object, until the rest has room.

        Once a build: what a build uses is never removed, however much it is.
        """
        remove_stale(self.folder)
        unused = [path for path in self._files() if path.name not in self._used]
        with suppress(OSError):
            sizes = [path.stat().st_size for path in unused]
            total = sum(sizes)
            for path, size in zip(unused, sizes, strict=True):
                if total <= self.largest:
                    return
                path.unlink(missing_ok=True)
                total -= size


def _seal(key: str, data: bytes) -> bytes:
    return hashlib.sha256(key.encode() + data).digest()
