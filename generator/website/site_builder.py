"""One build's work: which page is a tutorial, what its Markdown is, and what its template is handed."""
from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page
from mkdocs.utils import get_relative_url

from generator.findings import Finding
from generator.locale import locale_for
from generator.units import Bench
from generator.website.data_pages import DATA_PAGES, SHELF, DataPage
from generator.website.failures import TO_HTML, unforeseen_error
from generator.website.feed import feed_files
from generator.website.finished import FinishedPage, TutorialEntry
from generator.website.gallery import gallery_context
from generator.website.glossary import GlossaryLinker
from generator.website.navigation import (
    CARD_PICTURE,
    HOME_PAGE,
    MAIN_LANGUAGE,
    MEASURES_FILE,
    PRINTS_PAGE,
    SEARCH_PAGE,
    SHARE_FILE,
    TRUE_SIZE_PAGE,
    PageNavigation,
    assign_addresses,
    companion_path,
    file_at,
    language_of,
    links_in,
    original_uri,
    print_view_uri,
    site_languages,
    template_address,
    translated_uri,
)
from generator.website.page_bodies import ConvertedText, PageBodies, PageMessages, finished_text, found_text
from generator.website.photos import frame_photos, replace_photos
from generator.website.preview import KnownPage
from generator.website.published_files import remove_unpublished
from generator.website.recorded_state import NOT_RECORDED, RecordedState
from generator.website.redirects import redirect_files
from generator.website.search_index import search_index, search_index_name, searched_page
from generator.website.site_data import SiteData, StoredFile
from generator.website.sources import CachedResults, Source, TutorialCollection

GLOSSARY_PAGE = "glossary.md"
FRAME_TEMPLATE, LATER_TEMPLATE = "finished.html", "later.html"
HOME_TEMPLATE, SHELF_TEMPLATE = "home.html", "shelf.html"


