"""foldgauge changed: what differs from what was published."""
from __future__ import annotations

import json
import sys
from collections.abc import Iterable

import click

from generator.commands.check import SCHEMA, all_findings
from generator.commands.recorded import RecordedTutorial, recorded, sources_named
from generator.commands.sources import exit_with_findings
from generator.findings import has_errors, with_progress
from generator.record.changes import ChangedEdition, changes_between, changes_text
from generator.record.revision_files import Revision


@click.command()
@click.argument("names", nargs=-1, metavar="[SLUG…]")
@click.option("--since", metavar="REV", help="Compare with an older revision: its mark, its name or its day.")
@click.option("--json", "as_json", is_flag=True, help="Print for programs.")
def changed(names: tuple[str, ...], since: str | None, as_json: bool) -> None:
    """Tell what differs from what was published, edition by edition: lengths, marks, pictures, sentences.

    Without a SLUG, of all tutorials in tutorials/.
    """
    sources = sources_named(names)
    found = list(with_progress(recorded(sources), "comparing", [each.parent.name for each in sources],
                               sys.stderr))
    refuse_unsound(found, "nothing was compared")
    compared = [(each, *_compared(each, since)) for each in found]
    if since is not None and not any(revision for _, revision, _ in compared):
        raise click.UsageError(f"no tutorial has a revision {since}")
    if as_json:
        click.echo(json.dumps({"schema": SCHEMA, "tutorials": [_data(*each) for each in compared]},
                              ensure_ascii=False, indent=2))
        return
    for each, revision, editions in compared:
        if revision is not None or since is None:
            click.echo("\n".join(_lines(each, revision, editions)))


def refuse_unsound(found: Iterable[RecordedTutorial], message: str) -> None:
    """Say what is wrong with sources or records, and exit with 1, where anything is."""
    found = list(found)
    findings = all_findings({each.source: each.now for each in found},
                            {each.source: each.record for each in found})
    if has_errors(findings):
        exit_with_findings(message, findings, {file: text for each in found for file, text in (
            *each.now.texts.items(), *each.record.texts.items())})


def _compared(each: RecordedTutorial,
              since: str | None) -> tuple[Revision | None, tuple[ChangedEdition, ...]]:
    revision = each.record.last if since is None else each.record.revision(since)
    if revision is None or each.now.state is None:
        return None, ()
    return revision, changes_between(revision.state, each.now.state)


def _lines(each: RecordedTutorial, revision: Revision | None,
           editions: tuple[ChangedEdition, ...]) -> list[str]:
    if revision is None:
        return [f"{each.slug}: not published yet"]
    head = f"{each.slug}: published on {revision.day} ({revision.why})"
    if not any(edition.changes for edition in editions):
        return [f"{head}; nothing has changed since"]
    return [head, *changes_text(editions)]


def _data(each: RecordedTutorial, revision: Revision | None,
          editions: tuple[ChangedEdition, ...]) -> dict[str, object]:
    return {"slug": each.slug, "published": str(revision.day) if revision else None,
            "revision": revision.name if revision else None, "why": revision.why if revision else None,
            "editions": {edition.system: {
                "old_mark": edition.old_mark, "mark": edition.mark, "plan_moved": edition.plan_moved,
                "changes": [{"kind": change.kind, "name": change.name, "before": change.before,
                             "after": change.after} for change in edition.changes]} for edition in editions}}
