"""One build's work: which page is a tutorial, what its Markdown is, and what its template is handed."""
from __future__ import annotations

import posixpath
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page
from mkdocs.utils import get_relative_url

from generator.drawing import font_faces, stylesheet, web_fonts
from generator.findings import Finding
from generator.locale import locale_for
from generator.tutorial.measures import conversions
from generator.units import Bench
from generator.website.data_pages import DATA_PAGES, DataPage, search_index, search_index_name
from generator.website.downloads import (
    TRUE_SIZE_PAGE,
    double_rule_files,
    download_kinds,
    sibling_address,
    template_address,
)
from generator.website.filters import filter_choices
from generator.website.glossary import GlossaryLinker
from generator.website.navigation import (
    HOME_PAGE,
    MAIN_LANGUAGE,
    PageNavigation,
    assign_addresses,
    file_at,
    language_of,
    original_uri,
    site_languages,
    translated_uri,
)
from generator.website.page_metadata import companion_name, head_metadata, lastmod, metadata_files
from generator.website.photos import frame_photos, replace_photos
from generator.website.plain_text import MEASURES_FILE
from generator.website.prose import ConvertedTutorial, InlineMarkdown, MarkdownSource, split_at_steps
from generator.website.published_files import remove_unpublished
from generator.website.tutorials import RenderedTutorial, TutorialCollection
from generator.website.view import TutorialCard, TutorialView, relocated_view, tutorial_card, tutorial_view

GLOSSARY_PAGE = "glossary.md"
DRAWING_STYLESHEET = "css/drawing.css"
# beside the source, so that its address is <slug>/print/, in German <slug>/de/print/
PRINT_PAGE = "print.md"


