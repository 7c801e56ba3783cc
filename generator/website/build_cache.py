"""Answers that take long to work out, kept as files from one build to the next.

What a tutorial comes to, kept from one build to the next as long as nothing that it is made from has changed.

The key is that of the sources, not of the plan: whoever changes a word has
that tutorial worked out anew, and no other. What is kept carries its own
digest; whatever does not match it is as good as not there.
"""
from __future__ import annotations

import hashlib
import json
import os
import re
import sys
from collections.abc import Iterable, Iterator, Mapping, MutableMapping
from dataclasses import asdict, dataclass
from functools import cache
from importlib.metadata import version
from pathlib import Path

from generator.files import replace_file
from generator.language.parts import PARTS_FOLDER
from generator.tutorial import Tutorial
from generator.tutorial.template_files import TemplateFile, TemplateSet, template_files
from generator.units import Bench

MAX_FILES = 200          # files
# bytes of all files: the templates of a tutorial are half a megabyte in each language
MAX_BYTES = 200_000_000
KEY_PATTERN = re.compile(r"[0-9a-f]{16,128}")


class FileCache(MutableMapping[str, bytes]):
    """A folder as a mapping from keys (of hexadecimal digits) to bytes.

    The keys name all that an answer depends on, the code too, so nothing ever
    becomes wrong; what was not asked for longest goes first. A disk that
    cannot be read or written is no reason to stop a build: then nothing is kept.
    """

    def __init__(self, folder: Path, room: int = MAX_FILES, largest: int = MAX_BYTES) -> None:
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
            replace_file(path, value)
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

    def _forget(self) -> None:
        files = self._files()
        sizes = [path.stat().st_size for path in files]
        total, left = sum(sizes), len(files)
        for path, size in zip(files, sizes, strict=True):
            if left <= self.room and total <= self.largest:
                return
            path.unlink(missing_ok=True)
            left, total = left - 1, total - size


PACKAGE = Path(__file__).resolve().parents[1]
CODE_SUFFIXES = frozenset({".py", ".md", ".yaml", ".ttf"})
LIBRARIES = ("ezdxf", "fonttools", "numpy", "pikepdf", "shapely")     # whose answers end up in what is kept
DIGEST_BYTES = 32         # bytes of SHA-256


@dataclass(frozen=True, slots=True)
class CachedResults:
    """A place for the answers of one tutorial in one language; without a cache nothing is kept."""

    cache: MutableMapping[str, bytes] | None = None
    key: str = ""

    def found(self, what: str) -> bytes | None:
        """What was put there, whole, or None."""
        data = None if self.cache is None else self.cache.get(self._name(what))
        if data is None or hashlib.sha256(data[DIGEST_BYTES:]).digest() != data[:DIGEST_BYTES]:
            return None
        return data[DIGEST_BYTES:]

    def put(self, what: str, data: bytes) -> None:
        """Keep it for the next build."""
        if self.cache is not None:
            self.cache[self._name(what)] = hashlib.sha256(data).digest() + data

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


def cached_templates(tutorial: Tutorial, kept: CachedResults) -> TemplateSet:
    """The files that go with a tutorial.

    Those of which something is to be said are made each time, to say it.
    """
    data = kept.found("templates")
    if data is not None:
        return _unpack_templates(data)
    result = template_files(tutorial)
    if not result.findings:
        kept.put("templates", _pack_templates(result))
    return result


def _pack_templates(templates: TemplateSet) -> bytes:
    """A line that lists the files, then their bytes one after the other."""
    listed = [{**asdict(each), "data": len(each.data)} for each in templates.files]
    return json.dumps(listed).encode() + b"\n" + b"".join(each.data for each in templates.files)


def _unpack_templates(data: bytes) -> TemplateSet:
    head, _, rest = data.partition(b"\n")
    files, at = [], 0
    for row in json.loads(head):
        size = row.pop("data")
        files.append(TemplateFile(data=rest[at:at + size], **row))
        at += size
    return TemplateSet(tuple(files))
