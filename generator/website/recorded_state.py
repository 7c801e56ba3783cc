"""What a build says of the record: what is wrong with it, and what of the site is not on it."""
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from generator.findings import Finding
from generator.record.revision_files import Record, read_record
from generator.record.unpublished import unpublished_finding, unpublished_summary
from generator.website.sources import TutorialCollection


class RecordedState:
    """The records of all tutorials of a site, read once for a build; by slug."""

    def __init__(self, collection: TutorialCollection, folder: Path, shown: Callable[[Path], str]):
        self.sources = {address.split("/")[0]: source for address, source in collection.sources.items()}
        self.records: Mapping[str, Record] = {slug: read_record(folder / slug, shown(folder))
                                              for slug in self.sources}

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is wrong with the records, each once."""
        return tuple({each: None for record in self.records.values() for each in record.findings})

    @property
    def texts(self) -> dict[str, str]:
        """What these findings quote, by file as shown."""
        return {file: text for record in self.records.values() for file, text in record.texts.items()}

    def differences(self) -> Iterator[str]:
        """One line for each tutorial that is not as it was published."""
        for slug, source in self.sources.items():
            state = source.pack.state
            if state is not None and (said := unpublished_summary(self.records[slug], state)):
                yield f"{slug} is not what is on record: {said}"

    def refusals(self) -> Iterator[Finding]:
        """An error for each tutorial that is not on record as it is."""
        for slug, source in self.sources.items():
            state = source.pack.state
            found = state and unpublished_finding(source.request.shown, slug, self.records[slug], state)
            yield from (found,) if found else ()
