"""One build's work: which page is a tutorial, what its Markdown is, and what its template is handed."""
from __future__ import annotations

import posixpath
from collections.abc import Mapping
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page
from mkdocs.utils import get_relative_url

from generator.drawing import stylesheet
from generator.findings import Finding
from generator.tutorial.conversions import conversions
from generator.website.downloads import TRUE_SIZE, address, downloads, rules
from generator.units import Bench
from generator.website.companions import COMPANIONS, Companion
from generator.website.darkroom import developed
from generator.website.filters import choices
from generator.website.glossary import Linker
from generator.website.letter import LETTER
from generator.website.outward import outward, outward_files
from generator.website.photos import framed
from generator.website.prose import Converted, Inline, Manuscript, parts
from generator.website.searching import INDEX, index
from generator.website.shelf import Shelf, Shelved
from generator.website.strings import STRINGS
from generator.website.view import Card, TutorialView, card, moved, tutorial_view

HOME = "index.md"
GLOSSARY = "glossary.md"
DRAWING_STYLE = "css/drawing.css"
PRINT = "print.md"          # beside the source, so that its address is <slug>/print/


class Desk:
    """Everything between reading the sources and handing a page to the theme."""

    def __init__(self, shelf: Shelf | None = None, serving: bool = False, benches: Mapping[str, Bench] | None = None):
        self.benches = benches or {}
        self.shelf = shelf or Shelf()
        self.serving = serving
        self._inline = Inline()
        self._manuscripts: dict[str, Manuscript] = {}
        self._converted: dict[str, Converted] = {}
        self._prints = {_print_of(uri): uri for uri in self.shelf.tutorials}
        self._files = Files([])
        self._views: dict[str, TutorialView] = {}
        self._language = "en"
        self.companions: dict[str, Companion] = {}

    def add_pages(self, files: Files, config: MkDocsConfig) -> None:
        """Add a print view to every tutorial, a gallery where the author wrote none, and the drawings' own style."""
        self._files = files
        developed(files, config)
        self._language = str(config.theme.locale.language)
        for uri in self.shelf.tutorials:
            # MkDocs has nothing to read there: it would take front matter that does not parse for text.
            self._file(uri).content_string = "\n"
        for uri in self._prints:
            if files.get_file_from_path(uri) is not None:
                raise PluginError(f"{uri} stands where the print view of the tutorial goes: give it another name")
            files.append(File.generated(config, uri, content="\n", inclusion=InclusionLevel.NOT_IN_NAV))
        for uri, shelved in self.shelf.tutorials.items():
            for made in shelved.templates.files:
                files.append(File.generated(config, address(uri, made), content=made.data))
        for name, data in (*rules(), *outward_files(self.shelf, files, config)):
            files.append(File.generated(config, name, content=data))
        for each in COMPANIONS:
            if files.get_file_from_path(each.source) is None:       # else the author's own page stands there
                files.append(File.generated(config, each.source, content="\n", inclusion=InclusionLevel.NOT_IN_NAV))
                self.companions[each.source] = each
        pages = {self._file(uri).url: shelved.tutorial for uri, shelved in self.shelf.tutorials.items()}
        glossary = self._file(GLOSSARY).url if GLOSSARY in self.companions else ""
        files.append(File.generated(config, INDEX, content=index(pages, glossary)))
        if files.get_file_from_path(HOME) is None:
            files.append(File.generated(config, HOME, content="\n"))
        files.append(File.generated(config, DRAWING_STYLE, content=stylesheet()))

    def markdown(self, page: Page, source: str) -> str:
        """The Markdown of a page, its title, description and template."""
        uri = page.file.src_uri
        if uri in self._prints:
            front = self._shelved(uri).tutorial.front
            page.meta = {"title": f"{front.title}: {STRINGS['print_title']}", "template": "print.html",
                         "description": front.summary}
            return ""
        if uri in self.companions:
            each = self.companions[uri]
            page.meta = {"title": each.title, "template": f"{each.name}.html"}
            return ""
        if uri not in self.shelf.tutorials:
            if uri == HOME:
                page.meta.setdefault("template", "home.html")
            return source
        tutorial = self._shelved(uri).tutorial
        page.meta = {"title": tutorial.front.title, "template": "tutorial.html",
                     "description": tutorial.front.summary}
        self._manuscripts[uri] = Manuscript()
        return self._manuscripts[uri].page(tutorial)

    def content(self, page: Page, html: str, files: Files) -> str:
        """Put values and frames round the photos into the converted text, and cut a tutorial into its steps."""
        uri = page.file.src_uri
        html = framed(html, page, files)
        if uri not in self._manuscripts:
            return html
        html = self._manuscripts[uri].fill(html)
        converted = parts(html, self._shelved(uri).tutorial.steps)
        if GLOSSARY in self.companions:
            linker = Linker.to(self._url(GLOSSARY, page))
            converted = Converted(linker.linked(converted.intro), tuple(map(linker.linked, converted.steps)))
        self._converted[uri] = converted
        return html

    def context(self, page: Page) -> dict[str, Any]:
        """What the template of this page is handed beyond what MkDocs hands it."""
        uri = page.file.src_uri
        if uri in self._prints:
            source = self._prints[uri]
            folder = posixpath.relpath(*map(posixpath.dirname, (self._file(source).dest_uri, page.file.dest_uri)))
            return {"tutorial": moved(self._view(source), folder), "tutorial_url": self._url(source, page),
                    "tutorial_address": self._file(source).page.canonical_url,
                    "guides": self._shelved(uri).guides}
        if uri in self.shelf.tutorials:
            return {"tutorial": self._view(uri), "warnings": self._warnings(uri),
                    "conversions": conversions(self._shelved(uri).tutorial) if self.serving else (),
                    "guides": self._shelved(uri).guides, "print_url": self._url(_print_of(uri), page), "measures_url": LETTER,
                    **outward(self._shelved(uri), page.canonical_url, self._language),
                    "downloads": downloads(self._shelved(uri).templates.files),
                    "true_size_url": self._url(TRUE_SIZE, page) if self._files.get_file_from_path(TRUE_SIZE) else ""}
        if uri in self.companions:
            return dict(self.companions[uri].data(self.benches))
        if uri == HOME:
            cards = self._cards(page)
            return {"cards": cards, "choices": choices(card.traits for card in cards)}
        return {}

    def _shelved(self, uri: str) -> Shelved:
        return self.shelf.tutorials[self._prints.get(uri, uri)]

    def _view(self, uri: str) -> TutorialView:
        if uri not in self._views:
            self._views[uri] = tutorial_view(self.shelf.tutorials[uri], self._converted[uri], self._inline)
        return self._views[uri]

    def _cards(self, page: Page) -> tuple[Card, ...]:
        return tuple(card(self._url(uri, page), shelved, self._inline)
                     for uri, shelved in self.shelf.tutorials.items())

    def _warnings(self, uri: str) -> tuple[Finding, ...]:
        return self.shelf.findings_of(self._shelved(uri).tutorial.file) if self.serving else ()

    def _file(self, uri: str) -> File:
        file = self._files.get_file_from_path(uri)
        if file is None:
            raise PluginError(f"{uri} is not among the pages any more: another plugin took it away")
        return file

    def _url(self, uri: str, page: Page) -> str:
        return get_relative_url(self._file(uri).url, page.file.url)


def _print_of(uri: str) -> str:
    return _beside(uri, PRINT)


def _beside(uri: str, name: str) -> str:
    return posixpath.join(posixpath.dirname(uri), name)