class SiteBuilder:
    """Everything between reading the sources and handing a page to the theme."""

    def __init__(self, collection: TutorialCollection | None = None, serving: bool = False,
                 benches: Mapping[str, Bench] | None = None,
                 allowed: Mapping[str, frozenset[str]] | None = None):
        self.benches, self.allowed = benches or {}, allowed or {}
        self.collection = collection or TutorialCollection()
        self.serving = serving
        self._inline = InlineMarkdown()
        self._markdown_sources: dict[str, MarkdownSource] = {}
        self._converted: dict[str, ConvertedTutorial] = {}
        self._prints = {_print_view_uri(uri): uri for uri in self.collection.tutorials}
        self._files = Files([])
        self._navigation = PageNavigation(self._files, (), (), "")
        self._views: dict[str, TutorialView] = {}
        self.companions: dict[str, DataPage] = {}

    def add_pages(self, files: Files, config: MkDocsConfig) -> None:
        """Add print views, a gallery where the author wrote none, files of tutorials and pages from data."""
        self._files = files
        for uri in self._prints:
            if files.get_file_from_path(uri) is not None:
                raise PluginError(
                    f"{uri} stands where the print view of the tutorial goes: give it another name")
            files.append(File.generated(config, uri, content="\n", inclusion=InclusionLevel.NOT_IN_NAV))
        remove_unpublished(files, self.allowed)
        replace_photos(files, config)
        codes = site_languages(files)
        for uri in self.collection.tutorials:
            # MkDocs has nothing to read there: it would take front matter that does not parse for text.
            self._file(uri).content_string = "\n"
        for uri, rendered_tutorial in self.collection.tutorials.items():
            for template in rendered_tutorial.templates.files:
                files.append(File.generated(config, template_address(uri, template.name),
                                            content=template.data))
            slider = rendered_tutorial.slider
            # all languages share one
            if slider is not None and files.get_file_from_path(sibling_address(uri, slider.name)) is None:
                files.append(File.generated(config, sibling_address(uri, slider.name), content=slider.data))
        for name, data in (ruler for code in codes for ruler in double_rule_files(locale_for(code))):
            files.append(File.generated(config, name, content=data))
        self._add_companions(codes, config)
        assign_addresses(files)
        self._navigation = PageNavigation(files, codes, ((each.source, each.title) for each in DATA_PAGES),
                                          config.site_url or "")
        for name, content in metadata_files(self.collection, files, config):
            files.append(File.generated(config, name, content=content))
        for code in codes:
            files.append(File.generated(config, search_index_name(code), content=self._index(code)))
        files.append(File.generated(config, DRAWING_STYLESHEET, content=f"{font_faces()}\n{stylesheet()}"))
        for name, data in web_fonts().items():
            files.append(File.generated(config, f"{posixpath.dirname(DRAWING_STYLESHEET)}/{name}",
                                        content=data))

    def _add_companions(self, codes: Iterable[str], config: MkDocsConfig) -> None:
        """The pages made from data, and the gallery, in every language in which the site has any page."""
        for code in codes:
            for each in DATA_PAGES:
                source = translated_uri(each.source, code)
                wanted = each.everywhere or code == MAIN_LANGUAGE
                # else the author's own page is there
                if wanted and self._files.get_file_from_path(source) is None:
                    self._add(source, config, InclusionLevel.NOT_IN_NAV)
                    self.companions[source] = each
            if self._files.get_file_from_path(translated_uri(HOME_PAGE, code)) is None:
                self._add(translated_uri(HOME_PAGE, code), config)

    def _add(self, uri: str, config: MkDocsConfig,
             inclusion: InclusionLevel = InclusionLevel.UNDEFINED) -> None:
        self._files.append(File.generated(config, uri, content="\n", inclusion=inclusion))

    def _index(self, code: str) -> str:
        """What can be searched for in one language.

        Its tutorials, those that it lacks as they are, and its words.
        """
        pages = {self._file(uri).url: rendered.tutorial for uri, rendered in self._in(code).items()}
        glossary = translated_uri(GLOSSARY_PAGE, code)
        return search_index(pages, self._file(glossary).url if glossary in self.companions else "",
                            locale_for(code))

    def _in(self, code: str) -> dict[str, RenderedTutorial]:
        """Every tutorial, in this language where it has it."""
        found = {}
        for uri in self.collection.tutorials:
            if original_uri(uri) == uri:
                own = translated_uri(uri, code) if translated_uri(uri,
                                                                  code) in self.collection.tutorials else uri
                found[own] = self.collection.tutorials[own]
        return found

    def markdown(self, page: Page, source: str) -> str:
        """The Markdown of a page, its title, description and template."""
        uri = page.file.src_uri
        if uri in self._prints:
            front = self._rendered(uri).tutorial.front
            words = locale_for(language_of(uri))
            page.meta = {"title": f"{front.title}: {words.say('website.print_title')}",
                         "template": "print.html",
                         "description": front.summary}
            return ""
        if uri in self.companions:
            each = self.companions[uri]
            words = locale_for(language_of(uri))
            page.meta = {"title": words.say(each.title), "template": f"{each.name}.html"}
            if words.has(f"website.{each.name}_intro"):
                page.meta["description"] = words.say(f"website.{each.name}_intro")
            return ""
        if uri not in self.collection.tutorials:
            if original_uri(uri) == HOME_PAGE:
                page.meta.setdefault("template", "home.html")
            return source
        tutorial = self._rendered(uri).tutorial
        page.meta = {"title": tutorial.front.title, "template": "tutorial.html",
                     "description": tutorial.front.summary, "lastmod": lastmod(tutorial.front)}
        self._markdown_sources[uri] = MarkdownSource()
        return self._markdown_sources[uri].page(tutorial)

    def content(self, page: Page, html: str, files: Files) -> str:
        """The converted text with its values and framed photos; a tutorial is cut into its steps."""
        uri = page.file.src_uri
        html = frame_photos(html, page, files)
        if uri not in self._markdown_sources:
            return html
        html = self._markdown_sources[uri].fill(html)
        converted = split_at_steps(html, self._rendered(uri).tutorial.steps)
        glossary = translated_uri(GLOSSARY_PAGE, language_of(uri))
        if glossary in self.companions:
            linker = GlossaryLinker.to(self._url(glossary, page), locale_for(language_of(uri)))
            converted = ConvertedTutorial(linker.linked(converted.intro),
                                          tuple(map(linker.linked, converted.steps)))
        self._converted[uri] = converted
        return html

    def context(self, page: Page, nav: Navigation) -> dict[str, Any]:
        """What the template of this page is handed beyond what MkDocs hands it."""
        return {**self._navigation.context(page, nav), **self._own(page)}

    def site_context(self, code: str) -> dict[str, Any]:
        """What a page without a source, such as that for lost links, is handed."""
        return {"companions": self._navigation.companions(locale_for(code)),
                "home_url": self._file(translated_uri(HOME_PAGE, code)).url}

    def _own(self, page: Page) -> dict[str, Any]:
        uri = page.file.src_uri
        if uri in self._prints:
            source = self._prints[uri]
            original = self._file(source)
            folder = posixpath.relpath(*map(posixpath.dirname, (original.dest_uri, page.file.dest_uri)))
            return {"tutorial": relocated_view(self._view(source), folder),
                    "tutorial_url": self._url(source, page),
                    "tutorial_address": original.page.canonical_url if original.page else None,
                    "guides": self._rendered(uri).guides}
        if uri in self.collection.tutorials:
            return {"tutorial": self._view(uri), "warnings": self._warnings(uri),
                    "conversions": conversions(self._rendered(uri).tutorial) if self.serving else (),
                    "guides": self._rendered(uri).guides, "print_url": self._url(_print_view_uri(uri), page),
                    "measures_url": companion_name(page.url, MEASURES_FILE),
                    **head_metadata(self._rendered(uri), page.canonical_url),
                    "downloads": download_kinds(self._rendered(uri).templates.files,
                                                locale_for(language_of(uri)), self._templates(uri, page)),
                    "fold_url": self._fold(uri, page), "true_size_url": self._true_size(page)}
        if uri in self.companions:
            return {**self.companions[uri].data(self.benches, locale_for(language_of(uri))),
                    "search_index": search_index_name(language_of(uri))}
        if original_uri(uri) == HOME_PAGE:
            cards = self._cards(page)
            return {"cards": cards, "choices": filter_choices((card.traits for card in cards),
                                                              locale_for(language_of(uri)))}
        return {}

    def _templates(self, uri: str, page: Page) -> str:
        """From a page to the folder of its tutorial's files."""
        return get_relative_url(template_address(uri, ""), page.file.url).rstrip("/")

    def _fold(self, uri: str, page: Page) -> str:
        """From a page to the data of its fold slider; "" where it has none."""
        slider = self.collection.tutorials[uri].slider
        return get_relative_url(sibling_address(uri, slider.name),
                                page.file.url) if slider is not None else ""

    def _true_size(self, page: Page) -> str:
        """Where it is said how to print at true size, in this page's language if it is.

        "" where nothing is said.
        """
        own = translated_uri(TRUE_SIZE_PAGE, language_of(page.file.src_uri))
        found = next((uri for uri in (own, TRUE_SIZE_PAGE) if self._files.get_file_from_path(uri)), "")
        return self._url(found, page) if found else ""

    def _rendered(self, uri: str) -> RenderedTutorial:
        return self.collection.tutorials[self._prints.get(uri, uri)]

    def _view(self, uri: str) -> TutorialView:
        if uri not in self._views:
            self._views[uri] = tutorial_view(self.collection.tutorials[uri], self._converted[uri],
                                             self._inline)
        return self._views[uri]

    def _cards(self, page: Page) -> tuple[TutorialCard, ...]:
        code = language_of(page.file.src_uri)
        known_first = sorted(self._in(code).items(), key=lambda found: language_of(found[0]) != code)
        return tuple(tutorial_card(self._url(uri, page), rendered_tutorial, self._inline, locale_for(code),
                                   tuple(self._others(uri, page)))
                     for uri, rendered_tutorial in known_first)

    def _others(self, uri: str, page: Page) -> Iterator[tuple[str, str, str]]:
        """The other languages of a tutorial: (code, name, url)."""
        for link in self._navigation.versions(uri):
            if not link.here:
                yield link.code, link.title, get_relative_url(link.url, page.file.url)

    def _warnings(self, uri: str) -> tuple[Finding, ...]:
        return self.collection.findings_of(self._rendered(uri).tutorial.file) if self.serving else ()

    def _file(self, uri: str) -> File:
        return file_at(self._files, uri)

    def _url(self, uri: str, page: Page) -> str:
        return get_relative_url(self._file(uri).url, page.file.url)


def _print_view_uri(uri: str) -> str:
    return translated_uri(sibling_address(uri, PRINT_PAGE), language_of(uri))
