"""foldgauge publish: put what is there now on record."""
from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from os.path import normpath
from pathlib import Path

import click

from generator.commands.bench_settings import site_folder
from generator.commands.changed import refuse_unsound
from generator.commands.check import record_of
from generator.commands.recorded import RecordedTutorial, recorded, sources_named
from generator.commands.sources import load_source
from generator.drawing.templates.page import PRINT_PAPERS, TemplateFace
from generator.findings import with_progress
from generator.record.kept_templates import kept_name
from generator.record.publication import Publication, PublicationRefused, publishing
from generator.record.publication import publish as publish_all
from generator.tutorial.template_files import template_files

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
    publications = [replace(publication, aside=_aside(one, publication)) for one in found
                    if (publication := _publication(one)).changed]
    for each in publications:
        last = each.record.last
        if last is not None and day < last.day:
            raise PublicationRefused(
                f"{each.folder.name} was published on {last.day} last, which is after {day}")
    return publish_all(folder, publications, day, why) if publications else {}


def _aside(one: RecordedTutorial, publication: Publication) -> Mapping[str, bytes]:
    """Templates of marks that have none yet, where the site keeps them for later."""
    folder = Path(normpath(one.source.absolute())).parent
    site = site_folder(folder.parent)
    have = {(each.system, each.mark) for each in one.record.kept}
    wanted = [(system, edition.mark) for system, edition in publication.state.editions.items()
              if (system, edition.mark) not in have]
    tutorial = load_source(one.source).tutorial if site is not None and site.keep and wanted else None
    if tutorial is None:
        return {}
    return {kept_name(folder.name, system, file.paper, mark, file.data): file.data for system, mark in wanted
            for file in template_files(tutorial, (system,), PRINT_PAPERS, (TemplateFace.INSIDE,)).files
            if file.kind == "template"}


def _said(one: RecordedTutorial) -> str:
    marks = one.now.state.editions.items() if one.now.state is not None else ()
    return f"published, {', '.join(f'{system} {edition.mark}' for system, edition in marks)}"


def _publication(each: RecordedTutorial) -> Publication:
    assert each.now.state is not None       # unsound sources were refused
    return Publication(each.source.parent, each.now.state, each.record)
