"""foldgauge why: where a number comes from."""
from __future__ import annotations

import sys
from pathlib import Path

import click

from generator.commands.sources import display_path, load_source, source_at
from generator.findings import render_all
from generator.tutorial.derivation import derivation_text


@click.command()
@click.argument("file", metavar="FILE")
@click.argument("name", metavar="NAME")
def why(file: str, name: str) -> None:
    """Print the chain of a NAME: number, expression, named lengths, lines of the source."""
    source: Path = source_at(file)
    loaded = load_source(source)
    if loaded.tutorial is None:
        click.echo(render_all(loaded.findings, {display_path(source): loaded.source, **loaded.texts}), err=True)
        sys.exit(1)
    text, findings = derivation_text(loaded.tutorial, name)
    if findings:
        click.echo(render_all(findings, {}), err=True)      # the name was typed here, so no line of the source is to blame
        sys.exit(1)
    click.echo(text)
