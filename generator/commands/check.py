"""foldgauge check: everything that is wrong with sources, in one run."""
from __future__ import annotations

import sys

import click

from generator.commands.sources import display_path, load_source, sources_in
from generator.findings import has_errors, render_all


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="PATH…")
def check(paths: tuple[str, ...]) -> None:
    """Check tutorials: files, or folders of them. Exit 0 clean, 1 with errors, 2 for a wrong use."""
    findings, texts = [], {}
    sources = sources_in(paths)
    for source in sources:
        loaded = load_source(source)
        texts |= {display_path(source): loaded.source, **loaded.texts}
        findings.extend(loaded.findings)
    if findings:
        click.echo(render_all(findings, texts))
    if has_errors(findings):
        sys.exit(1)
    for source in sources:
        click.echo(f"{display_path(source)}: every measure adds up in both editions")