class SiteBuilder:
    """Everything between reading the sources and handing a page to the theme."""

    def __init__(self, collection: TutorialCollection | None = None,
                 benches: Mapping[str, Bench] | None = None,
                 allowed: Mapping[str, frozenset[str]] | None = None, site: CachedResults | None = None,
                 keeps: bool = True, serving: bool = False, records: RecordedState = NOT_RECORDED,
                 former: Path | None = None):
        self.benches, self.allowed = benches or {}, allowed or {}
        self.collection = collection or TutorialCollection()
        self.keeps, self.serving, self.records, self.former = keeps, serving, records, former
        # by address, when a browser asks for it
        self.later: dict[str, Callable[[], bytes]] = {}
        self.data = SiteData(self.benches, site or CachedResults())
        self.messages = PageMessages()
        self._entries: dict[str, TutorialEntry] = {}
        self._sources: dict[str, Source] = {}
        self._prints: dict[str, str] = {}
        self._files = Files([])
        self._navigation = PageNavigation(self._files, (), (), "")
        self.bodies = PageBodies(self._files)
        self._codes: tuple[str, ...] = ()
        self._facts: dict[str, Any] = {}
        self._last_read: tuple[str, Mapping[str, bytes]] = "", {}
        self._begun: dict[str, int] = {}
        self._texts: dict[str, ConvertedText] = {}
        self.companions: dict[str, DataPage] = {}
        self.doing: tuple[str, Page | None] = "making the site", None     # the stage at work, and its page
        self._read_entries()

    def _read_entries(self) -> None:
        self._entries = self.collection.entries
        self._sources = {entry.uri: source for source in self.collection.sources.values()
                         for entry in source.pack.entries}
        self._prints = {print_view_uri(uri): uri for uri in self._entries}

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
        self._codes = site_languages(files)
        for uri in self._entries:
            # MkDocs has nothing to read there: it would take front matter that does not parse for text.
            self._file(uri).content_string = "\n"
        self._add_companions(config)
        assign_addresses(files)
        self._navigation = PageNavigation(files, self._codes,
                                          ((each.source, each.title) for each in DATA_PAGES),
                                          config.site_url or "")
        self.bodies = PageBodies(files)
        self._facts = self._site_facts()
        self._renew_stale()
        self._add_contents(config)
        made = {**self.data.files(self._codes),
                **redirect_files(self._entries.values(), files, config.site_url or ""),
                **self.records.kept_files(),
                **feed_files(self._entries.values(), files, config, self.records.records),
                **{search_index_name(code): self._index(code).encode() for code in self._codes}}
        for name, content in made.items():
            files.append(File.generated(config, name, content=content))

    def _add_contents(self, config: MkDocsConfig) -> None:
        """The files of the tutorials, each read when it is written."""
        for uri, entry in self._entries.items():
            page = self._file(uri).url
            beside = ((companion_path(page, name), name)
                      for name in (MEASURES_FILE, SHARE_FILE, *(CARD_PICTURE,) * entry.pictured))
            for address, name in (*((name, name) for name in entry.files), *beside):
                # all languages share the data of the slider
                if self._files.get_file_from_path(address) is None:
                    read = partial(self._content, uri, name)
                    self._files.append(StoredFile(config, address, read, self.serving, self.former))
                    if self.serving:
                        self.later[address] = read

    def _content(self, uri: str, name: str) -> bytes:
        if self._last_read[0] != uri:       # MkDocs writes them one after the other
            self._last_read = uri, self._sources[uri].contents(uri)
        read = self._last_read[1][name]
        return self.bodies.card_picture(read) if name == CARD_PICTURE else read

    def _site_facts(self) -> dict[str, Any]:
        """What the pages of tutorials take from the rest of the site."""
        return {"codes": self._codes, "glossary": [uri for uri in self.companions
                                                   if original_uri(uri) == GLOSSARY_PAGE],
                "true_size": [uri for code in self._codes
                              if self._files.get_file_from_path(uri := translated_uri(TRUE_SIZE_PAGE, code))]}

    def _renew_stale(self) -> None:
        """Work those sources out anew whose finished pages suit another site than this."""
        facts = json.dumps(self._facts)
        known = {file.url for file in self._files}
        for source in self.collection.sources.values():
            if source.work is None and not (source.pack.facts == facts and known.issuperset(source.pack.links)
                                            and source.is_whole(self._pages_of(source))):
                source.request = replace(source.request, codes=self._codes)
                source.work_out()
        self._read_entries()

    def _pages_of(self, source: Source) -> Iterator[str]:
        for entry in source.pack.entries:
            yield entry.uri
            yield print_view_uri(entry.uri)

    def _add_companions(self, config: MkDocsConfig) -> None:
        """The pages made from data, and the gallery, in every language in which the site has any page."""
        for code in self._codes:
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
        """What can be searched for in one language: its tutorials, those that it lacks as they are, words."""
        pages = (searched_page(self._file(uri).url, entry) for uri, entry in self._in(code).items())
        glossary = translated_uri(GLOSSARY_PAGE, code)
        return search_index(pages, self._file(glossary).url if glossary in self.companions else "",
                            locale_for(code))

    def _in(self, code: str) -> dict[str, TutorialEntry]:
        """Every tutorial, in this language where it has it."""
        found = {}
        for uri in self._entries:
            if original_uri(uri) == uri:
                own = translated_uri(uri, code) if translated_uri(uri, code) in self._entries else uri
                found[own] = self._entries[own]
        return found

    def markdown(self, page: Page, source: str) -> str:
        """The Markdown of a page, its title, description and template."""
        uri = page.file.src_uri
        self.doing = TO_HTML, page
        self._begun[uri] = self.messages.count
        if uri in self._prints or uri in self._entries:
            return self._tutorial_markdown(page, uri)
        if uri in self.companions:
            each = self.companions[uri]
            words = locale_for(language_of(uri))
            template = SHELF_TEMPLATE if each is SHELF else self._frame(True)
            page.meta = {"title": words.say(each.title), "template": template}
            if words.has(f"website.{each.name}_intro"):
                page.meta["description"] = words.say(f"website.{each.name}_intro")
            return ""
        if original_uri(uri) == HOME_PAGE:
            page.meta.setdefault("template", HOME_TEMPLATE)
        return source

    def spare_reading(self, config: MkDocsConfig) -> None:
        """Let MkDocs read and convert nothing for pages whose text it need not make."""
        made = (*self.companions, *self._prints,
                *(uri for uri, source in self._sources.items() if source.work is None))
        for file in map(self._file, made):
            if file.page is None:
                KnownPage(None, file, config)
            else:
                file.page.__class__ = KnownPage

    def _tutorial_markdown(self, page: Page, uri: str) -> str:
        tutorial = self._prints.get(uri, uri)
        entry, source = self._entries[tutorial], self._sources[tutorial]
        words = locale_for(language_of(uri))
        page.meta = {"template": self._frame(source.work is None), "description": entry.summary,
                     "title": entry.title}
        if uri in self._prints:
            page.meta |= {"title": f"{entry.title}: {words.say('website.print_title')}", "printed": True}
            return ""
        page.meta["lastmod"] = entry.changed
        return "" if source.work is None else source.work.pages[uri].markdown

    def content(self, page: Page, html: str, files: Files) -> str:
        """The converted text with its values and framed photos; a tutorial is cut into its steps."""
        uri = page.file.src_uri
        self.doing = "putting photos and measures into the text", page
        if uri not in self._entries:
            return frame_photos(html, page, files)
        source = self._sources[uri]
        if source.work is None:
            return found_text(page, source, files)
        pages = source.work.pages[uri]
        html = pages.filled(frame_photos(pages.sanitized(html), page, files))
        glossary = translated_uri(GLOSSARY_PAGE, language_of(uri))
        linker = None
        if glossary in self.companions:
            linker = GlossaryLinker.to(get_relative_url(self._file(glossary).url, page.file.url),
                                       locale_for(language_of(uri)))
        source.texts[uri] = finished_text(page, html)
        self._texts[uri] = ConvertedText(pages.converted(html, linker),
                                         tuple(dict.fromkeys(links_in(html, page.url))),
                                         self.messages.count != self._begun[uri])
        return html

    def _frame(self, finished: bool) -> str:
        """The template of a page of ours: in the preview a finished page is framed when it is asked for."""
        return LATER_TEMPLATE if self.serving and finished else FRAME_TEMPLATE

    def context(self, context: Mapping[str, Any], page: Page, nav: Navigation) -> dict[str, Any]:
        """What the template of this page is handed beyond what MkDocs hands it."""
        if page.meta.get("template") == LATER_TEMPLATE:
            self.later[page.file.dest_uri] = partial(self._framed, context, page, nav)
            return {}
        return self._context(context, page, nav)

    def _framed(self, context: Mapping[str, Any], page: Page, nav: Navigation) -> bytes:
        return self.bodies.env.get_template(FRAME_TEMPLATE).render(
            {**context, **self._context(context, page, nav)}).encode()

    def _context(self, context: Mapping[str, Any], page: Page, nav: Navigation) -> dict[str, Any]:
        uri = page.file.src_uri
        self.doing = "filling the template of the page", page
        made = self._navigation.context(page, nav)
        if self.companions.get(uri) is SHELF or original_uri(uri) == HOME_PAGE and uri not in self._entries:
            return {**made, **self._gallery({**context, **made}, page, language_of(uri))}
        if (done := self._finished({**context, **made}, page)) is None:
            return made
        tutorial = self._prints.get(uri, uri if uri in self._entries else "")
        return {**made, **self.bodies.framed(done, page, tutorial)}

    def _finished(self, context: Mapping[str, Any], page: Page) -> FinishedPage | None:
        """The page as it is framed, found or made; None for a page of the author's own."""
        uri, bodies = page.file.src_uri, self.bodies
        if uri in self.companions:
            more = self._printed(page) if original_uri(uri) == PRINTS_PAGE else {}
            name = self.companions[uri].name
            return self.data.page(uri, lambda: bodies.data_page(context, name, self.data, more), repr(more))
        if uri not in self._entries and uri not in self._prints:
            return None
        tutorial = self._prints.get(uri, uri)
        source = self._sources[tutorial]
        if (done := source.page(uri)) is None:
            make = bodies.print_view if uri in self._prints else bodies.page
            done = source.made[uri] = make(context, page, source, tutorial, self._texts[tutorial])
        return done

    def _printed(self, page: Page) -> dict[str, Any]:
        """The marks that prints of each tutorial may have, for the page that says what they are worth."""
        code = language_of(page.file.src_uri)
        told = ((entry.title, get_relative_url(self._file(uri).url, page.file.url), uri,
                 get_relative_url(template_address(uri, ""), page.file.url))
                for uri, entry in self._in(code).items())
        return {"printed": self.records.marked(told, locale_for(code))}

    def _gallery(self, context: Mapping[str, Any], page: Page, code: str) -> dict[str, Any]:
        known_first = sorted(self._in(code), key=lambda uri: language_of(uri) != code)
        cards = [self.bodies.card(context, code, self._sources[uri], uri) for uri in known_first]
        return gallery_context(cards, page, self._files, locale_for(code))

    def site_context(self, code: str) -> dict[str, Any]:
        """What a page without a source, such as that for lost links, is handed."""
        return {"companions": self._navigation.companions(locale_for(code)),
                "home_url": self._file(translated_uri(HOME_PAGE, code)).url,
                "search_url": self._file(translated_uri(SEARCH_PAGE, code)).url}

    def failure(self, error: Exception, config: MkDocsConfig | None) -> Finding:
        """What to say of an error that nobody foresaw: in which stage, at which step of which source."""
        name, page = self.doing
        own = "" if page is None else self._prints.get(page.file.src_uri, page.file.src_uri)
        return unforeseen_error(error, name, page, own, self._sources.get(own), self._files, config)

    def keep(self) -> None:
        """Store what this build has finished, but for sources in whose pages MkDocs found fault."""
        if not self.keeps:
            return
        for source in self.collection.sources.values():
            uris = [entry.uri for entry in source.pack.entries]
            if source.work is not None and all(uri in source.made for uri in self._pages_of(source)):
                texts = [self._texts[uri] for uri in uris]
                if not any(text.noted for text in texts):
                    source.keep(json.dumps(self._facts),
                                {link: None for text in texts for link in text.links})
        self.data.keep()

    def _file(self, uri: str) -> File:
        return file_at(self._files, uri)
