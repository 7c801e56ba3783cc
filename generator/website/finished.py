"""What a build has finished of a tutorial, as one piece of data that the next build can take as it is.

All of it is text and bytes: whoever finds a tutorial's pack in the store needs neither its plans nor its
pictures.
"""
from __future__ import annotations

import copyreg
import json
import zlib
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from types import MappingProxyType
from typing import Any

from generator.findings import Finding, Severity, Span
from generator.units import Bench
from generator.website.filters import FilterValues

# In what is stored, for addresses that hang on where the site stands: of the page, of the picture to share,
# and the line in which a print view tells the address of its page.
PAGE_MARK, IMAGE_MARK, ADDRESS_MARK = "\ue010", "\ue011", "\ue012"
LEVEL = 1       # of zlib: pages shrink to a fifth in a millisecond; higher levels gain little
ENCODING = ("utf-8", "surrogatepass")


def _read_only(mapping: dict[Any, Any]) -> MappingProxyType[Any, Any]:
    return MappingProxyType(mapping)


# read-only mappings go from one process to another as what they hold
copyreg.pickle(MappingProxyType, lambda mapping: (_read_only, (dict(mapping),)))


@dataclass(frozen=True, slots=True)
class SourceRequest:
    """What working out one source needs to know, so that another process can do it."""

    address: str                # below the tutorials: "caddy/index.md"
    path: str
    shown: str                  # how messages name it
    benches: Mapping[str, Bench]
    codes: tuple[str, ...]      # the languages of the site
    directory_urls: bool
    cache: str                  # the folder of the store, "" for none


@dataclass(frozen=True, slots=True)
class FinishedPage:
    """A page but for what frames it: menu, head and foot are the theme's anew in each build."""

    kind: str                   # class of the body
    head: str
    main: str
    notes: str = ""             # for the author, shown while serving
    tutorial: bool = False
    howto: str = ""             # what machines are told, with marks for addresses
    howto_bare: str = ""        # the same where the site knows no address of its own


