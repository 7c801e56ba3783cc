"""foldgauge regauge: choose the other edition's values so that every mark lies on its tool."""
from __future__ import annotations

import json
import sys
from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path

import click

from generator.commands.bench_settings import configured_benches
from generator.commands.regauge_folder import regauge_folder
from generator.commands.sources import display_path, exit_with_findings, sources_in
from generator.files import error_reason
from generator.language.parts import site_parts
from generator.language.source.front_matter_models import read_share
from generator.language.source.front_matter_values import read_sheet
from generator.regauge import (
    PREFERENCES,
    DrawnEdition,
    EvaluatedChoice,
    RegaugeOptions,
    RegaugeResult,
    WantedYield,
    explanation_text,
    find_lengths,
    read_drawn_edition,
    report_text,
    result_data,
)
from generator.tutorial.edition_writer import WriteRefused, replace_source, updated_source
from generator.tutorial.folded_editions import check_folded
from generator.units import SYSTEMS, Bench, QuantityError, parse_length, unit_of

MAX_SETS = 1000


@click.command()
@click.argument("file", metavar="FILE_OR_FOLDER")
@click.option("--to", type=click.Choice(tuple(SYSTEMS)),
              help="The system to regauge to: the one the design was not drawn in.")
@click.option("--keep", multiple=True, metavar="NAME=VALUE",
              help="A length that has its value already, such as panel='1 3/4 in'.")
@click.option("--within", metavar="PERCENT", help="How far a length may lie from the drawn one (8).")
@click.option("--yield", "yields", multiple=True, metavar="SHEET=N",
              help="So many sets of blanks from one sheet, such as letter=1.")
@click.option("--prefer", type=click.Choice(PREFERENCES), default=PREFERENCES[0], show_default=True,
              help="Close to the drawing, or friendly fractions first.")
@click.option("--bench", "tried", multiple=True, metavar="TOOL=STEP",
              help="Try other marks of a tool than mkdocs.yml says, such as board='1/4 in'.")
@click.option("--explain", is_flag=True, help="Print what the answer rests on, too.")
@click.option("--write", is_flag=True, help="Put the first choice into the source.")
@click.option("--json", "as_json", is_flag=True, help="Print for machines, with the certificate.")
def regauge(file: str, to: str | None, keep: Sequence[str], within: str | None, yields: Sequence[str],
            prefer: str, tried: Sequence[str], explain: bool, write: bool, as_json: bool) -> None:
    """Choose the lengths of the other edition: all marks on their tools, all sums exact, as close as can be.

    Of a folder of tutorials, such as after a change of the bench: which fit as they are, which would with
    what, which do not; --write puts that into all of them or into none. Exit 0 when something fits, 1 when
    nothing does or the source is not sound, 2 for a wrong use.
    """
    sources = sources_in([file])
    benches = configured_benches(sources[0].parent, _tried_marks(tried))
    if write and tried:
        raise click.UsageError(
            "put the bench into mkdocs.yml before you write for it: the build judges by that")
    if len(sources) > 1:
        if keep or yields or explain or to:
            raise click.UsageError("--to, --keep, --yield and --explain are for one tutorial")
        regauge_folder(sources, benches, RegaugeOptions(within=_tolerance_share(within), prefer=prefer),
                       write,
                       as_json)
        return
    source = sources[0]
    before = _source_bytes(source)
    drawn = _drawn_edition(source, before)
    if to == drawn.front.drawn_in:
        raise click.UsageError(f"this design is drawn in {SYSTEMS[to].plural} already; it is regauged to "
                               f"{SYSTEMS[drawn.front.other].plural}")
    options = RegaugeOptions(_kept_lengths(keep, drawn), _tolerance_share(within),
                          tuple(_wanted_yield(each, drawn) for each in yields), prefer)
    result = find_lengths(drawn, benches, check_folded, options)
    _print_result(result, str(source), explain, as_json)
    if result.best is None:
        sys.exit(1)
    if write:
        _write_edition(source, before, result, result.best, benches, quiet=as_json)


def _tried_marks(given: Sequence[str]) -> Mapping[str, Mapping[str, str]]:
    """By system the settings of tools that are tried."""
    found: dict[str, dict[str, str]] = {}
    for each in given:
        name, sign, text = (part.strip() for part in each.partition("="))
        try:
            found.setdefault(unit_of(text), {})[name] = text
        except QuantityError as error:
            raise click.UsageError(f"--bench {each}: {_error_text(error)}") from None
        if not sign:
            raise click.UsageError(f"--bench {each}: write TOOL=STEP, such as board='1/4 in'")
    return found


