"""foldgauge template: templates, bench cards and cutting files of one tutorial, without the site."""
from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import click

from generator.commands.sources import load_source, print_findings, sound_tutorial, source_at, texts_by_file
from generator.drawing.templates.cutting import Scoring
from generator.drawing.templates.page import PRINT_PAPERS, TemplateFace
from generator.files import NotWritten, write_files
from generator.tutorial.template_files import FACES, template_files
from generator.units import SYSTEMS, QuantityError, parse_length


@click.command()
@click.argument("file", metavar="FILE")
@click.option("--out", required=True, metavar="DIR",
              help="The folder to write to; it is made where it is missing.")
@click.option("--paper", type=click.Choice(PRINT_PAPERS), help="Only for this paper.")
@click.option("--edition", type=click.Choice(tuple(SYSTEMS)), help="Only of this edition.")
@click.option("--face", type=click.Choice([str(face) for face in TemplateFace]), help="Only this face.")
@click.option("--short", default="", metavar="LENGTH",
              help="In cutting files, end scores this far from an edge: 1 mm.")
@click.option("--dashes", default="", metavar="LENGTH",
              help="In cutting files, cut dashes this long for scores: 3 mm.")
def template(file: str, out: str, paper: str | None, edition: str | None, face: str | None, short: str,
             dashes: str) -> None:
    """Write the templates and bench cards (PDF) and the cutting files (SVG, DXF) of a tutorial.

    All, or none.
    """
    source = source_at(file)
    loaded = load_source(source)
    tutorial = sound_tutorial(source, loaded)
    scoring = Scoring(_option_mm(short, "--short"), _option_mm(dashes, "--dashes"))
    templates = template_files(replace(tutorial, slug=_file_stem(source)), (edition,) if edition else SYSTEMS,
                          (paper,) if paper else PRINT_PAPERS, (TemplateFace(face),) if face else FACES,
                          scoring)
    unprintable = (each for each in loaded.findings if each.code == "template-letters")
    print_findings((*unprintable, *templates.findings), texts_by_file(source, loaded))
    if templates.findings:
        sys.exit(1)
    try:
        write_files(Path(out), {each.name: each.data for each in templates.files})
    except NotWritten as trouble:
        raise click.UsageError(str(trouble)) from None
    for each in templates.files:
        click.echo(Path(out) / each.name)


def _file_stem(source: Path) -> str:
    """What the files are called by: an index.md by its folder, others by their own name."""
    return source.resolve().parent.name if source.name == "index.md" else source.stem


def _option_mm(text: str, option: str) -> float:
    """A length as it is typed, in mm; nothing for nothing."""
    try:
        return float(parse_length(text)) if text else 0.0
    except QuantityError as error:
        raise click.UsageError(f"{option}: {error}" + (f" ({error.hint})" if error.hint else "")) from None
