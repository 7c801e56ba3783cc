"""foldgauge changed: what differs from what was published."""
from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from os.path import normpath
from pathlib import Path
from urllib.parse import urljoin

import click

from generator.commands.bench_settings import site_folder
from generator.commands.check import SCHEMA, all_findings, record_of
from generator.commands.recorded import RecordedTutorial, recorded, sources_named, title_of
from generator.commands.sources import exit_with_findings
from generator.dataclass import dataclass
from generator.findings import has_errors, with_progress
from generator.locale import ENGLISH, LANGUAGES, Locale, locale_for
from generator.record.changes import (
    OUTCOMES,
    ChangedEdition,
    changes_between,
    changes_text,
    outcome,
    outcome_lines,
)
from generator.record.notice import notice_html, notice_of, notice_text
from generator.record.revision_files import Revision


@dataclass(frozen=True, slots=True)
class _Compared:
    """A sound tutorial with the revision it is compared with, None where there is none."""

    tutorial: RecordedTutorial
    revision: Revision | None
    editions: tuple[ChangedEdition, ...]


@click.command()
@click.argument("names", nargs=-1, metavar="[SLUG…]")
@click.option("--since", metavar="REV", help="Compare with an older revision: its mark, its name or its day.")
@click.option("--notice", type=click.Choice(["text", "html"]),
              help="Print for a mail what the last publication changed, or all since REV.")
@click.option("--language", type=click.Choice(LANGUAGES), default=ENGLISH.code, show_default=True,
              help="Of the notice.")
@click.option("--json", "as_json", is_flag=True, help="Print for programs.")
def changed(names: tuple[str, ...], since: str | None, notice: str | None, language: str,
            as_json: bool) -> None:
    """Tell what differs from what was published, edition by edition: lengths, marks, pictures, sentences.

    Without a SLUG, of all tutorials in tutorials/; of several it says at the end which plans moved, in which
    only the print did, and in which nothing. Exit 1 where one is not sound: it is compared with nothing.
    """
    sources = sources_named(names)
    if notice is not None:
        _print_notices(sources, since, notice, locale_for(language))
        return
    found = list(with_progress(recorded(sources), "comparing", [each.parent.name for each in sources],
                               sys.stderr))
    compared = [_compared(each, since) for each in found if is_sound(each)]
    unsound = [each.slug for each in found if not is_sound(each)]
    if since is not None and compared and not any(each.revision for each in compared):
        raise click.UsageError(f"no tutorial has a revision {since}")
    by_outcome = {one: [each.tutorial.slug for each in compared if outcome(each.editions) == one]
                  for one in OUTCOMES}
    if as_json:
        click.echo(json.dumps({"schema": SCHEMA, "tutorials": [*map(_data, compared)],
                               "outcomes": {**by_outcome, "unsound": unsound}}, ensure_ascii=False, indent=2))
    else:
        _print(compared, by_outcome, unsound, since)
    if unsound:
        refuse_unsound(found, f"not sound, so not compared: {', '.join(unsound)}")


def _print_notices(sources: Iterable[Path], since: str | None, kind: str, locale: Locale) -> None:
    """Of each tutorial that was published again; exit 1 where none was, or a record is broken."""
    records = {source: record_of(source) for source in sources}
    findings = tuple(dict.fromkeys(each for record in records.values() for each in record.findings))
    if findings:
        exit_with_findings("no notice was written", findings, {file: text for record in records.values()
                                                               for file, text in record.texts.items()})
    found = []
    for source, record in records.items():
        site = site_folder(Path(normpath(source.absolute())).parent.parent)
        address = site.address if site is not None else ""
        made = notice_of(record, title_of(source, locale.code), locale, since,
                         address and urljoin(address, f"{source.parent.name}/"),
                         address and urljoin(address, "prints/" if locale is ENGLISH
                                             else f"prints/{locale.code}/"))
        if made is not None:
            found.append(notice_html(made) if kind == "html" else notice_text(made))
    if not found:
        click.echo("nothing has changed after it was published first" if since is None
                   else f"nothing was published after revision {since}", err=True)
        sys.exit(1)
    click.echo("\n\n\n".join(found) if kind == "text" else "\n".join(found))


def is_sound(each: RecordedTutorial) -> bool:
    """Whether it can be compared: its source is whole, and so is its record."""
    return each.now.state is not None and not each.record.findings


def refuse_unsound(found: Iterable[RecordedTutorial], message: str) -> None:
    """Say what is wrong with sources or records, and exit with 1, where anything is."""
    found = list(found)
    findings = all_findings({each.source: each.now for each in found},
                            {each.source: each.record for each in found})
    if has_errors(findings):
        exit_with_findings(message, findings, {file: text for each in found for file, text in (
            *each.now.texts.items(), *each.record.texts.items())})


def _compared(each: RecordedTutorial, since: str | None) -> _Compared:
    revision = each.record.last if since is None else each.record.revision(since)
    if revision is None or each.now.state is None:
        return _Compared(each, None, ())
    return _Compared(each, revision, changes_between(revision.state, each.now.state))


def _print(compared: Sequence[_Compared], by_outcome: Mapping[str, Sequence[str]], unsound: Sequence[str],
           since: str | None) -> None:
    for each in compared:
        if each.revision is not None or since is None:
            click.echo("\n".join(_lines(each)))
    if len(compared) + len(unsound) > 1:
        click.echo("\n" + "\n".join(outcome_lines(by_outcome)))


def _lines(each: _Compared) -> list[str]:
    if each.revision is None:
        return [f"{each.tutorial.slug}: not published yet"]
    head = f"{each.tutorial.slug}: published on {each.revision.day} ({each.revision.why})"
    if not any(edition.changes for edition in each.editions):
        return [f"{head}; nothing has changed since"]
    return [head, *changes_text(each.editions)]


def _data(each: _Compared) -> dict[str, object]:
    revision = each.revision
    return {"slug": each.tutorial.slug, "published": str(revision.day) if revision else None,
            "revision": revision.name if revision else None, "why": revision.why if revision else None,
            "editions": {edition.system: {
                "old_mark": edition.old_mark, "mark": edition.mark, "plan_moved": edition.plan_moved,
                "changes": [{"kind": change.kind, "name": change.name, "before": change.before,
                             "after": change.after} for change in edition.changes]}
                for edition in each.editions}}
