"""What is made for others than the reader of a page: feed, share pictures, and the data that machines read."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from urllib.parse import urljoin

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files

from generator.website.feed import FEED, Entry, feed
from generator.website.howto import howto
from generator.website.letter import LETTER, letter
from generator.website.share import HIGH, SHARE, WIDE, share_picture
from generator.website.shelf import Shelf, Shelved


def outward_files(shelf: Shelf, files: Files, config: MkDocsConfig) -> Iterator[tuple[str, str | bytes]]:
    """(address, content) of everything beside the pages; a feed only where the site knows its own address."""
    for uri, shelved in shelf.tutorials.items():
        folder = uri.rpartition("/")[0]
        yield f"{folder}/{LETTER}", letter(shelved.tutorial)
        yield f"{folder}/{SHARE}", share_picture(shelved.tutorial)
    if config.site_url:
        entries = [Entry(urljoin(config.site_url, files.get_file_from_path(uri).url), shelved.tutorial.front)
                   for uri, shelved in shelf.tutorials.items()]
        text = feed(entries, config.site_name, config.site_description or "", config.site_url,
                    config.site_author or config.site_name)
        if text:
            yield FEED, text


def outward(shelved: Shelved, address: str | None, language: str) -> dict[str, Any]:
    """What the head of a tutorial's page says to machines; ``address`` is the page's whole address."""
    image = urljoin(address, SHARE) if address else None
    return {"howto": howto(shelved.tutorial, language, address, image),
            "share": {"url": image, "width": WIDE, "height": HIGH} if image else None}
