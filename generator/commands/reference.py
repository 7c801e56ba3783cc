"""foldgauge calls and foldgauge explain.

The references of calls and of findings, made from what the program uses.
"""
from __future__ import annotations

import sys
import textwrap
from collections.abc import Callable, Sequence

import click

from generator.findings.explanations import Explanation, explanation_groups, explanations
from generator.language.evaluation.application import did_you_mean
from generator.language.evaluation.deferred_properties import DEFERRED_FAMILIES
from generator.language.evaluation.registry import FAMILIES, REGISTRY, CallEntry, Parameter
from generator.language.parts import PART_FAMILY, built_in_parts
from generator.paper.verbs import VOCABULARY

USE_LABELS = {"paper": "in fences only", "value": "anywhere", "prose": "between {{ and }} only"}
WIDTH = 92


@click.command()
@click.argument("names", nargs=-1, metavar="[NAME…]")
def calls(names: tuple[str, ...]) -> None:
    """Print all calls of the language, or what is known of some."""
    every = {**REGISTRY, **{name: part.entry for name, part in built_in_parts().items()}}
    if names:
        _print_some(names, "call", list(every), lambda name: _call_reference(every[name]))
        return
    for family, use in (*((family, use) for family, use, _ in FAMILIES), (PART_FAMILY, "paper")):
        entries = [entry for entry in every.values() if entry.family == family]
        click.echo(f"{family} ({USE_LABELS[use]})")
        click.echo("\n".join(_call_summary(entry) for entry in entries) + "\n")
    for family, properties in DEFERRED_FAMILIES:
        click.echo(f"properties of {family} ({USE_LABELS['prose']}; folding or cutting tells them)")
        click.echo("\n".join(f"  .{name}\n{_filled(says, 6, 6)}" for name, says in properties.items()) + "\n")
    click.echo(f"words that stand for themselves\n{_filled(', '.join(sorted(VOCABULARY)), 2, 2)}")


@click.command()
@click.argument("codes", nargs=-1, metavar="[CODE…]")
@click.option("--whole", is_flag=True, help="Print the source of the example whole, so that it can be tried.")
def explain(codes: tuple[str, ...], whole: bool) -> None:
    """Print what a finding means, with an example and what mends it; without CODE, all codes."""
    every = explanations()
    if codes:       # with the brackets of a finding, too
        _print_some([code.strip("[]") for code in codes], "finding", list(every),
                    lambda code: _explanation_text(every[code], whole))
        return
    click.echo("\n\n".join(
        "\n".join([group.title, *(_filled(f"{each.code} ({each.severity}): {each.meaning}", 2, 6)
                                  for each in group.entries)]) for group in explanation_groups()))


def _print_some(names: Sequence[str], kind: str, known: Sequence[str],
                reference: Callable[[str], str]) -> None:
    """Print what is known of some names.

    Exits with 2 where there is no such name; the nearest is named then.
    """
    unknown = [name for name in names if name not in known]
    for name in unknown:
        click.echo("; ".join(filter(None, (f"there is no {kind} '{name}'", did_you_mean(name, known)))),
                   err=True)
    if found := [name for name in names if name in known]:
        click.echo("\n\n".join(map(reference, found)))
    if unknown:
        sys.exit(2)


def _explanation_text(each: Explanation, whole: bool) -> str:
    example = textwrap.indent(each.listing(whole), "    ")
    frame = ", of a source that --whole prints" if each.lines and not whole else ""
    return "\n\n".join(filter(None, (
        f"{each.code} ({each.severity})\n{_filled(each.meaning, 2, 2)}",
        f"  for example, {each.occasion}{frame}", example,
        f"  prints\n\n{textwrap.indent(each.prints, '    ')}", f"  to mend it\n{_filled(each.mend, 4, 4)}")))


def _call_summary(entry: CallEntry) -> str:
    return f"{_filled(entry.signature(), 2, 6)}\n{_filled(entry.help, 6, 6)}"


def _filled(text: str, first: int, further: int) -> str:
    """A paragraph, its first line and the further ones indented by so many spaces."""
    return textwrap.fill(" ".join(text.split()), WIDTH, initial_indent=" " * first,
                         subsequent_indent=" " * further)


def _call_reference(entry: CallEntry) -> str:
    rows = [entry.signature(), textwrap.indent(entry.help, "  "), "", *map(_parameter_row, entry.parameters)]
    if entry.family == PART_FAMILY:
        single = len(entry.gives) == 1
        rows += ["", "  it gives" if single else "  its results"]
        rows += [f"  {'' if single else '.'}{name}: {words}" for name, words in entry.gives.items()]
        rows += ["", "  its file", textwrap.indent(built_in_parts()[entry.name].text.rstrip("\n"), "    ")]
    return "\n".join(rows)


def _parameter_row(p: Parameter) -> str:
    words = f" — {p.words}" if p.words else ""
    default = ("" if p.required else f" (may be left out; then {p.default})" if p.default
               else " (may be left out)")
    listed = () if p.kind.powers is not None or p.kind.phrase.startswith("one of") else p.kind.words or ()
    return f"  {p.name}: {p.kind.phrase}{words}{default}" + (f"; one of {', '.join(listed)}" if listed
                                                             else "")
