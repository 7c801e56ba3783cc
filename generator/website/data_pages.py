"""Pages that go with the tutorials and are made from data.

What they show stands in ``data_page_contents``, which is read only where one of them is to be made anew.
"""
from __future__ import annotations

from generator.dataclass import dataclass


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
