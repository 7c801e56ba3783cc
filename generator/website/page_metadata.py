"""What readers may do with a tutorial: its licence's address, and what that licence allows in plain words.

Creative Commons' licences of version 4.0 and CC0 1.0 are known by the short names that they give themselves
(creativecommons.org/share-your-work/cclicenses); any other licence stands as its author wrote it.

The Atom feed (RFC 4287) of the tutorials that say when they were published.

What machines are told of a tutorial: schema.org HowTo as JSON-LD, a block of data that no browser runs.

What is made for others than the reader of a page: feed, share pictures, and the data that machines read.
"""
from __future__ import annotations

import json
import posixpath
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any
from urllib.parse import urljoin
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from markupsafe import Markup
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files

from generator.language.front_matter import Credit, FrontMatter
from generator.locale import ENGLISH, Locale
from generator.tutorial import Tutorial
from generator.website.navigation import MAIN_LANGUAGE, file_at, language_of, original_uri
from generator.website.plain_text import MEASURES_FILE, measures_text
from generator.website.prose import plain_prose
from generator.website.share_picture import SHARE_FILE, SHARE_HEIGHT, SHARE_WIDTH, share_picture
from generator.website.tutorials import RenderedTutorial, TutorialCollection

_CREATIVE_COMMONS = re.compile(r"CC(?:[ -]?(0)(?:[ -]1\.0)?|[ -](BY(?:-NC)?(?:-SA|-ND)?)[ -](\d\.\d))",
                               re.IGNORECASE)
_WEB_SCHEMES = ("https://", "http://")


def licence_url(licence: str) -> str:
    """Where the licence itself can be read; "" where its name does not tell."""
    if licence.startswith(_WEB_SCHEMES):
        return licence
    found = _CREATIVE_COMMONS.fullmatch(licence)
    if found is None:
        return ""
    if found[1]:
        return "https://creativecommons.org/publicdomain/zero/1.0/"
    return f"https://creativecommons.org/licenses/{found[2].lower()}/{found[3]}/"


def permitted_use(credit: Credit, locale: Locale = ENGLISH) -> str:
    """What a reader may do, in a sentence.

    "" where a licence or a permission is stated that we cannot put in other words.
    """
    found = _CREATIVE_COMMONS.fullmatch(credit.licence)
    if found is not None:
        kind = "zero" if found[1] else found[2].lower().replace("-", "_")
        return locale.say(f"website.rights_{kind}")
    return "" if credit.licence or credit.permission else locale.say("website.rights_unsaid")


FEED_FILE = "feed.xml"
ATOM_NAMESPACE = "http://www.w3.org/2005/Atom"


@dataclass(frozen=True, slots=True)
class FeedEntry:
    """A tutorial and its whole address."""

    url: str
    front: FrontMatter
    others: tuple[tuple[str, str], ...] = ()    # (language, whole address) of its translations


def last_changed(front: FrontMatter) -> date | None:
    """The day of a tutorial's last change worth telling; None where its author says no day."""
    return front.updated or front.published


def lastmod(front: FrontMatter) -> str:
    """The day of the last change for the sitemap, "" where none is known."""
    day = last_changed(front)
    return day.isoformat() if day else ""


def atom_feed(entries: Iterable[FeedEntry], title: str, subtitle: str, site: str, author: str) -> str:
    """The feed as XML, the newest first.

    "" without any dated tutorial, since a feed must say when it changed.

    All days come from the sources, so that the same sources give the same feed.
    """
    dated = sorted(((day, each) for each in entries if (day := last_changed(each.front))),
                   key=lambda found: (found[0], found[1].url), reverse=True)
    if not dated:
        return ""
    root = Element("feed", xmlns=ATOM_NAMESPACE)
    _add_texts(root, title=title, subtitle=subtitle, id=site,
               updated=_rfc3339_time(dated[0][0]))
    SubElement(root, "link", rel="self", type="application/atom+xml", href=site + FEED_FILE)
    SubElement(root, "link", rel="alternate", type="text/html", href=site)
    for day, each in dated:
        _add_entry(root, each, day, author)
    indent(root)
    return '<?xml version="1.0" encoding="utf-8"?>\n' + tostring(root, encoding="unicode") + "\n"


def _add_entry(root: Element, each: FeedEntry, changed: date, author: str) -> None:
    front, entry = each.front, SubElement(root, "entry")
    published = _rfc3339_time(front.published) if front.published else ""
    _add_texts(entry, title=front.title, id=each.url, published=published,
               updated=_rfc3339_time(changed))
    # RFC 4287, 4.1.2: no two links of one entry with the same type and language
    SubElement(entry, "link", rel="alternate", type="text/html", hreflang=MAIN_LANGUAGE, href=each.url)
    for code, address in each.others:
        SubElement(entry, "link", rel="alternate", type="text/html", hreflang=code, href=address)
    _add_texts(SubElement(entry, "author"), name=front.credit.author or author)
    _add_texts(entry, summary=front.summary)


