"""What machines are told of a tutorial: schema.org HowTo as JSON-LD, a block of data that no browser runs.

What is made for others than the reader of a page: feed, share pictures, and the data that machines read.
"""
from __future__ import annotations

import json
import posixpath
from collections.abc import Iterator, Mapping
from typing import Any
from urllib.parse import urljoin

from markupsafe import Markup
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files

from generator.tutorial import Tutorial
from generator.website.feed import FEED, FeedEntry, feed
from generator.website.languages import language_of, original
from generator.website.plain_text import LETTER, letter
from generator.website.prose_values import plain
from generator.website.rights import licence_address
from generator.website.share_picture import HIGH, SHARE, WIDE, share_picture
from generator.website.shelf import Shelf, Shelved

CONTEXT = "https://schema.org"


def howto(tutorial: Tutorial, language: str, url: str | None, image: str | None) -> Markup:
    """The data as text for a script element; ``url`` is the page's whole address where it is known."""
    text = json.dumps(howto_data(tutorial, language, url, image), ensure_ascii=False, separators=(",", ":"))
    # "<" alone could end the element (HTML, 4.12.1.3); in a JSON string it may be written by its number.
    return Markup(text.replace("<", "\\u003c"))


def howto_data(tutorial: Tutorial, language: str, url: str | None, image: str | None) -> dict[str, Any]:
    """The data itself (schema.org/HowTo); what nobody said is left out."""
    front = tutorial.front
    data = {
        "@context": CONTEXT, "@type": "HowTo", "name": front.title, "description": front.summary, "url": url,
        "image": image, "inLanguage": language, "totalTime": period(front.minutes),
        "educationalLevel": front.level, "creditText": front.credit.author, "license": licence_address(front.credit.licence),
        "datePublished": _day(front.published), "dateModified": _day(front.updated or front.published),
        "version": tutorial.revision,
        "supply": [{"@type": "HowToSupply", "name": plain(supply)} for supply in tutorial.supplies],
        "tool": [{"@type": "HowToTool", "name": tool.name} for tool in tutorial.tools],
        "step": [_step(step, url) for step in tutorial.steps],
    }
    return _said(data)


def _step(step: Any, url: str | None) -> Mapping[str, Any]:
    title = plain(step.heading) if step.heading else step.title
    return _said({"@type": "HowToStep", "position": step.number, "name": title, "text": plain(step.prose) or title,
                  "url": f"{url}#{step.anchor}" if url else None})


def _said(data: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in data.items() if value not in (None, "", [])}


def _day(day: Any) -> str | None:
    return day.isoformat() if day else None


def period(minutes: int | None) -> str | None:
    """A time as ISO 8601 writes it (4.4.3.2): 80 minutes are PT1H20M."""
    if not minutes:
        return None
    hours, rest = divmod(minutes, 60)
    return "PT" + f"{hours}H" * bool(hours) + f"{rest}M" * bool(rest)


def outward_files(shelf: Shelf, files: Files, config: MkDocsConfig) -> Iterator[tuple[str, str | bytes]]:
    """(address, content) of everything beside the pages; a feed only where the site knows its own address."""
    for uri, shelved in shelf.tutorials.items():
        page = files.get_file_from_path(uri).url
        yield beside(page, LETTER), letter(shelved.tutorial)
        yield beside(page, SHARE), share_picture(shelved.tutorial.front.title, shelved.shapes.standing)
    if config.site_url:
        entries = [FeedEntry(_whole(uri, files, config), shelved.tutorial.front, tuple(_retold(uri, shelf, files, config)))
                   for uri, shelved in shelf.tutorials.items() if original(uri) == uri]
        text = feed(entries, config.site_name, config.site_description or "", config.site_url,
                    config.site_author or config.site_name)
        if text:
            yield FEED, text


def beside(page: str, name: str) -> str:
    """Where a file stands that belongs to a page; beside a page in flat addresses it bears the page's name too."""
    if page.endswith("/"):
        return f"{page}{name}"
    folder, _, last = page.rpartition("/")
    own = "" if last == "index.html" else f"{last.removesuffix('.html')}-".replace("index.", "")
    return f"{folder}/{own}{name}".lstrip("/")


def name_beside(page: str, name: str) -> str:
    """The name of such a file, as its page links to it."""
    return posixpath.basename(beside(page, name))


def _whole(uri: str, files: Files, config: MkDocsConfig) -> str:
    return urljoin(config.site_url, files.get_file_from_path(uri).url)


def _retold(uri: str, shelf: Shelf, files: Files, config: MkDocsConfig) -> Iterator[tuple[str, str]]:
    """(code, whole address) of a tutorial in other languages."""
    for other in shelf.tutorials:
        if other != uri and original(other) == uri:
            yield language_of(other), _whole(other, files, config)


def outward(shelved: Shelved, address: str | None) -> dict[str, Any]:
    """What the head of a tutorial's page says to machines; ``address`` is the page's whole address."""
    image = urljoin(address, name_beside(address, SHARE)) if address else None
    return {"howto": howto(shelved.tutorial, shelved.tutorial.locale.code, address, image),
            "share": {"url": image, "width": WIDE, "height": HIGH} if image else None}
