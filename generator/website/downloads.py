"""Templates and cutting files beside the page of a tutorial: where they stand, and what the page says of them."""
from __future__ import annotations

import posixpath
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from generator.drawing.templates.documents import double_rule
from generator.drawing.templates.page import PRINT_PAPERS, PrintPaper
from generator.locale import ENGLISH, Locale
from generator.tutorial.template_files import TemplateFile
from generator.units import SYSTEMS

TEMPLATES_FOLDER = "templates"                    # beside the source, so that the address is <slug>/templates/
TRUE_SIZE_PAGE = "print-at-true-size.md"     # the page that says how to print them
DOUBLE_RULE_FILE = "true-size-rule-{}{}.pdf"


@dataclass(frozen=True, slots=True)
class DownloadLink:
    """A file to fetch; ``url`` from the page of the tutorial."""

    url: str
    words: str


@dataclass(frozen=True, slots=True)
class EditionDownloads:
    """One edition's files of one kind. ``note`` is what must come out of them, "" where the file says so itself."""

    edition: str
    links: tuple[DownloadLink, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class DownloadKind:
    """A kind of file, and what it is for."""

    title: str
    purpose: str
    offers: tuple[EditionDownloads, ...]


def template_address(uri: str, name: str) -> str:
    """Where a file of this name stands below the site, for the tutorial whose source is at ``uri``."""
    return posixpath.join(posixpath.dirname(uri), TEMPLATES_FOLDER, name)


def double_rule_files(locale: Locale = ENGLISH) -> Iterator[tuple[str, bytes]]:
    """The double rule for each paper: (address, bytes)."""
    language = "" if locale.code == ENGLISH.code else f"-{locale.code}"
    for paper in PRINT_PAPERS:
        yield DOUBLE_RULE_FILE.format(paper, language), double_rule(paper, locale)


def download_kinds(files: Sequence[TemplateFile], locale: Locale = ENGLISH, folder: str = TEMPLATES_FOLDER) -> tuple[DownloadKind, ...]:
    """What the page offers, kind by kind, in the order in which the files were made; ``folder`` leads to them."""
    kinds = dict.fromkeys((file.kind, file.face) for file in files)
    return tuple(_download_kind(kind, face, [f for f in files if (f.kind, f.face) == (kind, face)], locale, folder) for kind, face in kinds)


def _download_kind(kind: str, face: str, files: Sequence[TemplateFile], locale: Locale, folder: str) -> DownloadKind:
    key = "_".join(filter(None, ("file", kind.replace("-", "_"), face.replace("-", "_"))))
    offers = tuple(_edition_downloads(system, [f for f in files if f.system == system], locale, folder) for system in SYSTEMS
                   if any(f.system == system for f in files))
    return DownloadKind(locale.say(f"website.{key}"), locale.say(f"website.{key}_for"), offers)


def _edition_downloads(system: str, files: Sequence[TemplateFile], locale: Locale, folder: str) -> EditionDownloads:
    width = files[0].width
    note = locale.say("website.file_width", width=width) if width else ""
    return EditionDownloads(locale.say(f"website.file_{system}"),
                 tuple(DownloadLink(f"{folder}/{file.name}", _file_label(file, locale)) for file in files), note)


def _file_label(file: TemplateFile, locale: Locale) -> str:
    if not file.paper:
        return file.format.upper()
    pages = locale.count("website.file_pages", file.pages)
    return f"{PrintPaper(file.paper).title}, {pages}"