def _add_texts(parent: Element, **texts: str) -> None:
    for name, text in texts.items():
        if text:
            SubElement(parent, name).text = text


def _rfc3339_time(day: date) -> str:
    """A day as RFC 3339 writes a moment; sources know no hour."""
    return f"{day.isoformat()}T00:00:00Z"


SCHEMA_ORG = "https://schema.org"


def howto_json_ld(tutorial: Tutorial, language: str, url: str | None, image: str | None) -> Markup:
    """The data as text for a script element; ``url`` is the page's whole address where it is known."""
    text = json.dumps(howto_data(tutorial, language, url, image), ensure_ascii=False, separators=(",", ":"))
    # "<" alone could end the element (HTML, 4.12.1.3); in a JSON string it may be written by its number.
    return Markup(text.replace("<", "\\u003c"))


def howto_data(tutorial: Tutorial, language: str, url: str | None, image: str | None) -> dict[str, Any]:
    """The data itself (schema.org/HowTo); what nobody said is left out."""
    front = tutorial.front
    data = {
        "@context": SCHEMA_ORG, "@type": "HowTo", "name": front.title, "description": front.summary,
        "url": url,
        "image": image, "inLanguage": language, "totalTime": iso_duration(front.minutes),
        "educationalLevel": front.level, "creditText": front.credit.author,
        "license": licence_url(front.credit.licence),
        "datePublished": _iso_date(front.published),
        "dateModified": _iso_date(front.updated or front.published),
        "version": tutorial.revision, "yield": tutorial.locale.say("website.yield"),
        "supply": [{"@type": "HowToSupply", "name": plain_prose(supply)} for supply in tutorial.supplies],
        "tool": [{"@type": "HowToTool", "name": tool.name} for tool in tutorial.tools],
        "step": [_howto_step(step, url) for step in tutorial.steps],
    }
    return _without_empty(data)


def _howto_step(step: Any, url: str | None) -> Mapping[str, Any]:
    title = plain_prose(step.heading) if step.heading else step.title
    return _without_empty({"@type": "HowToStep", "position": step.number, "name": title,
                           "text": plain_prose(step.prose) or title,
                  "url": f"{url}#{step.anchor}" if url else None})


def _without_empty(data: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in data.items() if value not in (None, "", [])}


def _iso_date(day: Any) -> str | None:
    return day.isoformat() if day else None


def iso_duration(minutes: int | None) -> str | None:
    """A time as ISO 8601 writes it (4.4.3.2): 80 minutes are PT1H20M."""
    if not minutes:
        return None
    hours, rest = divmod(minutes, 60)
    return "PT" + f"{hours}H" * bool(hours) + f"{rest}M" * bool(rest)


def metadata_files(collection: TutorialCollection, files: Files,
                   config: MkDocsConfig) -> Iterator[tuple[str, str | bytes]]:
    """(address, content) of everything beside the pages; a feed only where the site knows its own address."""
    for uri, rendered_tutorial in collection.tutorials.items():
        page = file_at(files, uri).url
        yield companion_path(page, MEASURES_FILE), measures_text(rendered_tutorial.tutorial)
        yield companion_path(page, SHARE_FILE), share_picture(rendered_tutorial.tutorial.front.title,
                                                              rendered_tutorial.shapes.standing)
    if config.site_url:
        entries = [FeedEntry(_absolute_url(uri, files, config), rendered_tutorial.tutorial.front,
                             tuple(_translations(uri, collection, files, config)))
                   for uri, rendered_tutorial in collection.tutorials.items() if original_uri(uri) == uri]
        text = atom_feed(entries, config.site_name, config.site_description or "", config.site_url,
                    config.site_author or config.site_name)
        if text:
            yield FEED_FILE, text


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


def _absolute_url(uri: str, files: Files, config: MkDocsConfig) -> str:
    return urljoin(config.site_url or "", file_at(files, uri).url)


def _translations(uri: str, collection: TutorialCollection, files: Files,
                  config: MkDocsConfig) -> Iterator[tuple[str, str]]:
    """(code, whole address) of a tutorial in other languages."""
    for other in collection.tutorials:
        if other != uri and original_uri(other) == uri:
            yield language_of(other), _absolute_url(other, files, config)


def head_metadata(rendered_tutorial: RenderedTutorial, address: str | None) -> dict[str, Any]:
    """What the head of a tutorial's page says to machines; ``address`` is the page's whole address."""
    image = urljoin(address, companion_name(address, SHARE_FILE)) if address else None
    return {"howto": howto_json_ld(rendered_tutorial.tutorial, rendered_tutorial.tutorial.locale.code,
                                   address, image),
            "share": {"url": image, "width": SHARE_WIDTH, "height": SHARE_HEIGHT} if image else None}
