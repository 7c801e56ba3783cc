"""foldgauge check: everything that is wrong with sources, in one run."""
from __future__ import annotations

import json
import sys
from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from os.path import normpath, relpath
from pathlib import Path
from urllib.parse import unquote

import click

from generator.commands.bench_settings import site_folder
from generator.commands.sources import (
    STANDARD_INPUT,
    display_path,
    kept_answer,
    load_source,
    print_findings,
    sources_in,
    texts_by_file,
)
from generator.findings import Finding, Span, findings_data, has_errors, sorted_findings, with_progress
from generator.language.source.files_beside import link_findings, photo_findings
from generator.language.source.portable_names import name_findings
from generator.language.source.records import PARTS_FOLDER

SCHEMA = 1      # of what --json prints: a program that reads it can tell when that changes


@dataclass(frozen=True, slots=True)
class CheckedSource:
    """What is found in a source, the texts quoted, by file as shown, and the photos of each language."""

    findings: tuple[Finding, ...]
    texts: Mapping[str, str]
    photos: tuple[tuple[tuple[str, Span], ...], ...]


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
    answers = (kept_answer(source, "check", partial(_checked, source)) for source in sources)
    loaded = dict(zip(sources, with_progress(answers, "checking", [*map(display_path, sources)], sys.stderr),
                      strict=True))
    asked = {normpath(Path(path).absolute()) for path in paths}
    findings = sorted_findings((*(each for one in loaded.values() for each in one.findings),
                                *_findings_beside(loaded, asked)))
    if as_json:
        click.echo(json.dumps({"schema": SCHEMA, "findings": findings_data(findings)}, indent=2))
    else:
        print_findings(findings, {file: text for one in loaded.values() for file, text in one.texts.items()},
                       err=False)
    if has_errors(findings):
        sys.exit(1)
    for source in () if as_json else loaded:
        click.echo(f"{display_path(source)}: every measure adds up in both editions")


def _checked(source: Path) -> CheckedSource:
    one = load_source(source)
    told = tuple(filter(None, (one.tutorial, *one.translations.values())))
    return CheckedSource(one.findings, texts_by_file(source, one),
                         tuple(tuple((photo.src, photo.span) for photo in each.photos) for each in told))


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
                yield from judge(folder, lambda path: Path(relpath(path)).as_posix(), site.wanted, only)
