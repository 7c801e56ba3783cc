"""What a build says of the record: what is wrong with it, and what of the site is not on it."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path

from generator.dataclass import replace
from generator.findings import Finding
from generator.locale import ENGLISH, Locale
from generator.record.kept_templates import KeptTemplate, shown_templates
from generator.record.print_marks import MOVED, MarkedTutorial, PrintMark, print_marks
from generator.record.revision_files import Record, read_record
from generator.record.state import TutorialState
from generator.record.unpublished import unpublished_finding, unpublished_summary
from generator.website.navigation import TEMPLATES_FOLDER, slug_of
from generator.website.sources import TutorialCollection


class RecordedState:
    """The records of all tutorials of a site, read once for a build; by slug."""

    def __init__(self, collection: TutorialCollection, folder: Path, shown: Callable[[Path], str],
                 keep: int = 0):
        self.keep = keep
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

    def marked(self, tutorials: Iterable[tuple[str, str, str, str]],
               locale: Locale) -> tuple[MarkedTutorial, ...]:
        """The marks of all prints of tutorials.

        Each is given by its title, its address, its source, and where its templates lie.
        """
        found = ((title, url, slug_of(uri), self.sources[slug_of(uri)].pack.state, templates)
                 for title, url, uri, templates in tutorials if slug_of(uri) in self.sources)
        return tuple(MarkedTutorial(title, url, tuple(self._with_kept(slug, state, locale)), templates)
                     for title, url, slug, state, templates in found if state is not None)

    def _with_kept(self, slug: str, state: TutorialState, locale: Locale) -> Iterator[PrintMark]:
        marks = print_marks(self.records[slug], state, locale)
        kept = self._kept(slug, state)
        if not kept:
            yield from marks
            return
        from generator.drawing.templates.page import PrintPaper  # where nothing is kept, nothing is drawn

        for each in marks:
            yield replace(each, kept=tuple((PrintPaper(one.paper).title, one.name(slug)) for one in kept
                                           if one.mark == each.mark and each.verdict == MOVED))

    def _kept(self, slug: str, state: TutorialState) -> tuple[KeptTemplate, ...]:
        """The templates of the last marks of each edition that are no longer good."""
        record, marks = self.records[slug], dict[str, list[str]]()
        for each in print_marks(record, state, ENGLISH) if self.keep and record.kept else ():
            if each.verdict == MOVED:
                marks.setdefault(each.system, []).append(each.mark)
        credits = {edition.mark: edition.kinds["credit"] for revision in record.revisions
                   for edition in revision.state.editions.values()}
        return tuple(shown_templates(record.kept,
                                     {system: found[:self.keep] for system, found in marks.items()},
                                     credits, state))

    def kept_files(self) -> dict[str, bytes]:
        """The templates that are still handed out, by their address below the site."""
        return {f"{slug}/{TEMPLATES_FOLDER}/{each.name(slug)}": each.path.read_bytes()
                for slug, source in self.sources.items() if (state := source.pack.state) is not None
                for each in self._kept(slug, state)}

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
