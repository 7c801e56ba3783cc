"""foldgauge fit: which families can hold a thing, in which lengths, and what a sheet gives of them."""
from __future__ import annotations

import json
import math
import sys
from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path

import click

from generator.commands.bench_settings import configured_benches
from generator.commands.new import new_target, title_of, write_new
from generator.dataclass import dataclass
from generator.findings import with_progress
from generator.language.source.front_matter_values import read_sheet
from generator.paper.sheet_layouts import STOCK_SHEETS, StockSheet
from generator.regauge.rewriting import typed_length
from generator.tutorial.contents_wish import ContentsWish, UnclearWish, read_wish
from generator.tutorial.families import family, family_names
from generator.tutorial.fit import CannotHold, fitted_source
from generator.tutorial.fit_verification import (
    EditionFigures,
    figures_of,
    grid_problems,
    problems_of,
    reread,
)
from generator.units import METRIC, SYSTEMS, Bench, QuantityError, parse_length

USUAL_SHEETS = {"mm": "a4", "in": "letter"}


@dataclass(frozen=True, slots=True)
class FamilyAnswer:
    """A family's figures by edition and its ``text``; or ``why_not``, with figures where there are any."""

    name: str
    help: str
    why_not: str = ""
    editions: tuple[EditionFigures, ...] = ()
    text: str = ""


@click.command()
@click.option("--holds", "words", required=True, metavar="THING",
              help="What goes in: '54 mm across, 70 mm high', '4 biscuits, 60 mm across, 9 mm high, "
                   "stacked'.")
@click.option("--slack", default="2 mm", show_default=True, metavar="LENGTH",
              help="How much room it has at least at every side and above.")
@click.option("--sheet", "sheet_name", metavar="SHEET",
              help="The sheet that is at hand; else A4 where THING is in millimetres, Letter where in "
                   "inches.")
@click.option("--most", "goal", flag_value="most", default=True,
              help="Most boxes a sheet first (as without).")
@click.option("--least-waste", "goal", flag_value="waste", help="Least waste of the sheet first.")
@click.option("--family", "names", multiple=True, type=click.Choice(family_names()),
              help="Look at this family only; may be given several times.")
@click.option("--edition", type=click.Choice((*SYSTEMS, "both")), default="both", show_default=True,
              help="Which edition's lengths are printed. Ranked is by that of THING where both are.")
@click.option("--json", "as_json", is_flag=True, help="Print for programs.")
@click.option("--write", "slug", metavar="SLUG", help="Start tutorials/SLUG/index.md from the first of them.")
@click.option("--in", "folder", default="tutorials", show_default=True, metavar="FOLDER",
              type=click.Path(path_type=Path), help="The folder that holds the tutorials.")
def fit(words: str, slack: str, sheet_name: str | None, goal: str, names: Sequence[str], edition: str,
        as_json: bool, slug: str | None, folder: Path) -> None:
    """Find boxes for a thing: which families hold it, in which lengths, and how many a sheet gives.

    Each box is folded and its inside measured within the paper; its lengths are the least that were found on
    the marks of the bench, and each answer is checked a second time, from its source alone. Exit 1 where no
    family can hold the thing.
    """
    wish, room = _wish(words), _slack(slack)
    sheet = _sheet(sheet_name or USUAL_SHEETS[wish.system])
    _refuse_impossible(wish, room, sheet)
    target = new_target(slug, folder) if slug is not None else None
    benches = configured_benches(folder)
    ranked_by = wish.system if edition == "both" else edition
    looked_at, systems = names or family_names(), (ranked_by, *(s for s in SYSTEMS if s != ranked_by))
    title = title_of(slug or "a-box")
    works = (_answer(name, wish, room, sheet, benches, title, systems) for name in looked_at)
    answers = _ranked([*with_progress(works, "fitting", looked_at, sys.stderr)], goal)
    shown = tuple(SYSTEMS) if edition == "both" else (edition,)
    if as_json:
        click.echo(json.dumps(_data(answers, wish, room, sheet, shown), ensure_ascii=False, indent=2))
    else:
        click.echo(_text(answers, wish, room, sheet, shown))
    if not answers[0].text:
        sys.exit(1)
    if target is not None:
        write_new(target, answers[0].text)
        click.echo(f"{target} is written, a {answers[0].name}. Check it with: foldgauge check {target}",
                   err=as_json)


def _wish(words: str) -> ContentsWish:
    try:
        return read_wish(words)
    except UnclearWish as wrong:
        raise click.UsageError(f"--holds: {wrong}") from None


def _slack(text: str) -> Fraction:
    if text.strip().startswith(("-", "−")):
        raise click.UsageError(
            f"--slack: {text} would make the box smaller than what goes in; write 0 mm or more")
    try:
        return Fraction(parse_length(text).value)
    except QuantityError as error:
        raise click.UsageError(f"--slack: {error}" + (f" ({error.hint})" if error.hint else "")) from None


def _sheet(text: str) -> StockSheet:
    try:
        return read_sheet(text)
    except QuantityError as error:
        raise click.UsageError(f"--sheet: {error}" + (f" ({error.hint})" if error.hint else "")) from None


