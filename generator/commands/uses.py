"""foldgauge uses: which tutorials use a part, a size of a tool, a tool or a sheet."""
from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict
from fractions import Fraction
from functools import partial
from pathlib import Path

import click

from generator.commands.check import SCHEMA
from generator.commands.sources import display_path, kept_answer, load_source, print_findings, sources_in
from generator.dataclass import dataclass
from generator.findings import with_progress
from generator.language.evaluation.application import did_you_mean
from generator.language.fences import read_fences
from generator.language.parts import Parts
from generator.language.source.document import read_document
from generator.language.source.front_matter_values import read_sheet
from generator.language.syntax.nodes import Statement, calls_in
from generator.tutorial import Tutorial
from generator.units import SYSTEMS, QuantityError, as_text, display_measure, parse_length

PART, SIZE, TOOL, SHEET = "part", "size of a tool", "tool", "sheet"


@dataclass(frozen=True, slots=True)
class Use:
    """A thing of a ``kind`` that a tutorial uses under a ``name``, and where: ``line`` of ``file``, ``step``.

    ``detail`` says how: its values, or the part through which it is used; ``sizes`` are its lengths in mm.
    """

    kind: str
    name: str
    file: str
    line: int
    step: int = 0
    detail: str = ""
    sizes: tuple[Fraction, ...] = ()


@click.command()
@click.argument("name", metavar="NAME")
@click.argument("folder", metavar="[FOLDER]", default="tutorials",
                type=click.Path(exists=True, file_okay=False, path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print for programs.")
def uses(name: str, folder: Path, as_json: bool) -> None:
    """Tell which tutorials use a part, a size of a tool, a tool or a sheet.

    NAME is a part (wall_tabs), a size by its name (hole) or its length ("1/8 in"), a tool (trimmer) or a
    sheet (a4, 12x12 in). Exit 1 where nothing uses it, or where a source is not sound: that is not looked
    into.
    """
    sources = sources_in([str(folder)])
    answers = (kept_answer(source, "uses", partial(_uses_of, source)) for source in sources)
    known: dict[str, tuple[Use, ...]] = {}
    unsound: list[Path] = []
    for source, answer in zip(sources, with_progress(answers, "reading", [*map(display_path, sources)],
                                                     sys.stderr), strict=True):
        if answer is None:
            unsound.append(source)
        else:
            known[source.parent.name] = answer
    matching = {slug: found for slug, each in known.items() if (found := [*_matching(each, name)])}
    if as_json:
        click.echo(json.dumps({"schema": SCHEMA, "name": name, "tutorials": [
            {"slug": slug, "uses": [{key: value for key, value in asdict(use).items() if key != "sizes"}
                                    for use in found]} for slug, found in matching.items()],
            "unsound": [each.parent.name for each in unsound]}, ensure_ascii=False, indent=2))
    else:
        click.echo("\n".join(_lines(name, matching, known)))
    for source in unsound:
        loaded = load_source(source, folds=False)
        print_findings(loaded.findings, {display_path(source): loaded.source, **loaded.texts})
    if unsound or not matching:
        sys.exit(1)


def _uses_of(source: Path) -> tuple[Use, ...] | None:
    """All that a tutorial uses; None where it is not sound."""
    loaded = load_source(source, folds=False)
    if loaded.tutorial is None:
        return None
    return (*_parts(loaded.tutorial, loaded.source), *_sizes(loaded.tutorial), *_tools(loaded.tutorial),
            *_sheets(loaded.tutorial))


def _parts(tutorial: Tutorial, text: str) -> Iterator[Use]:
    parts = tutorial.front.parts
    document = read_document(tutorial.file, text, parts)
    for step, statements in read_fences(document).steps:
        for statement in statements:
            for called, through in _called(statement, parts, ""):
                yield Use(PART, called, tutorial.file, statement.span.line, step.number, through)


def _called(statement: Statement, parts: Parts, through: str) -> Iterator[tuple[str, str]]:
    """The parts that a statement calls, and those that they call in turn, with the part in between."""
    for name in calls_in(statement.value):
        if name in parts:
            yield name, through and f"through {through}"
            for inner in parts[name].statements:
                yield from _called(inner, parts, name)


def _sizes(tutorial: Tutorial) -> Iterator[Use]:
    front = tutorial.front
    for name in sorted(front.tools, key=lambda each: front.spans[each].line):
        sizes = [front.lengths[system][name] for system in SYSTEMS]
        texts = dict.fromkeys(as_text(display_measure(size, system))
                              for size, system in zip(sizes, SYSTEMS, strict=True))
        yield Use(SIZE, name, tutorial.file, front.spans[name].line, detail=", ".join(texts),
                  sizes=tuple(Fraction(size.value) for size in sizes))


def _tools(tutorial: Tutorial) -> Iterator[Use]:
    plan = tutorial.drawn
    first: dict[str, Use] = {}
    for info in plan.pieces:
        state = plan.state(info.id)
        for mark in state.marks if state is not None else ():
            use = Use(TOOL, mark.tool, tutorial.file, mark.span.line, mark.step)
            first[mark.tool] = min(first.get(mark.tool, use), use, key=lambda each: each.line)
    yield from first.values()


def _sheets(tutorial: Tutorial) -> Iterator[Use]:
    for sheet in tutorial.front.sheets:
        yield Use(SHEET, sheet.name, tutorial.file, 1, detail="with its selvedge" if sheet.trim.value else "",
                  sizes=tuple(sorted((Fraction(sheet.width.value), Fraction(sheet.height.value)))))


def _matching(found: Iterable[Use], name: str) -> Iterator[Use]:
    """Those of this name, and those of this size."""
    size, sheet = _length_of(name), _sheet_of(name)
    for use in found:
        if (use.name == name or use.kind == SIZE and size in use.sizes
                or use.kind == SHEET and use.sizes == sheet):
            yield use


def _length_of(name: str) -> Fraction | None:
    try:
        return Fraction(parse_length(name).value)
    except QuantityError:
        return None


def _sheet_of(name: str) -> tuple[Fraction, ...] | None:
    try:
        sheet = read_sheet(name)
    except QuantityError:
        return None
    return tuple(sorted((Fraction(sheet.width.value), Fraction(sheet.height.value))))


def _lines(name: str, matching: Mapping[str, list[Use]],
           known: Mapping[str, tuple[Use, ...]]) -> Iterator[str]:
    if not matching:
        names = dict.fromkeys(use.name for found in known.values() for use in found)
        yield f"nothing uses {name}; " + did_you_mean(name, names, f"what is used is {', '.join(names)}")
        return
    yield f"{name}: used by {len(matching)} of {len(known)} tutorial{'s' if len(known) != 1 else ''}"
    for slug, found in matching.items():
        yield f"  {slug}"
        yield from (f"    {use.file}:{use.line}: {_how(use)}" for use in found)


def _how(use: Use) -> str:
    return ", ".join(filter(None,
                            (f"{use.kind} {use.name}", f"step {use.step}" if use.step else "", use.detail)))
