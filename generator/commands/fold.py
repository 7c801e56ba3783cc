"""foldgauge fold: whether the net becomes the box, in plain words first."""
from __future__ import annotations

import sys
from pathlib import Path

import click

from generator.commands.sources import load_source, source_at
from generator.findings import render_all
from generator.folding import obj_text
from generator.tutorial import Tutorial
from generator.tutorial.box_facts import box_facts, finished_sizes
from generator.tutorial.editions import SYSTEM_WORDS
from generator.tutorial.prose_values import plain
from generator.tutorial.traced_curves import DomeCurve, dome_curves
from generator.units import Quantity, as_text, word


@click.command()
@click.argument("file", metavar="FILE")
@click.option("--obj", "out", metavar="OUT", type=click.Path(path_type=Path), help="Write the folded mesh of the drawn edition, in mm.")
@click.option("--curves", is_flag=True, help="Say which circles and ovals the curves of a gathered top may be traced with, and how high each dome stands.")
def fold(file: str, out: Path | None, curves: bool) -> None:
    """Fold a tutorial's plans and say whether they close, edition by edition."""
    source: Path = source_at(file)
    loaded = load_source(source)
    if loaded.findings:
        click.echo(render_all(loaded.findings, {str(source): loaded.source, **loaded.texts}), err=True)
    if loaded.tutorial is None:
        sys.exit(1)
    tutorial = loaded.tutorial
    for system in (tutorial.drawn_in, tutorial.other):
        click.echo(report(tutorial, system))
        if curves:
            click.echo("\n".join(f"    {line}" for line in traced_with(tutorial, system)))
    if out is not None:
        _write(out, obj_text(tutorial.folds[tutorial.drawn_in]))


def report(tutorial: Tutorial, system: str) -> str:
    """One edition: in plain words whether it closes, then the figures in the words of the page."""
    edition, done = SYSTEM_WORDS[system], tutorial.folds[system]
    if not done.pieces:
        return f"The {edition} edition: nothing is folded"
    figures = (*finished_sizes(tutorial.folds), *box_facts(tutorial.front, tutorial.plans, tutorial.folds))
    return "\n".join([f"The {edition} edition:", *(f"  {fact}" for fact in done.facts),
                      *(f"    {fact.label}: {plain(fact.value, system)}" for fact in figures)])


def traced_with(tutorial: Tutorial, system: str) -> list[str]:
    """A line for each circle and oval that closes, the least stretched first."""
    found = [each for each in dome_curves(tutorial, system) if each.height is not None]
    if not found:
        return ["no circle or oval: it has no gathered top with curves, or none of the set closes it"]
    return ["its curves may be traced with", *(f"  {_named(each, system)}: the dome stands {_said(each.height, system)}" for each in found)]


def _named(each: DomeCurve, system: str) -> str:
    sides = [_said(side, system) for side in each.sides]
    name = f"an oval {sides[0]} by {sides[1]}, its long side {each.lies} the line" if len(sides) == 2 else f"a circle {sides[0]} across"
    return name + (" (one of your own)" if each.own else "")


def _said(size: Quantity, system: str) -> str:
    return as_text(word(size, system))


def _write(out: Path, text: str) -> None:
    try:
        out.write_text(text, encoding="utf-8")
    except OSError as error:
        raise click.UsageError(f"{out} cannot be written: {(error.strerror or str(error)).lower()}") from None
    click.echo(f"{out}: the folded mesh, in millimetres")
