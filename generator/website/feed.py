"""The Atom feed (RFC 4287) of the tutorials that say when they were published."""
from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from generator.language.front_matter import FrontMatter
from generator.website.languages import MAIN

FEED = "feed.xml"
ATOM = "http://www.w3.org/2005/Atom"


@dataclass(frozen=True, slots=True)
class FeedEntry:
    """A tutorial and its whole address."""

    url: str
    front: FrontMatter
    others: tuple[tuple[str, str], ...] = ()    # (language, whole address) of its translations


def changed(front: FrontMatter) -> date | None:
    """The day of a tutorial's last change worth telling; None where its author says no day."""
    return front.updated or front.published


def lastmod(front: FrontMatter) -> str:
    """The day of the last change for the sitemap, "" where none is known."""
    day = changed(front)
    return day.isoformat() if day else ""


def feed(entries: Iterable[FeedEntry], title: str, subtitle: str, site: str, author: str) -> str:
    """The feed as XML, the newest first; "" without any dated tutorial, since a feed must say when it changed.

    All days come from the sources, so that the same sources give the same feed.
    """
    dated = sorted((e for e in entries if changed(e.front)), key=lambda e: (changed(e.front), e.url), reverse=True)
    if not dated:
        return ""
    root = Element("feed", xmlns=ATOM)
    _words(root, title=title, subtitle=subtitle, id=site, updated=_moment(changed(dated[0].front)))
    SubElement(root, "link", rel="self", type="application/atom+xml", href=site + FEED)
    SubElement(root, "link", rel="alternate", type="text/html", href=site)
    for each in dated:
        _entry(root, each, author)
    indent(root)
    return '<?xml version="1.0" encoding="utf-8"?>\n' + tostring(root, encoding="unicode") + "\n"


def _entry(root: Element, each: FeedEntry, author: str) -> None:
    front, entry = each.front, SubElement(root, "entry")
    published = _moment(front.published) if front.published else ""
    _words(entry, title=front.title, id=each.url, published=published, updated=_moment(changed(front)))
    # RFC 4287, 4.1.2: no two links of one entry with the same type and language
    SubElement(entry, "link", rel="alternate", type="text/html", hreflang=MAIN, href=each.url)
    for code, address in each.others:
        SubElement(entry, "link", rel="alternate", type="text/html", hreflang=code, href=address)
    _words(SubElement(entry, "author"), name=front.credit.author or author)
    _words(entry, summary=front.summary)


def _words(parent: Element, **texts: str) -> None:
    for name, text in texts.items():
        if text:
            SubElement(parent, name).text = text


def _moment(day: date) -> str:
    """A day as RFC 3339 writes a moment; sources know no hour."""
    return f"{day.isoformat()}T00:00:00Z"
