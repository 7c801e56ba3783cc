"""Templates and cutting files beside the page of a tutorial: where they stand, and what the page says of them."""
from __future__ import annotations

import posixpath
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from generator.drawing.templates.document import double_rule
from generator.drawing.templates.page_format import PAPERS, PrintPaper
from generator.locale import ENGLISH, Locale
from generator.tutorial.templates import SYSTEMS, TemplateFile

FOLDER = "templates"                    # beside the source, so that the address is <slug>/templates/
TRUE_SIZE = "print-at-true-size.md"     # the page that says how to print them
RULE = "true-size-rule-{}{}.pdf"


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


def address(uri: str, name: str) -> str:
    """Where a file of this name stands below the site, for the tutorial whose source is at ``uri``."""
    return posixpath.join(posixpath.dirname(uri), FOLDER, name)


def rules(locale: Locale = ENGLISH) -> Iterator[tuple[str, bytes]]:
    """The double rule for each paper: (address, bytes)."""
    language = "" if locale.code == ENGLISH.code else f"-{locale.code}"
    for paper in PAPERS:
        yield RULE.format(paper, language), double_rule(paper, locale)


def downloads(files: Sequence[TemplateFile], locale: Locale = ENGLISH, folder: str = FOLDER) -> tuple[Download, ...]:
    """What the page offers, kind by kind, in the order in which the files were made; ``folder`` leads to them."""
    kinds = dict.fromkeys((file.kind, file.face) for file in files)
    return tuple(_download(kind, face, [f for f in files if (f.kind, f.face) == (kind, face)], locale, folder) for kind, face in kinds)


def _download(kind: str, face: str, files: Sequence[TemplateFile], locale: Locale, folder: str) -> Download:
    key = "_".join(filter(None, ("file", kind.replace("-", "_"), face.replace("-", "_"))))
    offers = tuple(_offer(system, [f for f in files if f.system == system], locale, folder) for system in SYSTEMS
                   if any(f.system == system for f in files))
    return Download(locale.say(f"website.{key}"), locale.say(f"website.{key}_for"), offers)


def _offer(system: str, files: Sequence[TemplateFile], locale: Locale, folder: str) -> Offer:
    width = files[0].width
    note = locale.say("website.file_width", width=width) if width else ""
    return Offer(locale.say(f"website.file_{system}"),
                 tuple(Link(f"{folder}/{file.name}", _words(file, locale)) for file in files), note)


def _words(file: TemplateFile, locale: Locale) -> str:
    if not file.paper:
        return file.format.upper()
    pages = locale.count("website.file_pages", file.pages)
    return f"{PrintPaper(file.paper).title}, {pages}"
