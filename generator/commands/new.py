"""foldgauge new: a commented first source that builds, or one of a family in the author's dimensions."""
from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from importlib.resources import files
from pathlib import Path

import click

from generator.commands.bench_settings import configured_benches
from generator.commands.sources import exit_with_findings, is_readable_file, print_findings
from generator.files import create_file, error_reason
from generator.language.source.portable_names import MAX_SLUG_LENGTH, folder_name_fault
from generator.tutorial.families import (
    Family,
    UnsuitableDimensions,
    dimension,
    family,
    family_names,
    new_source,
)
from generator.units import METRIC, SYSTEMS, Quantity

SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


@click.command()
@click.argument("slug", metavar="SLUG")
@click.option("--in", "folder", default="tutorials", show_default=True, metavar="FOLDER",
              type=click.Path(path_type=Path),
              help="The folder that holds the tutorials.")
@click.option("--family", "name", type=click.Choice(family_names()), help="Start from a box of this family.")
@click.option("--drawn-in", "system", type=click.Choice(tuple(SYSTEMS)),
              help="The system the dimensions are given in (mm).")
@click.option("--set", "given", multiple=True, metavar="NAME=VALUE",
              help="A dimension, such as wall=60mm. Without any, they are asked for.")
def new(slug: str, folder: Path, name: str | None, system: str | None, given: Sequence[str]) -> None:
    """Write a first source into tutorials/SLUG/index.md, with comments. Nothing that is there is overwritten.

    With --family the source is that of a whole box: its dimensions are asked
    for in the system it is drawn in, and the lengths of the other edition are
    chosen so that every mark lies on its tool.
    """
    if name is None and (system or given):
        raise click.UsageError("--drawn-in and --set go with a --family")
    target, title = new_target(slug, folder), title_of(slug)
    if name is None:
        text = files("generator.commands").joinpath("first.md").read_text(encoding="utf-8").replace(
            "TITLE", title)
    else:
        text = _family_source(family(name), title, system or METRIC.code, given, target)
    write_new(target, text)
    click.echo(f"{target} is written. Check it with: foldgauge check {target}")


def new_target(slug: str, folder: Path) -> Path:
    """The file of a tutorial that is to be started. Raises click.UsageError where it cannot be, or is."""
    if not SLUG.fullmatch(slug) or len(slug) > MAX_SLUG_LENGTH:
        raise click.UsageError(
            f"'{slug}' cannot be part of an address: use small letters, digits and hyphens, "
                               f"{MAX_SLUG_LENGTH} at most, for example tea-tin")
    if fault := folder_name_fault(slug):
        raise click.UsageError(f"'{slug}' {fault}: give it another name")
    target = folder / slug / "index.md"
    if is_readable_file(target):
        raise _already_there(target)
    return target


def title_of(slug: str) -> str:
    """The title that a tutorial begins with."""
    return slug.replace("-", " ").capitalize()


# -- a family ------------------------------------------------------------------------

def _family_source(chosen: Family, title: str, system: str, given: Sequence[str], target: Path) -> str:
    """The source in the dimensions that are given or asked for.

    Exits with 1 where no sound box comes of them.
    """
    benches = configured_benches(target.parent)
    dimensions = _set_dimensions(chosen, system, given) if given else _prompted_dimensions(chosen, system)
    shown = click.format_filename(target)
    try:
        started = new_source(chosen, title, system, dimensions, benches, shown)
    except UnsuitableDimensions as wrong:
        message = str(wrong) if "\n" in str(wrong) else f"{wrong}; nothing was written"
        exit_with_findings(message, wrong.findings, {shown: wrong.text})
    if started.findings:
        print_findings(started.findings, {shown: started.text})
        click.echo(err=True)
    return started.text


def _set_dimensions(chosen: Family, system: str, given: Sequence[str]) -> Mapping[str, int | Quantity]:
    """The dimensions of ``--set``; those that are not set stay as the family has them."""
    found: dict[str, int | Quantity] = {}
    for each in given:
        name, sign, text = (part.strip() for part in each.partition("="))
        if not sign:
            raise click.UsageError(f"--set {each}: write NAME=VALUE, such as {next(iter(chosen.asks))}="
                                   f"'{chosen.default(next(iter(chosen.asks)), system)}'")
        if name in found:
            raise click.UsageError(f"--set {each}: '{name}' is set twice")
        try:
            found[name] = dimension(chosen, name, text, system)
        except UnsuitableDimensions as wrong:
            raise click.UsageError(f"--set {each}: {wrong}") from None
    return found


def _prompted_dimensions(chosen: Family, system: str) -> Mapping[str, int | Quantity]:
    """The dimensions, asked for one by one until each can be read."""
    click.echo(chosen.help)

    def reading(name: str) -> Callable[[str], int | Quantity]:
        def read(text: str) -> int | Quantity:
            try:
                return dimension(chosen, name, text, system)
            except UnsuitableDimensions as wrong:
                raise click.UsageError(str(wrong)) from None
        return read
    return {name: click.prompt(f"{name}, {words}", default=chosen.default(name, system),
                               value_proc=reading(name))
            for name, words in chosen.asks.items()}


# -- writing -------------------------------------------------------------------------

def write_new(target: Path, text: str) -> None:
    """Write a new file whole, or nothing. Raises click.UsageError."""
    created: list[Path] = []
    try:
        _make_folder(target.parent, created)
        create_file(target, text.encode("utf-8"))
    except FileExistsError:
        _remove_folders(created)
        raise _already_there(target) from None
    except (OSError, ValueError) as error:
        _remove_folders(created)
        raise click.UsageError(
            f"{target} cannot be written: {error_reason(error)}") from None


def _make_folder(folder: Path, created: list[Path]) -> None:
    """Make a folder and those above it; ``created`` tells which, the innermost last."""
    if not folder.is_dir():
        if folder.parent != folder:
            _make_folder(folder.parent, created)
        folder.mkdir()
        created.append(folder)


def _remove_folders(created: list[Path]) -> None:
    for folder in reversed(created):
        try:
            folder.rmdir()
        except OSError:
            return


def _already_there(target: Path) -> click.UsageError:
    return click.UsageError(f"{target if is_readable_file(target) else target.parent} is there already; "
                            "choose another name, or edit that one")
