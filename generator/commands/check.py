"""foldgauge check: everything that is wrong with sources, in one run."""
from __future__ import annotations

import json
import sys
from collections.abc import Container, Iterator, Mapping
from functools import partial
from os.path import normpath, relpath
from pathlib import Path
from urllib.parse import unquote

import click

from generator.commands.bench_settings import SiteFolder, site_folder
from generator.commands.sources import (
    STANDARD_INPUT,
    display_path,
    kept_answer,
    load_source,
    print_findings,
    sources_in,
    texts_by_file,
)
from generator.dataclass import dataclass, replace
from generator.findings import (
    Finding,
    Severity,
    Span,
    findings_data,
    has_errors,
    sorted_findings,
    with_progress,
)
from generator.findings.codes import STALE_CODES
from generator.language.source.files_beside import link_findings, photo_findings
from generator.language.source.former_names import alias_findings
from generator.language.source.portable_names import name_findings
from generator.language.source.records import PARTS_FOLDER
from generator.record.revision_files import Record, read_record
from generator.record.state import TutorialState
from generator.record.unpublished import unpublished_finding

SCHEMA = 1      # of what --json prints: a program that reads it can tell when that changes


@dataclass(frozen=True, slots=True)
class CheckedSource:
    """What is found in a source, the texts quoted, by file as shown, and the photos of each language.

    ``state`` is what would go on record: None where nobody asked, or the source is not sound.
    """

    findings: tuple[Finding, ...]
    texts: Mapping[str, str]
    photos: tuple[tuple[tuple[str, Span], ...], ...]
    state: TutorialState | None = None


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="PATH…")
@click.option("--json", "as_json", is_flag=True,
              help="Print the findings for programs. Lines and columns count "
              "from 1; end_column is the first behind what is meant.")
def check(paths: tuple[str, ...], as_json: bool) -> None:
    """Check tutorials: files, folders of them, or - for one source from standard input.

    Exit 0 clean, 1 with errors, 2 for a wrong use.
    """
    sources = sources_in(paths)
    answers = (_as_its_site_judges(source) for source in sources)
    loaded = dict(zip(sources, with_progress(answers, "checking", [*map(display_path, sources)], sys.stderr),
                      strict=True))
    records = {source: record_of(source) for source in sources if source != STANDARD_INPUT}
    asked = {normpath(Path(path).absolute()) for path in paths}
    findings = sorted_findings((*all_findings(loaded, records, asked), *_unpublished(loaded, records)))
    if as_json:
        click.echo(json.dumps({"schema": SCHEMA, "findings": findings_data(findings)}, indent=2))
    else:
        quoted = [*(one.texts for one in loaded.values()), *(one.texts for one in records.values())]
        print_findings(findings, {file: text for texts in quoted for file, text in texts.items()}, err=False)
    if has_errors(findings):
        sys.exit(1)
    for source in () if as_json else loaded:
        click.echo(f"{display_path(source)}: every measure adds up in both editions")


def record_of(source: Path) -> Record:
    """What was published of a source."""
    return read_record(source.parent, display_path(source.parent.parent))


def all_findings(loaded: Mapping[Path, CheckedSource],
                 records: Mapping[Path, Record], asked: Container[str] = ()) -> tuple[Finding, ...]:
    """What is wrong with sources, their records and what lies beside them (``asked`` for), in order."""
    return tuple(sorted_findings((*(each for one in loaded.values() for each in one.findings),
                                  *{each: None for one in records.values() for each in one.findings},
                                  *_findings_beside(loaded, asked))))


def checked_source(source: Path, with_state: bool) -> CheckedSource:
    """A source, as it was kept where nothing has changed since."""
    return kept_answer(source, "state" if with_state else "check", partial(_checked, source, with_state))


def _as_its_site_judges(source: Path) -> CheckedSource:
    """With its state where its site needs that, and as errors what its site refuses."""
    one, site = checked_source(source, _needs_record(source)), _site_of(source)
    if site is None or not site.refuses_stale:
        return one
    return replace(one, findings=tuple(replace(each, severity=Severity.ERROR) if each.code in STALE_CODES
                                       else each for each in one.findings))


def _site_of(source: Path) -> SiteFolder | None:
    return site_folder(Path(normpath(source.absolute())).parent) if source != STANDARD_INPUT else None


def _needs_record(source: Path) -> bool:
    """Whether the site of a source refuses what is not on record."""
    site = _site_of(source)
    return site is not None and site.needs_record


def _checked(source: Path, with_state: bool) -> CheckedSource:
    one = load_source(source)
    state = None
    if with_state and one.tutorial is not None:
        from generator.record.snapshot import tutorial_state
        state = tutorial_state(source, one.tutorial, one.translations.values())
    told = tuple(filter(None, (one.tutorial, *one.translations.values())))
    return CheckedSource(one.findings, texts_by_file(source, one),
                         tuple(tuple((photo.src, photo.span) for photo in each.photos) for each in told),
                         state)


def _unpublished(loaded: Mapping[Path, CheckedSource],
                 records: Mapping[Path, Record]) -> Iterator[Finding]:
    """What is not on record as it is, where the site refuses that."""
    for source, one in loaded.items():
        if one.state is not None and _needs_record(source):
            found = unpublished_finding(display_path(source), source.parent.name, records[source], one.state)
            yield from () if found is None else (found,)


def _from_here(path: Path) -> str:
    return Path(relpath(path)).as_posix()


def _findings_beside(loaded: Mapping[Path, CheckedSource], asked: Container[str]) -> Iterator[Finding]:
    """What the build would say of files beside the sources: photos that are none, links to elsewhere, names.

    Of a folder of tutorials all is judged where it is itself among what was ``asked`` for.
    """
    by_folder: dict[Path, list[str]] = {}
    for source, one in loaded.items():
        if source == STANDARD_INPUT:
            continue
        for photos in one.photos:
            yield from photo_findings({source.parent / unquote(src): span for src, span in photos})
        folder = Path(normpath(source.absolute())).parent
        by_folder.setdefault(folder.parent, []).append(folder.name)
    for folder, names in by_folder.items():
        site = site_folder(folder)
        if site is not None and site.path == folder:
            only = None if str(folder) in asked else {*names, PARTS_FOLDER}
            for judge in (link_findings, name_findings):
                yield from judge(folder, _from_here, site.wanted, only)
        yield from alias_findings(folder, _from_here, names)
