"""The Atom feed (RFC 4287) of the tutorials that say when they were published."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from urllib.parse import urljoin
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files

from generator.dataclass import dataclass
from generator.locale import locale_for
from generator.record.revision_files import Record
from generator.website.finished import TutorialEntry
from generator.website.navigation import MAIN_LANGUAGE, file_at, language_of, original_uri, slug_of

FEED_FILE = "feed.xml"
ATOM_NAMESPACE = "http://www.w3.org/2005/Atom"


@dataclass(frozen=True, slots=True)
class FeedEntry:
    """A tutorial and its whole address; days as ISO 8601 writes them, "" where none is known."""

    url: str
    title: str
    summary: str
    author: str = ""
    published: str = ""
    changed: str = ""           # of the last change worth telling
    others: tuple[tuple[str, str], ...] = ()    # (language, whole address) of its translations
    ident: str = ""             # its address unless said


def feed_files(entries: Iterable[TutorialEntry], files: Files, config: MkDocsConfig,
               records: Mapping[str, Record]) -> dict[str, bytes]:
    """The feed, where the site knows its own address and a tutorial its day."""
    text = tutorial_feed(entries, lambda uri: urljoin(config.site_url or "", file_at(files, uri).url),
                         config, records) if config.site_url else ""
    return {FEED_FILE: text.encode()} if text else {}


def tutorial_feed(entries: Iterable[TutorialEntry], address: Callable[[str], str],
                  config: MkDocsConfig, records: Mapping[str, Record]) -> str:
    """The feed of a site; "" without any dated tutorial.

    ``address`` gives the whole address of a source's page, ``records`` what was published of each slug: the
    first time is the tutorial's own day where its author says none, each later one is news of its own.
    """
    entries = tuple(entries)
    shown = []
    for entry in entries:
        if original_uri(entry.uri) != entry.uri:
            continue
        own = address(entry.uri)
        # RFC 4287, 4.2.6: an id never changes, whatever the page is called now
        ident = own.replace(f"/{slug_of(entry.uri)}/", f"/{entry.aliases[0]}/") if entry.aliases else own
        known = records[slug_of(entry.uri)].revisions if slug_of(entry.uri) in records else ()
        first = str(known[0].day) if known else ""
        others = tuple((language_of(other.uri), address(other.uri)) for other in entries
                       if other != entry and original_uri(other.uri) == entry.uri)
        shown.append(FeedEntry(own, entry.title, entry.summary, entry.author,
                               entry.published or first, entry.changed or first, others, ident))
        words = locale_for(MAIN_LANGUAGE).say("website.history")
        shown += [FeedEntry(f"{own}#revision-{each.name}", f"{entry.title}: {words.lower()}",
                            each.why, entry.author, str(each.day), str(each.day),
                            ident=f"{ident}#revision-{each.name}") for each in known[1:]]
    return atom_feed(shown, config.site_name, config.site_description or "", config.site_url or "",
                     config.site_author or config.site_name)


def atom_feed(entries: Iterable[FeedEntry], title: str, subtitle: str, site: str, author: str) -> str:
    """The feed as XML, the newest first.

    "" without any dated tutorial, since a feed must say when it changed.

    All days come from the sources, so that the same sources give the same feed.
    """
    dated = sorted((each for each in entries if each.changed), key=lambda each: (each.changed, each.url),
                   reverse=True)
    if not dated:
        return ""
    root = Element("feed", xmlns=ATOM_NAMESPACE)
    _add_texts(root, title=title, subtitle=subtitle, id=site,
               updated=_rfc3339_time(dated[0].changed))
    SubElement(root, "link", rel="self", type="application/atom+xml", href=site + FEED_FILE)
    SubElement(root, "link", rel="alternate", type="text/html", href=site)
    for each in dated:
        _add_entry(root, each, author)
    indent(root)
    return '<?xml version="1.0" encoding="utf-8"?>\n' + tostring(root, encoding="unicode") + "\n"


def _add_entry(root: Element, each: FeedEntry, author: str) -> None:
    entry = SubElement(root, "entry")
    published = _rfc3339_time(each.published) if each.published else ""
    _add_texts(entry, title=each.title, id=each.ident or each.url, published=published,
               updated=_rfc3339_time(each.changed))
    # RFC 4287, 4.1.2: no two links of one entry with the same type and language
    SubElement(entry, "link", rel="alternate", type="text/html", hreflang=MAIN_LANGUAGE, href=each.url)
    for code, address in each.others:
        SubElement(entry, "link", rel="alternate", type="text/html", hreflang=code, href=address)
    _add_texts(SubElement(entry, "author"), name=each.author or author)
    _add_texts(entry, summary=each.summary)


def _add_texts(parent: Element, **texts: str) -> None:
    for name, text in texts.items():
        if text:
            SubElement(parent, name).text = text


def _rfc3339_time(day: str) -> str:
    """A day as RFC 3339 writes a moment; sources know no hour."""
    return f"{day}T00:00:00Z"
