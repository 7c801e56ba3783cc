"""The sources of the site: each taken finished from the store where nothing that it is made from has changed.

Else it is worked out anew, by several processes where there are several to work out. Neither pictures nor
plans are known here: they are loaded with the first source that must be worked out.
"""
from __future__ import annotations

import hashlib
import json
import logging
import multiprocessing
import os
import sys
from collections.abc import Callable, Container, Iterable, Iterator, Mapping, MutableMapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

from generator.dataclass import dataclass, field, replace
from generator.files import FileCache, code_version
from generator.findings import Finding, with_progress
from generator.language.source.files_beside import folder_digests, parts_digests
from generator.units import Bench, NotData, data_of, value_of
from generator.website.finished import (
    FinishedPage,
    FinishedText,
    SourcePack,
    SourceRequest,
    TutorialEntry,
    contents_bytes,
    contents_from_bytes,
)

if TYPE_CHECKING:
    from generator.website.tutorial_pages import WorkedOut

SOURCE_FILE = "index.md"
PACK, PAGE, TEXT, FILES = "pack", "page", "text", "files"         # what is stored of a source
MIN_FOR_POOL = 3        # sources; a process takes as long to start as one flat box to work out


@dataclass(frozen=True, slots=True)
class CachedResults:
    """A place for the answers of one tutorial in one language; without a cache nothing is kept."""

    cache: MutableMapping[str, bytes] | None = None
    key: str = ""

    def found(self, what: str) -> bytes | None:
        """What was put there, whole, or None."""
        return None if self.cache is None else self.cache.get(self._name(what))

    def holds(self, what: str) -> bool:
        """True where something was put there; whether it is whole only :meth:`found` tells."""
        return self.cache is not None and self._name(what) in self.cache

    def put(self, what: str, data: bytes) -> None:
        """Keep it for the next build."""
        if self.cache is not None:
            self.cache[self._name(what)] = data

    def _name(self, what: str) -> str:
        return hashlib.sha256(f"{self.key} {what}".encode()).hexdigest()

    def record(self, what: str) -> Any:
        """The record that was put there as data, or None."""
        data = self.found(what)
        with suppress(NotData):
            return None if data is None else value_of(data)
        return None


@dataclass(slots=True)
class Source:
    """A source as this build has it; ``work`` is None where it was found finished."""

    request: SourceRequest
    results: CachedResults
    pack: SourcePack
    work: WorkedOut | None = None
    made: dict[str, FinishedPage] = field(default_factory=dict)     # the pages of this build, print views too
    texts: dict[str, FinishedText] = field(default_factory=dict)
    judged: bool = False        # whether it was found whole once

    def work_out(self) -> None:
        """Make it anew, although it was found."""
        self.take(_worked_out(self.request))

    def take(self, work: WorkedOut) -> None:
        """Go on with what was worked out; its files need not be held where they are stored."""
        for uri, contents in work.contents.items():
            self.results.put(f"{FILES} {uri}", contents_bytes(contents))
        if self.results.cache is not None and all(self.results.holds(f"{FILES} {uri}")
                                                  for uri in work.contents):
            work = replace(work, contents={})
        self.pack, self.work = work.pack, work

    def page(self, uri: str) -> FinishedPage | None:
        """A page of this build or of an earlier one; None where it must be made."""
        if self.work is not None:
            return self.made.get(uri)
        found: FinishedPage | None = self.results.record(f"{PAGE} {uri}")
        return found

    def text(self, uri: str) -> FinishedText | None:
        """What Markdown has made of a tutorial's text, in this build or an earlier one."""
        if self.work is not None:
            return self.texts.get(uri)
        found: FinishedText | None = self.results.record(f"{TEXT} {uri}")
        return found

    def is_whole(self, pages: Iterable[str]) -> bool:
        """Whether all of these pages, and the texts of the tutorials, are stored as they were written."""
        if self.judged:
            return True
        names = (*(f"{PAGE} {uri}" for uri in pages), *(f"{TEXT} {entry.uri}" for entry in self.pack.entries))
        self.judged = all(self.results.found(name) is not None for name in names)
        return self.judged

    def contents(self, uri: str) -> Mapping[str, bytes]:
        """The files of a tutorial. Raises KeyError where the store has lost them since it was asked."""
        if self.work is not None and uri in self.work.contents:
            return self.work.contents[uri]
        data = self.results.found(f"{FILES} {uri}")
        if data is None:
            raise KeyError(uri)
        return contents_from_bytes(data)

    def keep(self, facts: str, links: Iterable[str]) -> None:
        """Store it whole, with what its pages took from the rest of the site and lead to there."""
        self.pack.facts, self.pack.links = facts, tuple(links)
        for uri, page in self.made.items():
            self.results.put(f"{PAGE} {uri}", data_of(page))
        for uri, text in self.texts.items():
            self.results.put(f"{TEXT} {uri}", data_of(text))
        self.results.put(PACK, data_of(self.pack))