def _source_bytes(source: Path) -> bytes:
    try:
        return source.read_bytes()
    except (OSError, ValueError) as error:
        click.echo(f"{source} cannot be read: {error_reason(error)}",
                   err=True)
        sys.exit(1)


def _drawn_edition(source: Path, before: bytes) -> DrawnEdition:
    try:
        text = before.decode("utf-8")
    except UnicodeDecodeError:
        click.echo(f"{source} is not UTF-8 text; save it again with the encoding UTF-8", err=True)
        sys.exit(1)
    parts, findings = site_parts(source)
    drawn, findings = (None, findings) if findings else read_drawn_edition(text, display_path(source), parts)
    if drawn is None:
        exit_with_findings(
            "the design has to be sound as it is drawn, before its other edition can be chosen",
                           findings, _text_by_file(source, text))
    if not drawn.front.lengths[drawn.front.drawn_in].keys() - drawn.front.tools:
        click.echo(f"{source} names no lengths, so there is nothing to choose", err=True)
        sys.exit(1)
    return drawn


def _text_by_file(source: Path, text: str) -> dict[str, str]:
    return {display_path(source): text.replace("\r\n", "\n")}


# -- what is asked -----------------------------------------------------------------

def _kept_lengths(given: Sequence[str], drawn: DrawnEdition) -> dict[str, Fraction]:
    names = [n for n in drawn.front.lengths[drawn.front.drawn_in] if n not in drawn.front.tools]
    kept: dict[str, Fraction] = {}
    for each in given:
        name, sign, text = (part.strip() for part in each.partition("="))
        if not sign:
            raise click.UsageError(f"--keep {each}: write NAME=VALUE, such as {names[0]}='1 1/4 in'")
        if name not in names:
            known = ("a size of a tool, which has both its values already" if name in drawn.front.tools
                     else "no length of this design")
            raise click.UsageError(f"--keep {each}: '{name}' is {known}; its lengths are {', '.join(names)}")
        value = _kept_length(each, text, drawn.front.other)
        if kept.setdefault(name, value) != value:
            raise click.UsageError(f"--keep {each}: '{name}' is to be kept at another value already")
    return kept


def _kept_length(given: str, text: str, system: str) -> Fraction:
    try:
        if unit_of(text) != system:
            raise click.UsageError(
                f"--keep {given}: write it in {SYSTEMS[system].plural}, the system that is chosen for")
        return Fraction(parse_length(text).value)
    except QuantityError as error:
        raise click.UsageError(f"--keep {given}: {_error_text(error)}") from None


def _tolerance_share(text: str | None) -> Fraction | None:
    try:
        return read_share(text) if text is not None else None
    except QuantityError as error:
        raise click.UsageError(f"--within {text}: {_error_text(error)}") from None


def _wanted_yield(given: str, drawn: DrawnEdition) -> WantedYield:
    """A sheet and a number; a sheet that the source lists goes with its selvedge."""
    name, sign, number = (part.strip() for part in given.rpartition("="))
    if not sign or not number.isdecimal() or not 1 <= int(number) <= MAX_SETS:
        raise click.UsageError(
            f"--yield {given}: write SHEET=N, such as letter=1, with N from 1 to {MAX_SETS}")
    try:
        sheet = read_sheet(name)
    except QuantityError as error:
        raise click.UsageError(f"--yield {given}: {_error_text(error)}") from None
    own = (each for each in drawn.front.sheets if (each.width, each.height) == (sheet.width, sheet.height))
    return WantedYield(next(own, sheet), int(number))


def _error_text(error: QuantityError) -> str:
    return f"{error}" + (f"; {error.hint}" if error.hint else "")


# -- what comes out ------------------------------------------------------------------

def _print_result(result: RegaugeResult, source: str, explain: bool, as_json: bool) -> None:
    if as_json:
        click.echo(json.dumps(result_data(result, source), ensure_ascii=False, indent=2))
        return
    click.echo(report_text(result))
    if explain:
        click.echo("\n" + explanation_text(result))


def _write_edition(source: Path, before: bytes, result: RegaugeResult, best: EvaluatedChoice,
                   benches: Mapping[str, Bench], quiet: bool) -> None:
    try:
        text = updated_source(before, str(source), result.problem, best.values, result.options.within,
                              benches)
        replace_source(source, before, text)
    except WriteRefused as refused:
        exit_with_findings(f"{source}: {refused}", refused.findings,
                           _text_by_file(source, before.decode("utf-8")))
    except OSError as error:
        click.echo(f"{source} cannot be written: {error_reason(error)}", err=True)
        sys.exit(1)
    if not quiet:
        click.echo(f"\n{source}: the edition in {SYSTEMS[result.problem.target].plural} now says choice 1")
