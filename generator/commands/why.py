"""foldgauge why: the chain behind a number."""
from __future__ import annotations

import sys
from functools import partial
from pathlib import Path

import click

from generator.commands.sources import kept_answer, load_source, print_findings, sound_tutorial, source_at


@click.command()
@click.argument("file", metavar="FILE")
@click.argument("name", metavar="NAME")
def why(file: str, name: str) -> None:
    """Print the chain of a NAME: number, expression, named lengths, lines of the source."""
    source = source_at(file)
    click.echo(kept_answer(source, f"why {name}", partial(_derivation, source, name)))


def _derivation(source: Path, name: str) -> str:
    """The chain; where there is none, say why and exit with 1."""
    from generator.tutorial.derivation import derivation_text
    # names are made before anything is folded
    text, findings = derivation_text(sound_tutorial(source, load_source(source, folds=False)), name)
    if findings:
        print_findings(findings, {})      # the name was typed here, so no line of the source is to blame
        sys.exit(1)
    return text
