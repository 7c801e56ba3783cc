"""foldgauge shelf: what all tutorials of a folder come to, as a table."""
from __future__ import annotations

import sys
from pathlib import Path

import click

from generator.commands.sources import display_path, load_source
from generator.findings import render_all
from generator.tutorial.shelf_table import as_markdown, shelf_row


@click.command()
@click.argument("folder", metavar="FOLDER", default="tutorials", type=click.Path(exists=True, file_okay=False, path_type=Path))
def shelf(folder: Path) -> None:
    """Print a table (Markdown) of all tutorials in a folder: pieces, marks, template pages, boxes a sheet gives."""
    rows, wrong = [], False
    for source in sorted(folder.glob("*/index.md")):
        loaded = load_source(source)
        if loaded.tutorial is None:
            wrong = True
            click.echo(render_all(loaded.findings, {display_path(source): loaded.source, **loaded.texts}), err=True)
        else:
            rows.append(shelf_row(loaded.tutorial))
    if not rows and not wrong:
        raise click.UsageError(f"there is no tutorial in {folder}")
    click.echo(as_markdown(rows), nl=False)
    if wrong:
        sys.exit(1)
