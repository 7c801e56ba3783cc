"""foldgauge measures and shelf: what sources come to, as tables."""
from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from generator.commands.sources import (
    load_source,
    print_findings,
    sound_tutorial,
    source_at,
    texts_by_file,
)
from generator.tutorial.measures import conversion_rows, conversion_table, measures_data, measures_table
from generator.tutorial.shelf_table import as_markdown, shelf_row


@click.command()
@click.argument("file", metavar="FILE")
@click.option("--json", "as_json", is_flag=True, help="Print for machines, findings included.")
@click.option("--drawn", is_flag=True,
              help="What was drawn, its exact conversion, and what is published in its place.")
def measures(file: str, as_json: bool, drawn: bool) -> None:
    """Print every measure of a tutorial in both editions."""
    source = source_at(file)
    loaded = load_source(source)
    if as_json:
        data = measures_data(loaded)
        if drawn and loaded.tutorial is not None:
            data["conversions"] = conversion_rows(loaded.tutorial)
        click.echo(json.dumps(data, ensure_ascii=False, indent=2))
    tutorial = sound_tutorial(source, loaded)
    if not as_json:
        click.echo(conversion_table(tutorial) if drawn else measures_table(tutorial))


@click.command()
@click.argument("folder", metavar="FOLDER", default="tutorials",
                type=click.Path(exists=True, file_okay=False, path_type=Path))
def shelf(folder: Path) -> None:
    """Print a table (Markdown) of a folder's tutorials.

    Pieces, marks, template pages, boxes a sheet gives.
    """
    rows, unsound = [], False
    for source in sorted(folder.glob("*/index.md")):
        loaded = load_source(source)
        if loaded.tutorial is None:
            unsound = True
            print_findings(loaded.findings, texts_by_file(source, loaded))
        else:
            rows.append(shelf_row(loaded.tutorial))
    if not rows and not unsound:
        raise click.UsageError(f"there is no tutorial in {folder}")
    click.echo(as_markdown(rows), nl=False)
    if unsound:
        sys.exit(1)
