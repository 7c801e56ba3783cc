"""What is made for others than the reader of a page: feed, share pictures, and the data that machines read."""
from __future__ import annotations

import posixpath
from collections.abc import Iterator
from typing import Any
from urllib.parse import urljoin

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files

from generator.website.feed import FEED, Entry, feed
from generator.website.howto import howto
from generator.website.languages import language_of, original
from generator.website.letter import LETTER, letter
from generator.website.share import HIGH, SHARE, WIDE, share_picture
from generator.website.shelf import Shelf, Shelved


def outward_files(shelf: Shelf, files: Files, config: MkDocsConfig) -> Iterator[tuple[str, str | bytes]]:
    """(address, content) of everything beside the pages; a feed only where the site knows its own address."""
    for uri, shelved in shelf.tutorials.items():
        page = files.get_file_from_path(uri).url
        yield beside(page, LETTER), letter(shelved.tutorial)
        yield beside(page, SHARE), share_picture(shelved.tutorial.front.title, shelved.shapes.standing)
    if config.site_url:
        entries = [Entry(_whole(uri, files, config), shelved.tutorial.front, tuple(_retold(uri, shelf, files, config)))
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
    return {"howto": howto(shelved.tutorial, shelved.tutorial.tongue.code, address, image),
            "share": {"url": image, "width": WIDE, "height": HIGH} if image else None}
