"""What leads from a page to others.

Its menu, the pages beside the tutorials, and itself in other languages.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any
from urllib.parse import urljoin

from mkdocs.structure.files import Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page

from generator.locale import Locale, locale_for
from generator.website.languages import MAIN_LANGUAGE, language_of, original_uri, translated_uri

HOME_PAGE = "index.md"


@dataclass(frozen=True, slots=True)
class NavigationLink:
    """A page to go to: ``url`` from the root of the site, ``code`` of its language.

    ``here`` for the page itself.
    """

    title: str
    url: str
    code: str
    here: bool = False


@dataclass(frozen=True, slots=True)
class AlternateLink:
    """The whole address of a page in one language, or "x-default"."""

    code: str
    address: str


class PageNavigation:
    """Doors of one site; ``companions`` are (source, key of the title) of the pages made from data."""

    def __init__(self, files: Files, codes: Iterable[str], companions: Iterable[tuple[str, str]],
                 site_url: str):
        self._files, self.codes, self._site = files, tuple(codes), site_url
        self._companions = tuple(companions)

    def context(self, page: Page, nav: Navigation) -> dict[str, Any]:
        """What the head, the menu and the foot of a page are handed."""
        uri = page.file.src_uri
        words = locale_for(language_of(uri))
        return {"say": words.section("website"), "lang": words.code, "locale": words,
                "home_url": self._url(HOME_PAGE, words.code), "menu": tuple(self._menu(uri, nav, words)),
                "companions": self.companions(words, uri), "versions": self.versions(uri),
                "alternates": self.alternates(uri)}

    def companions(self, words: Locale, uri: str = "") -> tuple[NavigationLink, ...]:
        """The pages beside the tutorials, in this language where they have it."""
        found = []
        for source, title in self._companions:
            target = self._in(source, words.code)
            found.append(NavigationLink(words.say(title), self._url(source, words.code), language_of(target),
                                        target == uri))
        return tuple(found)

    def versions(self, uri: str) -> tuple[NavigationLink, ...]:
        """This page in every language it has; none where it has only one."""
        doors = tuple(NavigationLink(locale_for(code).say("grammar.name"),
                                     self._files.get_file_from_path(target).url, code, target == uri)
                      for code in self.codes if self._files.get_file_from_path(
                              target := translated_uri(uri, code)) is not None)
        return doors if len(doors) > 1 else ()

    def alternates(self, uri: str) -> tuple[AlternateLink, ...]:
        """The whole addresses of all languages, where the site knows its own."""
        if not self._site:
            return ()
        found = [AlternateLink(door.code, urljoin(self._site, door.url)) for door in self.versions(uri)]
        return (*found, *(AlternateLink("x-default", each.address) for each in found
                          if each.code == MAIN_LANGUAGE))

    def _menu(self, uri: str, nav: Navigation, words: Locale) -> Iterator[NavigationLink]:
        for item in nav.items:
            if item.is_page and not item.is_homepage and language_of(item.file.src_uri) == MAIN_LANGUAGE:
                target = self._files.get_file_from_path(self._in(item.file.src_uri, words.code))
                yield NavigationLink(target.page.title, target.url, language_of(target.src_uri),
                                     target.src_uri == uri)

    def _in(self, uri: str, code: str) -> str:
        """The page in this language, or as it is where it has none."""
        target = translated_uri(uri, code)
        return target if self._files.get_file_from_path(target) is not None else original_uri(uri)

    def _url(self, uri: str, code: str) -> str:
        file = self._files.get_file_from_path(self._in(uri, code))
        return file.url if file is not None else "."
