"""foldgauge fold: whether the net becomes the box, in plain words first."""
from __future__ import annotations

from pathlib import Path

import click

from generator.commands.sources import load_source, print_findings, sound_tutorial, source_at, texts_by_file
from generator.files import error_reason, replace_file
from generator.folding import obj_text
from generator.tutorial import Tutorial
from generator.tutorial.facts import box_facts, finished_sizes
from generator.tutorial.prose_evaluation import plain_text
from generator.tutorial.traced_curves import DomeCurve, dome_curves
from generator.units import SYSTEMS, Quantity, as_text, display_measure


@click.command()
@click.argument("file", metavar="FILE")
@click.option("--obj", "out", metavar="OUT", type=click.Path(path_type=Path),
              help="Write the folded mesh of the drawn edition, in mm.")
@click.option("--curves", is_flag=True, help="Say which circles and ovals the curves of a gathered top "
                                             "may be traced with, and how high each dome stands.")
def fold(file: str, out: Path | None, curves: bool) -> None:
    """Fold a tutorial's plans and say whether they close, edition by edition."""
    source = source_at(file)
    loaded = load_source(source)
    tutorial = sound_tutorial(source, loaded)
    print_findings(loaded.findings, texts_by_file(source, loaded))
    for system in (tutorial.drawn_in, tutorial.other):
        click.echo(edition_report(tutorial, system))
        if curves:
            click.echo("\n".join(f"    {line}" for line in tracing_lines(tutorial, system)))
    if out is not None:
        _write_mesh(out, obj_text(tutorial.folds[tutorial.drawn_in]))


def edition_report(tutorial: Tutorial, system: str) -> str:
    """One edition: in plain words whether it closes, then the figures in the words of the page."""
    edition, done = SYSTEMS[system].edition, tutorial.folds[system]
    if not done.pieces:
        return f"The {edition} edition: nothing is folded"
    figures = (*finished_sizes(tutorial.folds), *box_facts(tutorial.front, tutorial.plans, tutorial.folds))
    return "\n".join([f"The {edition} edition:", *(f"  {fact}" for fact in done.facts),
                      *(f"    {fact.label}: {plain_text(fact.value, system)}" for fact in figures)])


def tracing_lines(tutorial: Tutorial, system: str) -> list[str]:
    """A line for each circle and oval that closes, the least stretched first."""
    found = [f"  {_curve_label(each, system)}: the dome stands {_size_text(each.height, system)}"
             for each in dome_curves(tutorial, system) if each.height is not None]
    if not found:
        return ["no circle or oval: it has no gathered top with curves, or none of the set closes it"]
    return ["its curves may be traced with", *found]


def _curve_label(each: DomeCurve, system: str) -> str:
    sides = [_size_text(side, system) for side in each.sides]
    name = (f"an oval {sides[0]} by {sides[1]}, its long side {each.alignment} the line" if len(sides) == 2
            else f"a circle {sides[0]} across")
    return name + (" (one of your own)" if each.own else "")


def _size_text(size: Quantity, system: str) -> str:
    return as_text(display_measure(size, system))


def _write_mesh(out: Path, text: str) -> None:
    try:
        replace_file(out, text.encode("utf-8"))
    except OSError as error:
        raise click.UsageError(f"{out} cannot be written: {error_reason(error)}") from None
    click.echo(f"{out}: the folded mesh, in millimetres")
