"""foldgauge kit: sheets, cuts, supplies and bags for an evening of boxes."""
from __future__ import annotations

import json
import math
import re
import sys
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import click

from generator.commands.bench_settings import site_folder
from generator.commands.kit_costs import Prices, cost_data, cost_lines
from generator.commands.kit_pdf import kit_pdf
from generator.commands.kit_report import kit_data, kit_text
from generator.commands.sources import (
    is_folder,
    load_source,
    print_findings,
    sound_tutorial,
    source_at,
    texts_by_file,
)
from generator.files import NotWritten, write_files
from generator.findings import has_errors
from generator.language.source.front_matter_values import read_sheet
from generator.paper.sheet_layouts import StockSheet
from generator.tutorial import Tutorial
from generator.tutorial.kit import KitOrder, kit_of
from generator.units import SYSTEMS, QuantityError

MAX_BOXES = 500
_SPARE = re.compile(r"(\d{1,3}(?:\.\d{1,2})?)\s*%")


@click.command()
@click.argument("orders", metavar="SLUG[=N]...", nargs=-1, required=True)
@click.option("--edition", type=click.Choice(tuple(SYSTEMS)),
              help="Which edition; else the one that was drawn.")
@click.option("--sheet", "sheets", multiple=True, metavar="SHEET",
              help="A sheet at hand (a4, 12x12 in), the first that will do is taken; else those listed.")
@click.option("--stop-after", "stops", multiple=True, metavar="[SLUG=]STEP",
              help="Make the boxes up to the end of this step beforehand: its number or its title.")
@click.option("--spare", default="0%", metavar="PERCENT", help="Cut so many boxes more: 10%.")
@click.option("--left", default=0, metavar="N", type=click.IntRange(0),
              help="So many people are left-handed.")
@click.option("--pdf", "pdf_file", default="", metavar="FILE",
              help="Write lists, labels for the bags and a hand-out in large print.")
@click.option("--costs", default="", metavar="FILE",
              help="Prices (YAML), from a file outside of the tutorials: printed here and nowhere else.")
@click.option("--json", "as_json", is_flag=True, help="Print for programs, findings included.")
def kit(orders: tuple[str, ...], edition: str | None, sheets: tuple[str, ...], stops: tuple[str, ...],
        spare: str, left: int, pdf_file: str, costs: str, as_json: bool) -> None:
    """Work out what an evening of boxes takes: sheets, cuts by setting of the fence, supplies, bags.

    SLUG is a tutorial or its file, N how many boxes of it (one without). Exit 1 where a source is not sound,
    or a blank comes out of no sheet.
    """
    share, texts, prices = _spare_share(spare), {}, Prices(Path(costs)) if costs else None
    made: list[tuple[Tutorial, int]] = []
    for slug, boxes in map(_order, orders):
        source = _source_of(slug)
        loaded = load_source(source)
        tutorial = sound_tutorial(source, loaded)
        if any(tutorial.file == each.file for each, _ in made):
            raise click.UsageError(f"{slug} is asked for twice; add the boxes up: {slug}=N")
        if any(tutorial.slug == each.slug for each, _ in made):
            raise click.UsageError(f"two tutorials are called {tutorial.slug}; make a kit of each")
        made.append((tutorial, boxes))
        if pdf_file:
            print_findings((each for each in loaded.findings if each.code == "template-letters"),
                           texts_by_file(source, loaded))
        texts[tutorial.file] = loaded.source
    system = edition or made[0][0].drawn_in
    given = _stops(stops, [tutorial for tutorial, _ in made])
    worked = kit_of([KitOrder(tutorial, boxes, boxes + math.ceil(boxes * share), given.get(tutorial.slug, 0))
                     for tutorial, boxes in made], system, [*map(_sheet, sheets)], left)
    if left > worked.bags:
        raise click.UsageError(f"--left: {left} people are left-handed, and there are {worked.bags} bags")
    if as_json:
        priced = {"costs": cost_data(worked, prices)} if prices is not None else {}
        click.echo(json.dumps(kit_data(worked) | priced, ensure_ascii=False, indent=2))
    print_findings(() if as_json else worked.findings, texts)
    if has_errors(worked.findings):
        sys.exit(1)
    if pdf_file:
        _write(Path(pdf_file), kit_pdf(worked))
    if not as_json:
        click.echo(kit_text(worked))
        if prices is not None:
            click.echo("\n".join(("", "Costs", *cost_lines(worked, prices))))


def _write(path: Path, data: bytes) -> None:
    try:
        write_files(path.parent, {path.name: data})
    except NotWritten as trouble:
        raise click.UsageError(str(trouble)) from None


def _order(text: str) -> tuple[str, int]:
    slug, equals, count = text.rpartition("=")
    if not equals:
        return text, 1
    if not re.fullmatch(r"[0-9]{1,6}", count) or not 1 <= int(count) <= MAX_BOXES:
        raise click.UsageError(f"{text}: “{count}” is no number of boxes; "
                               f"write {slug}=12, {MAX_BOXES} at most")
    return slug, int(count)


def _source_of(slug: str) -> Path:
    """The source of a tutorial that is named by its path, or by its slug in the site's folder."""
    site = site_folder(Path.cwd())
    if site is not None and re.fullmatch(r"[\w-]+", slug) and not is_folder(Path(slug)):
        found = site.path / slug
        if is_folder(found):
            here = Path.cwd()
            return source_at(str(found.relative_to(here) if found.is_relative_to(here) else found))
    return source_at(slug)


def _sheet(text: str) -> StockSheet:
    try:
        return read_sheet(text)
    except QuantityError as error:
        raise click.UsageError(f"--sheet: {error}" + (f" ({error.hint})" if error.hint else "")) from None


def _spare_share(text: str) -> Fraction:
    found = _SPARE.fullmatch(text.strip())
    if found is None or Fraction(found[1]) > 100:
        raise click.UsageError(f"--spare: “{text}” is no share of the boxes; write 10%, 100% at most")
    return Fraction(found[1]) / 100


def _stops(texts: Sequence[str], tutorials: Sequence[Tutorial]) -> dict[str, int]:
    """By slug the number of the step after which work stops."""
    found: dict[str, int] = {}
    slugs = {tutorial.slug for tutorial in tutorials}
    for text in texts:
        slug, equals, step = text.partition("=")
        named = bool(equals) and slug in slugs
        for tutorial in tutorials:
            if not named or tutorial.slug == slug:
                found[tutorial.slug] = _step_number(tutorial, step if named else text)
    return found


def _step_number(tutorial: Tutorial, text: str) -> int:
    wanted = text.strip().casefold()
    for step in tutorial.steps:
        if wanted in (str(step.number), step.title.casefold()):
            return step.number
    titles = "; ".join(f"{step.number} {step.title}" for step in tutorial.steps)
    raise click.UsageError(f"--stop-after: {tutorial.slug} has no step “{text}”; its steps are {titles}")
