"""The pages of a site in their languages: where each stands, and what leads from one to others.

"index.de.md" is "index.md" in German, and stands at its address followed by "de/".
"""
from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable, Iterator
from html import unescape
from typing import Any
from urllib.parse import urljoin, urlsplit

from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page

from generator.dataclass import dataclass
from generator.locale import LANGUAGES, Locale, locale_for

HOME_PAGE, SEARCH_PAGE = "index.md", "search.md"
MAIN_LANGUAGE = "en"         # the language of every page that does not name another
UNPUBLISHED = (InclusionLevel.EXCLUDED, InclusionLevel.DRAFT)
# the name of a print view: beside the source, so that its address is <slug>/print/, in German
# <slug>/de/print/
PRINT_VIEW = "print"
# beside the page of a tutorial
MEASURES_FILE, SHARE_FILE, CARD_PICTURE = "measures.txt", "share.png", "card.svg"
PAPERS_FILE = "papers.css"       # colours of a tutorial's papers
# pixels; the size that previews of links are cut to (common practice, no source)
SHARE_SIZE = (1200, 630)
TEMPLATES_FOLDER = "templates"
PRINTS_PAGE = "prints.md"                     # what older prints are worth
TRUE_SIZE_PAGE = "print-at-true-size.md"     # the page that says how to print templates
_TRANSLATED_NAME = re.compile(rf"(.*)\.({'|'.join(map(re.escape, LANGUAGES))})\.md\Z")


def language_of(uri: str) -> str:
    """The language of a page, from its name: "en" for most."""
    found = _TRANSLATED_NAME.match(uri)
    return found[2] if found else MAIN_LANGUAGE


def original_uri(uri: str) -> str:
    """The page that this one translates; itself in the main language."""
    found = _TRANSLATED_NAME.match(uri)
    return f"{found[1]}.md" if found else uri


def translated_uri(uri: str, code: str) -> str:
    """The same page in another language."""
    base = original_uri(uri)
    return base if code == MAIN_LANGUAGE else f"{base.removesuffix('.md')}.{code}.md"


def print_view_uri(uri: str) -> str:
    """The print view of a tutorial."""
    return translated_uri(posixpath.join(posixpath.dirname(uri), f"{PRINT_VIEW}.md"), language_of(uri))


def site_languages(files: Iterable[File]) -> tuple[str, ...]:
    """The languages in which a site has any page, the main one first."""
    codes = {language_of(file.src_uri) for file in files}
    return (MAIN_LANGUAGE, *(code for code in LANGUAGES if code in codes and code != MAIN_LANGUAGE))


def slug_of(uri: str) -> str:
    """The folder of a tutorial, by its address below the tutorials."""
    return uri.split("/")[0]


def with_language_address(file: File) -> File:
    """The file with the address of its language; it stands in no menu by itself.

    In flat addresses its name does.
    """
    found = _TRANSLATED_NAME.match(file.src_uri)
    if found and found[2] != MAIN_LANGUAGE:
        if file.inclusion not in UNPUBLISHED:
            file.inclusion = InclusionLevel.NOT_IN_NAV
        if file.use_directory_urls:
            folder, name = posixpath.split(found[1])
            parts = {"index": (folder, found[2]),
                     PRINT_VIEW: (folder, found[2], PRINT_VIEW)}.get(name, (folder, name, found[2]))
            file.dest_uri = posixpath.join(*parts, "index.html")
    return file


def page_address(uri: str, site: str, directory_urls: bool) -> str:
    """The whole address of the page whose source is at ``uri``; "" where the site knows none of its own."""
    return urljoin(site, with_language_address(File(uri, "", "", directory_urls)).url) if site else ""


def file_at(files: Files, uri: str) -> File:
    """The file of a page that this build knows. Raises PluginError where another plugin has removed it."""
    file = files.get_file_from_path(uri)
    if file is None:
        raise PluginError(f"{uri} is not among the pages any more: another plugin took it away")
    return file


