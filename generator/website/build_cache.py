"""Answers that take long to work out, kept as files from one build to the next.

What a tutorial comes to, kept from one build to the next as long as nothing that it is made from has changed.

The key is that of the sources, not of the plan: whoever changes a word has
that tutorial worked out anew, and no other. What is kept carries its own
digest; whatever does not match it is as good as not there.
"""
from __future__ import annotations

import hashlib
import json
import re
import sys
from collections.abc import Iterable, Iterator, Mapping, MutableMapping
from dataclasses import dataclass
from functools import cache
from importlib.metadata import version
from pathlib import Path

from generator.files import replace_file
from generator.language.source.records import PARTS_FOLDER
from generator.units import Bench

# bytes that are kept beyond what the last build used: what changes to and fro is found again
MAX_BYTES = 200_000_000
DIGEST_BYTES = 32         # bytes of SHA-256
KEY_PATTERN = re.compile(r"[0-9a-f]{16,128}")


def sealed(key: str, data: bytes) -> bytes:
    """The data behind a digest of it and of its key, by which :func:`unsealed` knows it."""
    return hashlib.sha256(key.encode() + data).digest() + data


def unsealed(key: str, stored: bytes) -> bytes | None:
    """The data, or None where a byte of it is not as it was stored under this key."""
    data = stored[DIGEST_BYTES:]
    return data if hashlib.sha256(key.encode() + data).digest() == stored[:DIGEST_BYTES] else None


class FileCache(MutableMapping[str, bytes]):
    """A folder as a mapping from keys (of hexadecimal digits) to bytes.

    The keys name all that an answer depends on, the code too, so nothing ever
    becomes wrong. A disk that cannot be read or written is no reason to stop a build: then nothing is kept.
    """

    def __init__(self, folder: Path, largest: int = MAX_BYTES) -> None:
        self.folder, self.largest = folder, largest
        self._used: set[str] = set()

    def __getitem__(self, key: str) -> bytes:
        path = self._path(key)
        try:
            data = path.read_bytes()
        except OSError:
            raise KeyError(key) from None
        if (content := unsealed(key, data)) is None:
            raise KeyError(key)
        self._used.add(key)
        return content

    def __setitem__(self, key: str, value: bytes) -> None:
        path = self._path(key)
        self._used.add(key)
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            replace_file(path, sealed(key, value))
        except OSError:
            return

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
        unused = [path for path in self._files() if path.name not in self._used]
        try:
            sizes = [path.stat().st_size for path in unused]
            total = sum(sizes)
            for path, size in zip(unused, sizes, strict=True):
                if total <= self.largest:
                    return
                path.unlink(missing_ok=True)
                total -= size
        except OSError:
            return


PACKAGE = Path(__file__).resolve().parents[1]
CODE_SUFFIXES = frozenset({".py", ".md", ".yaml", ".ttf"})
LIBRARIES = ("ezdxf", "fonttools", "numpy", "pikepdf", "shapely")     # whose answers end up in what is kept

@dataclass(frozen=True, slots=True)
class CachedResults:
    """A place for the answers of one tutorial in one language; without a cache nothing is kept."""

    cache: MutableMapping[str, bytes] | None = None
    key: str = ""

    def found(self, what: str) -> bytes | None:
        """What was put there, whole, or None."""
        name = self._name(what)
        data = None if self.cache is None else self.cache.get(name)
        return None if data is None else unsealed(name, data)

    def holds(self, what: str) -> bool:
        """True where something was put there; whether it is whole only :meth:`found` tells."""
        return self.cache is not None and self._name(what) in self.cache

    def put(self, what: str, data: bytes) -> None:
        """Keep it for the next build."""
        if self.cache is not None:
            name = self._name(what)
            self.cache[name] = sealed(name, data)

    def _name(self, what: str) -> str:
        return hashlib.sha256(f"{self.key} {what}".encode()).hexdigest()


def cached_results_for(sources: Iterable[str], benches: Mapping[str, Bench], folder: Path,
             cache: MutableMapping[str, bytes] | None) -> CachedResults:
    """The place for what the running code makes from these texts, with the parts in ``folder``."""
    parts = sorted((folder / PARTS_FOLDER).glob("*.md"))
    text = json.dumps([code_version(), list(sources), sorted(map(repr, benches.items())),
                       [(path.name, path.read_text("utf-8", "replace")) for path in parts]])
    return CachedResults(cache, hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest())


@cache
def code_version() -> str:
    """A name for the program as it was started: its files, its libraries, and Python."""
    result = hashlib.sha256("\n".join((sys.version,
                                     *(f"{name} {version(name)}" for name in LIBRARIES))).encode())
    for path in sorted(path for path in PACKAGE.rglob("*") if path.suffix in CODE_SUFFIXES):
        result.update(f"{path.relative_to(PACKAGE).as_posix()} {path.stat().st_size}\n".encode())
        result.update(path.read_bytes())
    return result.hexdigest()
