"""Pages without their frame: each body made once by its template, to be kept for later builds."""
from __future__ import annotations

import json
import logging
import posixpath
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any
from urllib.parse import urljoin

from jinja2 import Environment
from markupsafe import Markup
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink, TableOfContents
from mkdocs.utils import get_relative_url

from generator.dataclass import dataclass, replace
from generator.locale import locale_for
from generator.website.data_pages import SHELF
from generator.website.finished import (
    ADDRESS_MARK,
    HIGH_MARK,
    IMAGE_MARK,
    PAGE_MARK,
    WIDE_MARK,
    FinishedPage,
    FinishedText,
    GalleryCard,
)
from generator.website.gallery import with_colours
from generator.website.light_svg import pattern_defs
from generator.website.light_text import light_html
from generator.website.navigation import (
    CARD_PICTURE,
    HOME_PAGE,
    MEASURES_FILE,
    PRINTS_PAGE,
    SHARE_FILE,
    SHARE_SIZE,
    TEMPLATES_FOLDER,
    TRUE_SIZE_PAGE,
    companion_name,
    companion_path,
    file_at,
    language_of,
    original_uri,
    print_view_uri,
    translated_uri,
)
from generator.website.site_data import SiteData
from generator.website.sources import Source

if TYPE_CHECKING:
    from generator.website.tutorial_pages import TutorialPages
    from generator.website.view import TutorialView

SHARE_WIDTH, SHARE_HEIGHT = SHARE_SIZE
ADDRESS_LINE = Markup("<div><dt>{}</dt><dd>{}</dd></div>")
# a script fills it in where the page is opened
UNKNOWN_ADDRESS_LINE = Markup('<div id="the-address" hidden><dt>{}</dt><dd>{}</dd></div>')
BODY_TEMPLATE = "parts/body.html"
PART_MARK = "\x1f"      # between the parts of a body; of HTML it can be no part


@dataclass(frozen=True, slots=True)
class ConvertedText:
    """A tutorial with the text that Markdown made, and the addresses below the site that it leads to.

    ``noted`` where MkDocs found fault with it.
    """

    view: TutorialView
    links: tuple[str, ...]
    noted: bool


class PageMessages(logging.Handler):
    """Counts what MkDocs says of the page it works on: a page of which something is said is not kept."""

    def __init__(self) -> None:
        super().__init__(logging.INFO)
        self.count = 0

    def emit(self, record: logging.LogRecord) -> None:
        """Count what is worth saying."""
        self.count += record.levelno >= self.level


