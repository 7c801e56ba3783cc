"""Templates and cutting files beside the page of a tutorial: where they stand, and what the page says of them."""
from __future__ import annotations

import posixpath
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from generator.drawing.templates.document import double_rule
from generator.drawing.templates.leaf import PAPERS, Leaf
from generator.tutorial.templates import SYSTEMS, TemplateFile
from generator.website.strings import STRINGS

FOLDER = "templates"                    # beside the source, so that the address is <slug>/templates/
TRUE_SIZE = "print-at-true-size.md"     # the page that says how to print them
RULE = "true-size-rule-{}.pdf"


@dataclass(frozen=True, slots=True)
class Link:
    """A file to fetch; ``url`` from the page of the tutorial."""

    url: str
    words: str


@dataclass(frozen=True, slots=True)
class Offer:
    """One edition's files of one kind. ``note`` is what must come out of them, "" where the file says so itself."""

    edition: str
    links: tuple[Link, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Download:
    """A kind of file, and what it is for."""

    title: str
    purpose: str
    offers: tuple[Offer, ...]


def address(uri: str, file: TemplateFile) -> str:
    """Where a file stands below the site, for the tutorial whose source is at ``uri``."""
    return posixpath.join(posixpath.dirname(uri), FOLDER, file.name)


def rules() -> Iterator[tuple[str, bytes]]:
    """The double rule for each paper: (address, bytes)."""
    for paper in PAPERS:
        yield RULE.format(paper), double_rule(paper)


def downloads(files: Sequence[TemplateFile]) -> tuple[Download, ...]:
    """What the page offers, kind by kind, in the order in which the files were made."""
    kinds = dict.fromkeys((file.kind, file.face) for file in files)
    return tuple(_download(kind, face, [f for f in files if (f.kind, f.face) == (kind, face)]) for kind, face in kinds)


def _download(kind: str, face: str, files: Sequence[TemplateFile]) -> Download:
    key = "_".join(filter(None, ("file", kind.replace("-", "_"), face.replace("-", "_"))))
    offers = tuple(_offer(system, [f for f in files if f.system == system]) for system in SYSTEMS
                   if any(f.system == system for f in files))
    return Download(STRINGS[key], STRINGS[f"{key}_for"], offers)


def _offer(system: str, files: Sequence[TemplateFile]) -> Offer:
    width = files[0].width
    note = STRINGS["file_width"].format(width=width) if width else ""
    return Offer(STRINGS[f"file_{system}"], tuple(Link(f"{FOLDER}/{file.name}", _words(file)) for file in files), note)


def _words(file: TemplateFile) -> str:
    if not file.paper:
        return file.format.upper()
    pages = STRINGS["file_page" if file.pages == 1 else "file_pages"].format(pages=file.pages)
    return f"{Leaf(file.paper).title}, {pages}"
