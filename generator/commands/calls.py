"""foldgauge calls: the reference of calls, made from the registry."""
from __future__ import annotations

import sys
import textwrap

import click

from generator.language.application import did_you_mean
from generator.language.registry import FAMILIES, REGISTRY, Entry
from generator.paper.calls import VOCABULARY

USES = {"paper": "in fences only", "value": "anywhere", "prose": "between {{ and }} only"}
WIDTH = 92


@click.command()
@click.argument("names", nargs=-1, metavar="[NAME…]")
def calls(names: tuple[str, ...]) -> None:
    """Print all calls of the language, or what is known of some."""
    unknown = [name for name in names if name not in REGISTRY]
    for name in unknown:
        click.echo(f"there is no call '{name}'" + "".join(f"; {h}" for h in [did_you_mean(name, REGISTRY)] if h), err=True)
    if names:
        if known := [name for name in names if name in REGISTRY]:
            click.echo("\n\n".join(_whole(REGISTRY[name]) for name in known))
        sys.exit(2 if unknown else 0)
    for family, use, _ in FAMILIES:
        entries = [entry for entry in REGISTRY.values() if entry.family == family]
        click.echo(f"{family} ({USES[use]})")
        click.echo("\n".join(_short(entry) for entry in entries) + "\n")
    click.echo("words that stand for themselves\n" + textwrap.fill(", ".join(sorted(VOCABULARY)), WIDTH,
                                                                    initial_indent="  ", subsequent_indent="  "))


def _short(entry: Entry) -> str:
    first = " ".join(entry.help.split("\n\n")[0].split())
    return textwrap.fill(f"  {entry.signature()}", WIDTH, subsequent_indent="      ") + "\n" + textwrap.fill(
        first, WIDTH, initial_indent="      ", subsequent_indent="      ")


def _whole(entry: Entry) -> str:
    rows = [entry.signature(), textwrap.indent(entry.help, "  "), ""]
    rows += [f"  {p.name}: {p.kind.says}" + ("" if p.required else " (may be left out)")
             + (f"; one of {', '.join(p.kind.words)}" if p.kind.words and p.kind.powers is None
                and not p.kind.says.startswith("one of") else "") for p in entry.parameters]
    return "\n".join(rows)
