"""foldgauge check: everything that is wrong with sources, in one run."""
from __future__ import annotations

import json
import sys

import click

from generator.commands.sources import display_path, load_source, print_findings, sources_in, texts_by_file
from generator.findings import findings_data, has_errors, sorted_findings

SCHEMA = 1      # of what --json prints: a program that reads it can tell when that changes


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="PATH…")
@click.option("--json", "as_json", is_flag=True,
              help="Print the findings for programs. Lines and columns count "
              "from 1; end_column is the first behind what is meant.")
def check(paths: tuple[str, ...], as_json: bool) -> None:
    """Check tutorials: files, folders of them, or - for one source from standard input.

    Exit 0 clean, 1 with errors, 2 for a wrong use.
    """
    loaded = {source: load_source(source) for source in sources_in(paths)}
    findings = sorted_findings(each for one in loaded.values() for each in one.findings)
    if as_json:
        click.echo(json.dumps({"schema": SCHEMA, "findings": findings_data(findings)}, indent=2))
    else:
        print_findings(findings, {file: text for source, one in loaded.items()
                                  for file, text in texts_by_file(source, one).items()}, err=False)
    if has_errors(findings):
        sys.exit(1)
    for source in () if as_json else loaded:
        click.echo(f"{display_path(source)}: every measure adds up in both editions")