def _refuse_impossible(wish: ContentsWish, slack: Fraction, sheet: StockSheet) -> None:
    """A wall or floor as long as the thing lies on the sheet: nothing is longer than its diagonal."""
    wide, deep, high = (float(mm) for mm in wish.room.enlarged(slack, slack).sides)
    if max(wide, deep, high) <= _diagonal(sheet):
        return
    larger = [name for name, each in STOCK_SHEETS.items() if max(wide, deep, high) <= _diagonal(each)]
    raise click.UsageError(
        f"what goes in, {wish.room.text(wish.system)}, is with its slack longer than any line on a sheet of "
        f"{sheet.title}; " + (f"name a larger one, such as {larger[0]}" if larger
                              else "no sheet of the list is as large"))


def _diagonal(sheet: StockSheet) -> float:
    return math.hypot(float(sheet.width.value), float(sheet.height.value))


# -- the answers -----------------------------------------------------------------

def _answer(name: str, wish: ContentsWish, slack: Fraction, sheet: StockSheet, benches: Mapping[str, Bench],
            title: str, systems: Sequence[str]) -> FamilyAnswer:
    """One family, worked out and checked again from its source."""
    chosen = family(name)
    try:
        text = fitted_source(chosen, wish, slack, benches, title, f"{name}.md")
    except CannotHold as wrong:
        return FamilyAnswer(name, chosen.help, str(wrong))
    tutorial, wrong_source = reread(text, f"{name}.md", benches)
    if tutorial is None:
        return FamilyAnswer(name, chosen.help, f"its source would not build: {wrong_source}")
    figures = tuple(figures_of(tutorial, system, sheet) for system in systems)
    problems = [*grid_problems(tutorial), *(each for one in figures for each in problems_of(
        tutorial, one.system, wish.room, slack, sheet, one.boxes))]
    if problems:
        return FamilyAnswer(name, chosen.help, "the second check of its source fails: " + "; ".join(problems),
                            figures)
    if not figures[0].boxes:
        return FamilyAnswer(name, chosen.help,
                            f"its smallest box found takes {' and '.join(figures[0].blanks)}: more than a "
                            f"sheet of {sheet.title} gives", figures)
    return FamilyAnswer(name, chosen.help, "", figures, text)


def _ranked(answers: Sequence[FamilyAnswer], goal: str) -> list[FamilyAnswer]:
    """Those that can hold the thing first: by boxes a sheet, or by waste, then by the other."""
    def key(answer: FamilyAnswer) -> tuple[object, ...]:
        if not answer.text:
            return True, answer.name
        first = answer.editions[0]
        order = (-first.boxes, first.waste) if goal == "most" else (first.waste, -first.boxes)
        return False, *order, answer.name
    return sorted(answers, key=key)


# -- what is printed -------------------------------------------------------------

def _text(answers: Sequence[FamilyAnswer], wish: ContentsWish, slack: Fraction, sheet: StockSheet,
          systems: Sequence[str]) -> str:
    able = [each for each in answers if each.text]
    thing = f"{wish.count} {wish.what}, {wish.arranged}, together " if wish.count > 1 else (
        f"{wish.what}, " if wish.what else "")
    rows = [f"For {thing}{wish.room.text(wish.system)}, with "
            f"{typed_length(slack, _slack_system(slack, wish))} "
            f"of room at every side and above; on a sheet of {sheet.title}:", ""]
    for place, answer in enumerate(able, 1):
        rows.append(f"{place}. {answer.name}: {answer.help}")
        for one in sorted(answer.editions, key=lambda each: systems.index(each.system)
                          if each.system in systems else 9):
            if one.system in systems:
                rows += _edition_rows(one)
        rows.append("")
    if not able:
        rows += ["No family can hold it.", ""]
    refused = [each for each in answers if not each.text]
    if refused:
        rows += ["Not these:", *(f"   {each.name}: {each.why_not}" for each in refused), ""]
    if able:
        rows.append(
            "Each was folded and measured within its paper, and checked again from its source; waste is "
                    "what of the sheet lies outside all blanks.")
    return "\n".join(rows).rstrip()


def _edition_rows(one: EditionFigures) -> list[str]:
    lengths = ", ".join(f"{name} {typed_length(mm, one.system)}" for name, mm in one.lengths.items())
    given = f"{one.boxes} a sheet, {round(100 * one.waste)} % waste" if one.boxes else (
        f"none comes out of {one.sheet.title}")
    return [f"   {SYSTEMS[one.system].edition}: {given}; "
            f"finished {one.finished}, inside {one.inside}",
            f"      {lengths}", f"      blanks: {'; '.join(one.blanks)}"]


def _slack_system(slack: Fraction, wish: ContentsWish) -> str:
    return wish.system if not slack % (SYSTEMS[wish.system].finest) else METRIC.code


def _data(answers: Sequence[FamilyAnswer], wish: ContentsWish, slack: Fraction, sheet: StockSheet,
          systems: Sequence[str]) -> dict[str, object]:
    return {
        "holds": {"what": wish.what, "count": wish.count, "arranged": wish.arranged,
                  "room_mm": [float(mm) for mm in wish.room.sides]},
        "slack_mm": float(slack), "sheet": sheet.title,
        "families": [{
            "name": each.name, "holds": bool(each.text), "why_not": each.why_not,
            "editions": {one.system: {
                "lengths": {name: typed_length(mm, one.system) for name, mm in one.lengths.items()},
                "boxes": one.boxes, "waste_percent": round(100 * one.waste, 1), "finished": one.finished,
                "inside": one.inside, "blanks": list(one.blanks)}
                for one in each.editions if one.system in systems}} for each in answers]}
