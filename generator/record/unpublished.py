"""Whether what is there now is what was published, in one line a tutorial."""
from __future__ import annotations

from collections import Counter

from generator.findings import EDITION_NAMES, Finding, Severity, Span, finding
from generator.record.changes import ChangedEdition, changes_between
from generator.record.revision_files import Record
from generator.record.state import TutorialState

# of each kind how one and several of its changes are called
KIND_NAMES = {"prints": ("printed file", "printed files"),
              "measures": ("measure", "measures"), "pictures": ("picture", "pictures"),
              "words": ("passage", "passages"), "paper": ("line of the supplies", "lines of the supplies"),
              "credit": ("line of the credit", "lines of the credit"), "photos": ("photo", "photos")}


def unpublished_finding(file: str, slug: str, record: Record, state: TutorialState) -> Finding | None:
    """An error where a tutorial is not on record as it is; None where it is, or its record is broken."""
    if record.findings:
        return None
    if record.last is None:
        return finding("plan-unpublished", Span(file), "this tutorial is not on record",
                       f'put it there: foldgauge publish {slug}', Severity.ERROR)
    said = unpublished_summary(record, state)
    if not said:
        return None
    return finding("plan-unpublished", Span(file), f"this is not what is on record: {said}",
                   f'foldgauge changed {slug} tells all of it; put it on record: '
                   f'foldgauge publish {slug} --why "…"', Severity.ERROR)


def unpublished_summary(record: Record, state: TutorialState) -> str:
    """Such as "since 2026-11-01 in the inch edition 5 measures, 9 pictures"; "" where nothing differs."""
    last = record.last
    if last is None:
        return ""
    told = [_edition_summary(each) for each in changes_between(last.state, state) if each.changes]
    return f"since {last.day} {'; '.join(told)}" if told else ""


def _edition_summary(edition: ChangedEdition) -> str:
    counts = Counter(each.kind for each in edition.changes)
    listed = ", ".join(f"{counts[kind]} {KIND_NAMES[kind][counts[kind] > 1]}" for kind in edition.kinds)
    return f"in the {EDITION_NAMES[edition.system]} edition {listed}"