def assign_addresses(files: Files) -> None:
    """Give every page its address. Raises PluginError where two would stand at one."""
    taken: dict[str, str] = {}
    for file in files.documentation_pages():
        with_language_address(file)
        if other := taken.get(file.dest_uri):
            raise PluginError(
                f"{file.src_uri} and {other} would stand at the same address: give one of them another name")
        taken[file.dest_uri] = file.src_uri


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
    """Links within one site; ``companions`` are (source, key of the title) of the pages made from data."""

    def __init__(self, files: Files, codes: Iterable[str], companions: Iterable[tuple[str, str]],
                 site_url: str):
        self._files, self.codes, self._site = files, tuple(codes), site_url
        self._companions = tuple(companions)

    def context(self, page: Page, nav: Navigation) -> dict[str, Any]:
        """What the head, the menu and the foot of a page are handed."""
        uri = page.file.src_uri
        words = locale_for(language_of(uri))
        return {"say": words.section("website"), "lang": words.code, "locale": words,
                "home_url": self._url(HOME_PAGE, words.code),
                "search_url": self._url(SEARCH_PAGE, words.code), "menu": tuple(self._menu(uri, nav, words)),
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
        """The same page in every language it has; none where it has only one."""
        found = ((code, self._files.get_file_from_path(translated_uri(uri, code))) for code in self.codes)
        links = tuple(NavigationLink(locale_for(code).say("grammar.name"), file.url, code,
                                     file.src_uri == uri)
                      for code, file in found if file is not None)
        return links if len(links) > 1 else ()

    def alternates(self, uri: str) -> tuple[AlternateLink, ...]:
        """The whole addresses of all languages, where the site knows its own."""
        if not self._site:
            return ()
        found = [AlternateLink(each.code, urljoin(self._site, each.url)) for each in self.versions(uri)]
        return (*found, *(AlternateLink("x-default", each.address) for each in found
                          if each.code == MAIN_LANGUAGE))

    def _menu(self, uri: str, nav: Navigation, words: Locale) -> Iterator[NavigationLink]:
        for item in nav.items:
            if isinstance(item, Page) and not item.is_homepage and language_of(
                    item.file.src_uri) == MAIN_LANGUAGE:
                target = file_at(self._files, self._in(item.file.src_uri, words.code))
                title = target.page.title if target.page is not None else None
                yield NavigationLink(title or "", target.url, language_of(target.src_uri),
                                     target.src_uri == uri)

    def _in(self, uri: str, code: str) -> str:
        """The page in this language, or as it is where it has none."""
        target = translated_uri(uri, code)
        return target if self._files.get_file_from_path(target) is not None else original_uri(uri)

    def _url(self, uri: str, code: str) -> str:
        file = self._files.get_file_from_path(self._in(uri, code))
        return file.url if file is not None else "."


def companion_path(page: str, name: str) -> str:
    """Where a file stands that belongs to a page.

    Beside a page in flat addresses it bears the page's name too.
    """
    if page.endswith("/"):
        return f"{page}{name}"
    folder, _, last = page.rpartition("/")
    own = "" if last == "index.html" else f"{last.removesuffix('.html')}-".replace("index.", "")
    return f"{folder}/{own}{name}".lstrip("/")


def companion_name(page: str, name: str) -> str:
    """The name of such a file, as its page links to it."""
    return posixpath.basename(companion_path(page, name))


def template_address(uri: str, name: str) -> str:
    """Where a file of this name stands below the site, for the tutorial whose source is at ``uri``."""
    return posixpath.join(posixpath.dirname(uri), TEMPLATES_FOLDER, name)


def sibling_address(uri: str, name: str) -> str:
    """Where a file of that name stands below the site, beside the one at ``uri``."""
    return posixpath.join(posixpath.dirname(uri), name)


_LINK = re.compile(r'<a\b[^>]*?\shref="([^"]*)"')


def links_in(html: str, url: str) -> Iterator[str]:
    """The addresses below the site, without anchors, that a text at ``url`` leads to."""
    for address in map(unescape, _LINK.findall(html)):
        parts = urlsplit(address)
        if not parts.scheme and not parts.netloc and parts.path:
            yield posixpath.normpath(posixpath.join(url if url.endswith("/") else posixpath.dirname(url),
                                                    parts.path)
                                     ) + "/" * parts.path.endswith("/")