class PageBodies:
    """Makes the pages of one build; ``env`` are the templates of the theme, as soon as MkDocs has them."""

    def __init__(self, files: Files) -> None:
        self._files = files
        self.env = Environment(autoescape=True)

    def page(self, context: Mapping[str, Any], page: Page, source: Source, uri: str,
             text: ConvertedText) -> FinishedPage:
        """The page of a tutorial."""
        pages = _pages(source, uri)
        folder = get_relative_url(posixpath.join(posixpath.dirname(uri), TEMPLATES_FOLDER, ""), page.file.url)
        own = pages.page(text.view, folder.rstrip("/"), {
            "warnings": _warnings(source), "print_url": self._url(print_view_uri(uri), page),
            "measures_url": companion_name(page.url, MEASURES_FILE),
            "fold_url": get_relative_url(pages.slider, page.file.url) if pages.slider else "",
            **_papers(pages, page), "worn": pages.worn,
            "true_size_url": self._companion(page, TRUE_SIZE_PAGE),
            "prints_url": self._companion(page, PRINTS_PAGE)})
        notes = self.env.get_template("parts/author_notes.html").render({**context, **own})
        return self._body("tutorial.html", {**context, **own}, tutorial=True, notes=notes,
                          howto=pages.howto[0], howto_bare=pages.howto[1])

    def print_view(self, context: Mapping[str, Any], page: Page, source: Source, uri: str,
                   text: ConvertedText) -> FinishedPage:
        """The print view of the tutorial at ``uri``."""
        original = file_at(self._files, uri)
        folder = posixpath.relpath(*map(posixpath.dirname, (original.dest_uri, page.file.dest_uri)))
        pages = _pages(source, uri)
        own = pages.print_view(text.view, folder, {
            **_papers(pages, page), "tutorial_url": self._url(uri, page), "address_mark": ADDRESS_MARK})
        return self._body("print.html", {**context, **own}, tutorial=True)

    def framed(self, done: FinishedPage, page: Page, uri: str) -> dict[str, Any]:
        """What the frame of a page is handed: its body, and whole addresses where the site knows its own.

        ``uri`` is the tutorial that it tells or prints, "" for another page.
        """
        own = file_at(self._files, uri) if uri else page.file
        address = (own.page.canonical_url if own.page else None) or ""
        prints = uri not in ("", page.file.src_uri)
        told, share = done.howto_bare, None
        if done.howto and address:
            image = urljoin(address, companion_name(address, SHARE_FILE))
            share = {"url": image, "width": SHARE_WIDTH, "height": SHARE_HEIGHT}
            told = done.howto.replace(PAGE_MARK, _json_text(address)).replace(IMAGE_MARK, _json_text(image))
        if prints:
            label = locale_for(language_of(uri)).say("website.address")
            line = ADDRESS_LINE if address else UNKNOWN_ADDRESS_LINE
            done = replace(done, main=done.main.replace(ADDRESS_MARK, line.format(
                label, address or self._url(uri, page))))
        return {"finished": done, "tutorial": done.tutorial, "howto": Markup(told), "share": share,
                "tutorial_address": address if prints else ""}

    def data_page(self, context: Mapping[str, Any], name: str, data: SiteData,
                  more: Mapping[str, Any]) -> FinishedPage:
        """A page made from data, and from what the sources tell ``more``."""
        own = data.contents(name, locale_for(context["lang"]))
        return self._body(f"{name}.html", {**context, **own, **more})

    def card(self, context: Mapping[str, Any], code: str, source: Source, uri: str) -> GalleryCard:
        """A tutorial's card in the gallery of a language with its row of figures, found or made."""
        page, figures = (file_at(self._files, translated_uri(each, code))
                         for each in (HOME_PAGE, SHELF.source))
        cards = source.pack.cards.setdefault(uri, {})
        if code not in cards:
            own, original = (file_at(self._files, each).url for each in (uri, original_uri(uri)))
            picture = get_relative_url(companion_path(original, CARD_PICTURE), page.url)
            shown = _pages(source, uri).card(code, url=get_relative_url(own, page.url), picture_url=picture)
            card, row = (self.env.get_template(f"parts/{name}.html").render(
                {**context, "card": shown, "wide": WIDE_MARK, "high": HIGH_MARK,
                 "folder": posixpath.dirname(picture),
                 "row_url": get_relative_url(own, figures.url)}) for name in ("card", "shelf_row"))
            cards[code] = GalleryCard(card, row, shown.traits, shown.extent)
        return cards[code]

    def card_picture(self, drawn: bytes) -> bytes:
        """The picture of a card in the colours of the theme."""
        assert self.env.loader is not None      # MkDocs gave it the folders of the theme
        return with_colours(drawn, self.env.loader.get_source(self.env, "css/tokens.css")[0])

    def _body(self, template: str, context: Mapping[str, Any], **rest: Any) -> FinishedPage:
        made = self.env.get_template(template).render({**context, "layout": BODY_TEMPLATE})
        kind, head, main = made.split(PART_MARK, 2)
        return FinishedPage(kind.strip(), light_html(head), light_html(f"{pattern_defs(main)}{main}"), **rest)

    def _companion(self, page: Page, source: str) -> str:
        """The address of a page beside the tutorials, in this page's language if it has it, or ""."""
        own = translated_uri(source, language_of(page.file.src_uri))
        found = next((uri for uri in (own, source) if self._files.get_file_from_path(uri)), "")
        return self._url(found, page) if found else ""

    def _url(self, uri: str, page: Page) -> str:
        return get_relative_url(file_at(self._files, uri).url, page.file.url)


def found_text(page: Page, source: Source, files: Files) -> str:
    """What Markdown made of it in an earlier build, as MkDocs and other plugins want it."""
    done = source.text(page.file.src_uri)
    if done is None:
        source.judged = False
        raise PluginError(
            f"what was kept of {page.file.src_uri} has gone while the site was built: build again")
    restore_text(page, done, files)
    return done.text


def _pages(source: Source, uri: str) -> TutorialPages:
    assert source.work is not None      # else its page would have been found
    return source.work.pages[uri]


def _papers(pages: TutorialPages, page: Page) -> dict[str, str]:
    return {"papers_url": get_relative_url(pages.papers, page.file.url) if pages.papers else ""}


def _warnings(source: Source) -> tuple[Any, ...]:
    return tuple(each for each in source.pack.findings if each.file == source.request.shown)


def _json_text(address: str) -> str:
    return json.dumps(address)[1:-1].replace("<", "\\u003c")


def finished_text(page: Page, html: str) -> FinishedText:
    """A page's text with what MkDocs knows of it."""
    return FinishedText(html, tuple(map(_heading_data, page.toc.items)),
                        tuple(sorted(page.present_anchor_ids or ())),
                        {file.src_uri: dict(links) for file, links in (page.links_to_anchors or {}).items()})


def restore_text(page: Page, done: FinishedText, files: Files) -> None:
    """Let MkDocs know of a page what :func:`finished_text` told."""
    page.toc = TableOfContents([_heading_link(each) for each in done.headings])
    page.present_anchor_ids = set(done.anchors)
    page.links_to_anchors = {file: dict(links) for uri, links in done.anchor_links.items()
                             if (file := files.get_file_from_path(uri)) is not None}


def _heading_data(link: AnchorLink) -> list[Any]:
    """A line of a page's table of contents as plain data."""
    return [link.title, link.id, link.level, [_heading_data(each) for each in link.children]]


def _heading_link(data: Iterable[Any]) -> AnchorLink:
    """A line of the table of contents from its data."""
    title, anchor, level, below = data
    link = AnchorLink(title, anchor, level)
    link.children = [_heading_link(each) for each in below]
    return link
