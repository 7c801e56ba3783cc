"""foldgauge publish: put what is there now on record."""
from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import click

from generator.commands.changed import refuse_unsound
from generator.commands.check import record_of
from generator.commands.recorded import RecordedTutorial, recorded, sources_named
from generator.findings import with_progress
from generator.record.publication import Publication, PublicationRefused, publishing
from generator.record.publication import publish as publish_all

NOTHING_DONE = "nothing was published"


@click.command()
@click.argument("names", nargs=-1, metavar="[SLUG…]")
@click.option("--why", metavar="TEXT",
              help="The reason, in a sentence for readers; asked for where a plan changed.")
@click.option("--day", type=click.DateTime(["%Y-%m-%d"]), metavar="DAY",
              help="The day it is published, such as 2026-11-30; today unless said.")
def publish(names: tuple[str, ...], why: str | None, day: datetime | None) -> None:
    """Put what is there now on record, with its day and the reason: of all tutorials, or of those named.

    Nothing is published where a source or a record is not sound; what was published before stays as it is.
    """
    sources = sources_named(names)
    folders = dict.fromkeys(source.parent.parent for source in sources)
    if len(folders) > 1:
        raise click.UsageError("publish the tutorials of one folder at a time")
    # what takes long is done before others are kept waiting
    found = list(with_progress(recorded(sources), "reading", [each.parent.name for each in sources],
                               sys.stderr))
    refuse_unsound(found, NOTHING_DONE)
    reason = _reason(found, " ".join((why or "").split()))
    on = day.date() if day is not None else date.today()
    for folder in folders:
        try:
            with publishing(folder):
                made = _published(folder, [replace(each, record=record_of(each.source)) for each in found],
                                  on, reason)
        except PublicationRefused as refused:
            raise click.ClickException(str(refused)) from None
        for one in found:
            click.echo(f"{one.slug}: {_said(one) if one.source.parent in made else 'nothing has changed'}")


def _reason(found: Iterable[RecordedTutorial], why: str) -> str:
    """Why it is published, asked for where a plan moved. Raises click.UsageError where that cannot be."""
    moved = [each.slug for each in found if _publication(each).plan_moved]
    if why or not moved:
        return why
    if not sys.stdin.isatty():
        raise click.UsageError(f"the plan of {', '.join(moved)} has changed: say --why")
    return str(click.prompt(f"The plan of {', '.join(moved)} has changed. Why"))


def _published(folder: Path, found: Sequence[RecordedTutorial], day: date, why: str) -> Mapping[Path, str]:
    """By folder the files that were written. Raises PublicationRefused."""
    refuse_unsound(found, NOTHING_DONE)
    publications = [each for each in map(_publication, found) if each.changed]
    for each in publications:
        last = each.record.last
        if last is not None and day < last.day:
            raise PublicationRefused(
                f"{each.folder.name} was published on {last.day} last, which is after {day}")
    return publish_all(folder, publications, day, why) if publications else {}


def _said(one: RecordedTutorial) -> str:
    marks = one.now.state.editions.items() if one.now.state is not None else ()
    return f"published, {', '.join(f'{system} {edition.mark}' for system, edition in marks)}"


def _publication(each: RecordedTutorial) -> Publication:
    assert each.now.state is not None       # unsound sources were refused
    return Publication(each.source.parent, each.now.state, each.record)
