"""foldgauge calls: the reference of calls, made from the registry and from the files of the parts."""
from __future__ import annotations

import sys
import textwrap

import click

from generator.language.evaluation.application import did_you_mean
from generator.language.evaluation.deferred_properties import DEFERRED_FAMILIES as TOLD_FAMILIES
from generator.language.evaluation.registry import FAMILIES, REGISTRY, CallEntry, Parameter
from generator.language.parts import PART_FAMILY as PARTS
from generator.language.parts import built_in_parts
from generator.paper.verbs import VOCABULARY

USE_LABELS = {"paper": "in fences only", "value": "anywhere", "prose": "between {{ and }} only"}
WIDTH = 92


@click.command()
@click.argument("names", nargs=-1, metavar="[NAME…]")
def calls(names: tuple[str, ...]) -> None:
    """Print all calls of the language, or what is known of some."""
    every = {**REGISTRY, **{name: part.entry for name, part in built_in_parts().items()}}
    unknown = [name for name in names if name not in every]
    for name in unknown:
        click.echo(f"there is no call '{name}'" + "".join(f"; {h}" for h in [did_you_mean(name, every)] if h), err=True)
    if names:
        if known := [name for name in names if name in every]:
            click.echo("\n\n".join(_call_reference(every[name]) for name in known))
        sys.exit(2 if unknown else 0)
    for family, use in (*((family, use) for family, use, _ in FAMILIES), (PARTS, "paper")):
        entries = [entry for entry in every.values() if entry.family == family]
        click.echo(f"{family} ({USE_LABELS[use]})")
        click.echo("\n".join(_call_summary(entry) for entry in entries) + "\n")
    for family, properties in TOLD_FAMILIES:
        click.echo(f"properties of {family} ({USE_LABELS['prose']}; folding or cutting tells them)")
        click.echo("\n".join(_property_text(name, says) for name, says in properties.items()) + "\n")
    click.echo("words that stand for themselves\n" + textwrap.fill(", ".join(sorted(VOCABULARY)), WIDTH,
                                                                    initial_indent="  ", subsequent_indent="  "))


def _property_text(name: str, says: str) -> str:
    return f"  .{name}\n" + textwrap.fill(says, WIDTH, initial_indent="      ", subsequent_indent="      ")


def _call_summary(entry: CallEntry) -> str:
    return textwrap.fill(f"  {entry.signature()}", WIDTH, subsequent_indent="      ") + "\n" + textwrap.fill(
        " ".join(entry.help.split()), WIDTH, initial_indent="      ", subsequent_indent="      ")


def _call_reference(entry: CallEntry) -> str:
    rows = [entry.signature(), textwrap.indent(entry.help, "  "), ""]
    rows += [f"  {p.name}: {p.kind.says}{_parameter_note(p)}" + ("" if p.required else _default_note(p))
             + (f"; one of {', '.join(p.kind.words)}" if p.kind.words and p.kind.powers is None
                and not p.kind.says.startswith("one of") else "") for p in entry.parameters]
    if entry.family == PARTS:
        rows += ["", "  " + ("it gives" if len(entry.gives) == 1 else "its results")]
        rows += [f"  {'' if len(entry.gives) == 1 else '.'}{name}: {words}" for name, words in entry.gives.items()]
        rows += ["", "  its file", textwrap.indent(built_in_parts()[entry.name].text.rstrip("\n"), "    ")]
    return "\n".join(rows)


def _parameter_note(p: Parameter) -> str:
    return f" — {p.words}" if p.words else ""


def _default_note(p: Parameter) -> str:
    return f" (may be left out; then {p.default})" if p.default else " (may be left out)"
