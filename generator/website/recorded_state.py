"""What a build says of the record: what is wrong with it, and what of the site is not on it."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path

from generator.findings import Finding
from generator.locale import Locale
from generator.record.print_marks import MarkedTutorial, print_marks
from generator.record.revision_files import Record, read_record
from generator.record.unpublished import unpublished_finding, unpublished_summary
from generator.website.navigation import slug_of
from generator.website.sources import TutorialCollection


class RecordedState:
    """The records of all tutorials of a site, read once for a build; by slug."""

    def __init__(self, collection: TutorialCollection, folder: Path, shown: Callable[[Path], str]):
        self.sources = {slug_of(address): source for address, source in collection.sources.items()}
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

    def marked(self, tutorials: Iterable[tuple[str, str, str]], locale: Locale) -> tuple[MarkedTutorial, ...]:
        """The marks of all prints of tutorials, each given by its title, its address and its source."""
        found = ((title, url, self.records[slug_of(uri)], self.sources[slug_of(uri)].pack.state)
                 for title, url, uri in tutorials if slug_of(uri) in self.sources)
        return tuple(MarkedTutorial(title, url, print_marks(record, state, locale))
                     for title, url, record, state in found if state is not None)

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


NOT_RECORDED = RecordedState(TutorialCollection(), Path(), str)        # of a site that has no tutorial yet
