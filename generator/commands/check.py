"""foldgauge check: everything that is wrong with sources, in one run."""
from __future__ import annotations

import sys

import click

from generator.commands.sources import display_path, load_source, print_findings, sources_in, texts_by_file
from generator.findings import has_errors


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="PATH…")
def check(paths: tuple[str, ...]) -> None:
    """Check tutorials: files, or folders of them. Exit 0 clean, 1 with errors, 2 for a wrong use."""
    loaded = {source: load_source(source) for source in sources_in(paths)}
    findings = [each for one in loaded.values() for each in one.findings]
    texts = {file: text for source, one in loaded.items() for file,
             text in texts_by_file(source, one).items()}
    print_findings(findings, texts, err=False)
    if has_errors(findings):
        sys.exit(1)
    for source in loaded:
        click.echo(f"{display_path(source)}: every measure adds up in both editions")
