"""What a build has finished of a tutorial, as one piece of data that the next build can take as it is.

All of it is text and bytes: whoever finds a tutorial's pack in the store needs neither its plans nor its
pictures.
"""
from __future__ import annotations

import copyreg
import json
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from generator.dataclass import dataclass, field
from generator.findings import Finding, Span
from generator.record.state import TutorialState
from generator.units import Bench
from generator.website.filters import FilterValues

# In what is stored, for addresses that hang on where the site stands: of the page, of the picture to share,
# and the line in which a print view tells the address of its page.
PAGE_MARK, IMAGE_MARK, ADDRESS_MARK = "\ue010", "\ue011", "\ue012"
# for what hangs on the theme and on the other tutorials: the colours of a card's picture, and its size
STYLE_MARK, WIDE_MARK, HIGH_MARK = "\ue013", "\ue014", "\ue015"
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
    site: str = ""              # its address, where it knows that


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
    """A tutorial in the gallery of one language: its card, its row of the table, and what it is sifted by.

    ``extent`` is the width and height in mm of the paper in its picture, whose size in ``card`` is still
    marks.
    """

    card: str
    row: str
    traits: FilterValues
    extent: tuple[float, float] = (0.0, 0.0)


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
    words: tuple[str, ...] = ()     # to search for, of all but its steps, then of each of them
    photos: tuple[tuple[str, Span], ...] = ()       # (as it is named, where)
    files: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()                   # former names of its folder
    pictured: bool = False      # whether it has a picture for the gallery, which all languages share


@dataclass(slots=True)
class SourcePack:
    """One source in all of its languages; cards are added while a build works on them.

    ``cards`` by source and the language of the gallery; ``facts`` what its pages took from the rest of the
    site, ``links`` what they lead to there; ``state`` is what would go on record.
    """

    findings: tuple[Finding, ...] = ()
    texts: Mapping[str, str] = field(default_factory=dict)      # what findings quote, by file as shown
    entries: tuple[TutorialEntry, ...] = ()
    cards: dict[str, dict[str, GalleryCard]] = field(default_factory=dict)
    facts: str = ""
    links: tuple[str, ...] = ()
    state: TutorialState | None = None


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