@dataclass(frozen=True, slots=True)
class TutorialCollection:
    """Everything that was read: the sources, and their tutorials by address below the site's sources."""

    sources: Mapping[str, Source] = field(default_factory=dict)

    @property
    def entries(self) -> dict[str, TutorialEntry]:
        """By source: "caddy/index.de.md"."""
        return {entry.uri: entry for source in self.sources.values() for entry in source.pack.entries}

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Of all sources."""
        return tuple(each for source in self.sources.values() for each in source.pack.findings)

    @property
    def texts(self) -> dict[str, str]:
        """What findings quote, by file as shown."""
        return {file: text for source in self.sources.values() for file, text in source.pack.texts.items()}

    def blamed(self, files: Iterable[str]) -> set[str]:
        """The folders of tutorials that cannot be shown, since they have none or since of these files."""
        return {each.split("/")[0] for each in files} | {
            address.split("/")[0] for address, source in self.sources.items() if not source.pack.entries}

    def without(self, folders: Container[str]) -> TutorialCollection:
        """The sources in other folders."""
        return TutorialCollection({address: source for address, source in self.sources.items()
                                   if address.split("/")[0] not in folders})


def source_addresses(folder: Path, wanted: Callable[[str], bool]) -> Iterator[str]:
    """The address of every tutorial: a folder that has an index.md, hidden ones left out."""
    for path in sorted(folder.glob(f"*/{SOURCE_FILE}")):
        address = path.relative_to(folder).as_posix()
        if not address.startswith(".") and wanted(address):
            yield address


def read_sources(requests: Sequence[SourceRequest], settings: str, store: FileCache | None,
                 jobs: int = 1, known: TutorialCollection | None = None) -> TutorialCollection:
    """All sources, whatever is wrong with one of them.

    ``settings`` is all that pages take from the site's own settings; ``jobs`` how many processes may work;
    ``known`` what this very process has read before.
    """
    sources: dict[str, Source] = {}
    before = known.sources if known is not None else {}
    parts = _parts_digest(requests)
    for request in requests:
        results = CachedResults(store, _key(request, settings, parts) if store is not None else "")
        last = before.get(request.address)
        if last is not None and last.work is None and last.results.key == results.key != "":
            sources[request.address] = last
        else:
            sources[request.address] = Source(request, results, _found(results) or SourcePack())
    missing = [source for source in sources.values() if not source.pack.entries]
    works = _all_worked_out([each.request for each in missing], jobs)
    for source, work in zip(missing,
                            with_progress(works, "working out", [each.request.shown for each in missing],
                                                   _progress_stream()), strict=True):
        source.take(work)
    return TutorialCollection(sources)


def _progress_stream() -> TextIO | None:
    """Where it is told how far the work is; nowhere where the host was told to be quiet."""
    return sys.stderr if logging.getLogger("mkdocs").isEnabledFor(logging.INFO) else None


def _found(results: CachedResults) -> SourcePack | None:
    """The pack, where all that belongs to it is there too."""
    pack: SourcePack | None = results.record(PACK)
    if pack is None or not all(results.holds(f"{FILES} {entry.uri}") for entry in pack.entries):
        return None
    return pack


def _worked_out(request: SourceRequest) -> WorkedOut:
    from generator.website.tutorial_pages import worked_out
    return worked_out(request)


def _all_worked_out(requests: Sequence[SourceRequest],
                    jobs: int) -> Iterable[WorkedOut]:
    """In the order of the requests, whichever is ready first."""
    workers = min(jobs, len(requests))
    if workers < 2 or len(requests) < MIN_FOR_POOL:
        return map(_worked_out, requests)
    return _by_processes(requests, workers)


def _by_processes(requests: Sequence[SourceRequest],
                  workers: int) -> Iterator[WorkedOut]:
    # started afresh, as on all systems: a copy of this process would copy its threads' locks too
    with ProcessPoolExecutor(workers, multiprocessing.get_context("spawn")) as pool:
        try:
            yield from pool.map(_worked_out, requests)
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise


def usable_cores() -> int:
    """How many processes can work at the same time."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _key(request: SourceRequest, settings: str, parts: str) -> str:
    """A name for all that a source's pages are made from, but for what they take from other pages."""
    said = json.dumps([code_version(), settings, parts, request.address, request.shown,
                       request.directory_urls, request.site, sorted(map(repr, request.benches.items())),
                       folder_digests(Path(request.path).parent)])
    return hashlib.sha256(said.encode("utf-8", "surrogatepass")).hexdigest()


def site_results(settings: str, benches: Mapping[str, Bench],
                 store: FileCache | None) -> CachedResults:
    """The place for what a site has beside its tutorials."""
    said = json.dumps([code_version(), settings, sorted(map(repr, benches.items()))])
    return CachedResults(store, hashlib.sha256(said.encode("utf-8", "surrogatepass")).hexdigest())


def _parts_digest(requests: Sequence[SourceRequest]) -> str:
    """A name for the statements of the site's own."""
    folders = dict.fromkeys(Path(request.path).parent.parent for request in requests)
    return json.dumps([parts_digests(folder) for folder in folders])
