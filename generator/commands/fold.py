"""foldgauge fold: whether the net becomes the box, in plain words first."""
from __future__ import annotations

import sys
from pathlib import Path

import click

from generator.commands.sources import load_source, source_at
from generator.findings import has_errors, render_all
from generator.folding import Folded, obj_text
from generator.tutorial.editions import SYSTEM_WORDS
from generator.tutorial.folded import folded


@click.command()
@click.argument("file", metavar="FILE")
@click.option("--obj", "out", metavar="OUT", type=click.Path(path_type=Path), help="Write the folded mesh of the drawn edition, in mm.")
def fold(file: str, out: Path | None) -> None:
    """Fold a tutorial's plans and say whether they close, edition by edition."""
    source: Path = source_at(file)
    loaded = load_source(source)
    if loaded.findings:
        click.echo(render_all(loaded.findings, {str(source): loaded.source}), err=True)
    if loaded.tutorial is None:
        sys.exit(1)
    drawn = loaded.tutorial.drawn_in
    done = folded(loaded.tutorial.plans)
    for system in sorted(done, key=lambda s: s != drawn):
        click.echo(report(SYSTEM_WORDS[system], done[system]))
    if out is not None:
        _write(out, obj_text(done[drawn]))
    if any(has_errors(each.findings) for each in done.values()):
        sys.exit(1)


def report(edition: str, done: Folded) -> str:
    """One edition in plain words: what closes first, then the figures."""
    if not done.pieces:
        return f"The {edition} edition: nothing is folded"
    return "\n".join([f"The {edition} edition:", *(f"  {fact}" for fact in done.facts)])


def _write(out: Path, text: str) -> None:
    try:
        out.write_text(text, encoding="utf-8")
    except OSError as error:
        raise click.UsageError(f"{out} cannot be written: {(error.strerror or str(error)).lower()}") from None
    click.echo(f"{out}: the folded mesh, in millimetres")
