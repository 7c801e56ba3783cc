"""foldgauge measures: all measures of a tutorial."""
from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from generator.commands.sources import display_path, load_source, source_at
from generator.findings import render_all
from generator.tutorial.measures import conversion_rows, conversion_table, measures_data, measures_table


@click.command()
@click.argument("file", metavar="FILE")
@click.option("--json", "as_json", is_flag=True, help="Print for machines, findings included.")
@click.option("--drawn", is_flag=True, help="What was drawn, its exact conversion, and what is published in its place.")
def measures(file: str, as_json: bool, drawn: bool) -> None:
    """Print every measure of a tutorial in both editions."""
    source: Path = source_at(file)
    loaded = load_source(source)
    if as_json:
        data = measures_data(loaded)
        if drawn and loaded.tutorial is not None:
            data["conversions"] = conversion_rows(loaded.tutorial)
        click.echo(json.dumps(data, ensure_ascii=False, indent=2))
    elif loaded.tutorial is not None:
        click.echo(conversion_table(loaded.tutorial) if drawn else measures_table(loaded.tutorial))
    if loaded.tutorial is None:
        click.echo(render_all(loaded.findings, {display_path(source): loaded.source, **loaded.texts}), err=True)
        sys.exit(1)