@dataclass(frozen=True, slots=True)
class FinishedText:
    """What Markdown made of a tutorial, and what MkDocs knows of it.

    ``headings`` are those in the text: (title, id, level, those below). ``anchors`` are what can be led to in
    it, ``anchor_links`` what it leads to in other pages: by source, the anchor and the link as written.
    """

    text: str
    headings: tuple[Any, ...] = ()
    anchors: tuple[str, ...] = ()
    anchor_links: Mapping[str, Mapping[str, str]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class GalleryCard:
    """A tutorial in the gallery of one language: its card, its row of the table, and what it is sifted by."""

    card: str
    row: str
    traits: FilterValues


@dataclass(frozen=True, slots=True)
class TutorialEntry:
    """A tutorial in one language, as everything beside its own page knows it.

    Days are written as ISO 8601 has them, "" where none is known; ``files`` are the addresses below the site
    of the files that go with it.
    """

    uri: str
    title: str
    summary: str
    author: str = ""
    published: str = ""
    changed: str = ""
    steps: tuple[tuple[str, str], ...] = ()         # (anchor, title)
    photos: tuple[tuple[str, Span], ...] = ()       # (as it is named, where)
    files: tuple[str, ...] = ()


@dataclass(slots=True)
class SourcePack:
    """One source in all of its languages; cards are added while a build works on them.

    ``cards`` by source and the language of the gallery; ``facts`` what its pages took from the rest of the
    site, ``links`` what they lead to there.
    """

    findings: tuple[Finding, ...] = ()
    texts: Mapping[str, str] = field(default_factory=dict)      # what findings quote, by file as shown
    entries: tuple[TutorialEntry, ...] = ()
    cards: dict[str, dict[str, GalleryCard]] = field(default_factory=dict)
    facts: str = ""
    links: tuple[str, ...] = ()


def pack_bytes(pack: SourcePack) -> bytes:
    """The pack as it is stored."""
    return _compressed({
        "findings": [_finding_data(each) for each in pack.findings], "texts": dict(pack.texts),
        "entries": [{**asdict(each), "photos": [(src, _span_data(span)) for src, span in each.photos]}
                    for each in pack.entries],
        "cards": {uri: {code: asdict(card) for code, card in cards.items()} for uri,
                  cards in pack.cards.items()},
        "facts": pack.facts, "links": pack.links})


def pack_from_bytes(data: bytes) -> SourcePack:
    """The pack that :func:`pack_bytes` wrote. Raises ValueError for anything else."""
    try:
        told = _decompressed(data)
        return SourcePack(tuple(map(_finding, told["findings"])), told["texts"],
                          tuple(map(_entry, told["entries"])),
                          {uri: {code: GalleryCard(card["card"], card["row"], _traits(card["traits"]))
                                 for code, card in cards.items()} for uri, cards in told["cards"].items()},
                          told["facts"], tuple(told["links"]))
    except (KeyError, TypeError, AttributeError) as wrong:
        raise ValueError(f"not a pack: {wrong}") from wrong


def record_bytes(record: FinishedPage | FinishedText) -> bytes:
    """A page or a text as it is stored."""
    return _compressed(asdict(record))


def page_from_bytes(data: bytes) -> FinishedPage:
    """The page that :func:`record_bytes` wrote. Raises ValueError for anything else."""
    try:
        return FinishedPage(**_decompressed(data))
    except TypeError as wrong:
        raise ValueError(f"not a page: {wrong}") from wrong


def text_from_bytes(data: bytes) -> FinishedText:
    """The text that :func:`record_bytes` wrote. Raises ValueError for anything else."""
    try:
        return FinishedText(**_with_tuples(_decompressed(data)))
    except TypeError as wrong:
        raise ValueError(f"not a text: {wrong}") from wrong


def contents_bytes(contents: Mapping[str, bytes]) -> bytes:
    """Files by their names: a line that lists them with their sizes, then what they hold."""
    head = json.dumps([(name, len(content)) for name, content in contents.items()]).encode(*ENCODING)
    return b"".join((head, b"\n", *contents.values()))


def contents_from_bytes(data: bytes) -> dict[str, bytes]:
    """The files that :func:`contents_bytes` wrote."""
    head, _, rest = data.partition(b"\n")
    found, at = {}, 0
    for name, size in json.loads(head):
        found[name] = rest[at:at + size]
        at += size
    return found


def _compressed(told: Mapping[str, Any]) -> bytes:
    return zlib.compress(json.dumps(told, ensure_ascii=False).encode(*ENCODING), LEVEL)


def _decompressed(data: bytes) -> Any:
    try:
        return json.loads(zlib.decompress(data).decode(*ENCODING))
    except (zlib.error, UnicodeError) as wrong:
        raise ValueError(f"damaged: {wrong}") from wrong


def _with_tuples(data: Mapping[str, Any]) -> dict[str, Any]:
    """The fields of a record: what JSON made lists of are tuples again."""
    return {key: tuple(value) if isinstance(value, list) else value for key, value in data.items()}


def _finding_data(each: Finding) -> list[Any]:
    return [each.code, each.severity.value, each.message, _span_data(each.span), each.hint, each.edition]


def _finding(data: list[Any]) -> Finding:
    code, severity, message, span, hint, edition = data
    return Finding(code, Severity(severity), message, Span(*span), hint, edition)


def _span_data(span: Span) -> list[Any]:
    return [span.file, span.line, span.column, span.length]


def _entry(data: Mapping[str, Any]) -> TutorialEntry:
    return TutorialEntry(**{**_with_tuples(data), "steps": tuple(map(tuple, data["steps"])),
                            "photos": tuple((src, Span(*span)) for src, span in data["photos"])})


def _traits(data: Mapping[str, Any]) -> FilterValues:
    return FilterValues(**_with_tuples(data))
