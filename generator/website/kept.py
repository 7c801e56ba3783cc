"""What a tutorial comes to, kept from one build to the next as long as nothing that it is made from has changed.

The key is that of the sources, not of the plan: whoever changes a word has
that tutorial worked out anew, and no other. What is kept carries its own
digest; whatever does not match it is as good as not there.
"""
from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Iterable, Mapping, MutableMapping
from dataclasses import asdict, dataclass
from functools import cache
from importlib.metadata import version
from pathlib import Path

from generator.language.parts import PARTS_FOLDER
from generator.tutorial import Tutorial
from generator.tutorial.templates import TemplateFile, TemplateSet, template_files
from generator.units import Bench

PACKAGE = Path(__file__).resolve().parents[1]
CODE = frozenset({".py", ".md", ".yaml"})
LIBRARIES = ("ezdxf", "numpy", "pikepdf", "shapely")     # whose answers end up in what is kept
DIGEST = 32         # bytes of SHA-256


@dataclass(frozen=True, slots=True)
class Kept:
    """A place for the answers of one tutorial in one language; without a cache nothing is kept."""

    cache: MutableMapping[str, bytes] | None = None
    key: str = ""

    def found(self, what: str) -> bytes | None:
        """What was put there, whole, or None."""
        data = None if self.cache is None else self.cache.get(self._name(what))
        if data is None or hashlib.sha256(data[DIGEST:]).digest() != data[:DIGEST]:
            return None
        return data[DIGEST:]

    def put(self, what: str, data: bytes) -> None:
        """Keep it for the next build."""
        if self.cache is not None:
            self.cache[self._name(what)] = hashlib.sha256(data).digest() + data

    def _name(self, what: str) -> str:
        return hashlib.sha256(f"{self.key} {what}".encode()).hexdigest()


def kept_for(sources: Iterable[str], benches: Mapping[str, Bench], folder: Path,
             cache: MutableMapping[str, bytes] | None) -> Kept:
    """The place for what is made from these texts, with the parts in ``folder``, by the code that runs now."""
    parts = sorted((folder / PARTS_FOLDER).glob("*.md"))
    said = json.dumps([code_version(), list(sources), sorted(map(repr, benches.items())),
                       [(path.name, path.read_text("utf-8", "replace")) for path in parts]])
    return Kept(cache, hashlib.sha256(said.encode("utf-8", "surrogatepass")).hexdigest())


@cache
def code_version() -> str:
    """A name for the program as it was started: its files, its libraries, and Python."""
    made = hashlib.sha256("\n".join((sys.version, *(f"{name} {version(name)}" for name in LIBRARIES))).encode())
    for path in sorted(path for path in PACKAGE.rglob("*") if path.suffix in CODE):
        made.update(f"{path.relative_to(PACKAGE).as_posix()} {path.stat().st_size}\n".encode())
        made.update(path.read_bytes())
    return made.hexdigest()


def kept_templates(tutorial: Tutorial, kept: Kept) -> TemplateSet:
    """The files that go with a tutorial; those of which something is to be said are made each time, to say it."""
    data = kept.found("templates")
    if data is not None:
        return _unpacked(data)
    made = template_files(tutorial)
    if not made.findings:
        kept.put("templates", _packed(made))
    return made


def _packed(made: TemplateSet) -> bytes:
    """A line that lists the files, then their bytes one after the other."""
    listed = [{**asdict(each), "data": len(each.data)} for each in made.files]
    return json.dumps(listed).encode() + b"\n" + b"".join(each.data for each in made.files)


def _unpacked(data: bytes) -> TemplateSet:
    head, _, rest = data.partition(b"\n")
    files, at = [], 0
    for row in json.loads(head):
        size = row.pop("data")
        files.append(TemplateFile(data=rest[at:at + size], **row))
        at += size
    return TemplateSet(tuple(files))
