"""Pages that go with the tutorials and are made from data, and the index of the search.

What they show stands in ``data_page_contents``, which is read only where one of them is to be made anew.
"""
from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

from generator.locale import ENGLISH, Locale
from generator.website.glossary import glossary_entries

SEARCH_INDEX = "search.json"


def search_index_name(language: str) -> str:
    """"search.json", in another language "search.de.json"."""
    return SEARCH_INDEX if language == "en" else SEARCH_INDEX.replace(".", f".{language}.")


@dataclass(frozen=True, slots=True)
class SearchedPage:
    """A tutorial as the search knows it; ``steps`` are (anchor, title)."""

    url: str
    title: str
    summary: str
    steps: tuple[tuple[str, str], ...]


def search_index(pages: Iterable[SearchedPage], glossary: str, locale: Locale = ENGLISH) -> str:
    """``{"pages": [[address, title, summary, [[anchor, title], …]], …]}``.

    Addresses below the root of the site.

    A word of the glossary counts as a step of the glossary's page.
    """
    rows = [[page.url, page.title, page.summary, [list(step) for step in page.steps]] for page in pages]
    if glossary:
        rows.append([glossary, "", "", [list(entry) for entry in glossary_entries(locale)]])
    return json.dumps({"pages": rows}, ensure_ascii=False, separators=(",", ":")) + "\n"


@dataclass(frozen=True, slots=True)
class DataPage:
    """A page at ``<name>/``; its words are in the catalogue under ``<name>_…``."""

    name: str
    everywhere: bool = True     # in all languages; what only authors read is English

    @property
    def source(self) -> str:
        """Where its source would stand below the tutorials."""
        return f"{self.name}.md"

    @property
    def title(self) -> str:
        """The key of its title in the catalogue."""
        return f"website.page_{self.name}"


SHELF = DataPage("shelf")       # made of all tutorials, so never stored whole
DATA_PAGES = (DataPage("glossary"), DataPage("bench"), DataPage("rules"), SHELF, DataPage("prints"),
              DataPage("search"),
              DataPage("calls", everywhere=False), DataPage("findings", everywhere=False))
