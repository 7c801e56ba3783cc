"""foldgauge regauge of a folder: all tutorials side by side, their values written all or none."""
from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from pathlib import Path

import click

from generator.commands.check import SCHEMA
from generator.commands.sources import display_path, load_source_on
from generator.dataclass import dataclass
from generator.files import NotWritten, error_reason, write_files
from generator.findings import Finding, Severity, with_progress
from generator.language.parts import site_parts
from generator.regauge import RegaugeOptions, find_lengths, read_drawn_edition, report_text
from generator.regauge.comparison import length_text, name_text
from generator.regauge.report import aligned_columns, box_change_text
from generator.tutorial.edition_writer import CHANGED_MEANWHILE, WriteRefused, updated_source
from generator.tutorial.folded_editions import check_folded
from generator.tutorial.suggested_lengths import concerns_other_edition
from generator.units import Bench, plural

FITS, WOULD, NOTHING, UNSOUND = "fits as it is", "would fit", "nothing fits", "not sound"


@dataclass(frozen=True, slots=True)
class _Row:
    """What becomes of one tutorial: its ``verdict``, what would fit, and the source with that in it.

    ``lengths`` by name: what would fit, and what stands there now, "" for nothing. ``why`` says how the box
    changes, or what keeps it from fitting.
    """

    source: Path
    verdict: str
    before: bytes = b""
    lengths: tuple[tuple[str, str, str], ...] = ()
    why: str = ""
    text: str = ""

    @property
    def slug(self) -> str:
        return self.source.parent.name


def regauge_folder(sources: Sequence[Path], benches: Mapping[str, Bench], options: RegaugeOptions,
                   write: bool,
                   as_json: bool) -> None:
    """Print a line for each tutorial; with ``write`` put what would fit into all sources, or into none.

    Exit 1 where one fits neither as it is nor otherwise.
    """
    judged = (_judged(source, benches, options) for source in sources)
    rows = list(with_progress(judged, "regauging", [*map(display_path, sources)], sys.stderr))
    stuck = [row.slug for row in rows if row.verdict in (NOTHING, UNSOUND)]
    if as_json:
        click.echo(json.dumps({"schema": SCHEMA, "tutorials": [*map(_data, rows)]}, ensure_ascii=False,
                              indent=2))
    else:
        click.echo("\n".join(_lines(rows)))
    if write and stuck:
        click.echo(
            f"nothing was written: all tutorials are written together, and there is nothing to write for "
                   f"{', '.join(stuck)}", err=True)
    elif write:
        _write([row for row in rows if row.verdict == WOULD], as_json)
    if stuck:
        sys.exit(1)


def _judged(source: Path, benches: Mapping[str, Bench], options: RegaugeOptions) -> _Row:
    """What the present values come to on these benches, and where they do not fit what would."""
    try:
        before = source.read_bytes()
    except OSError as error:
        return _Row(source, UNSOUND, why=f"it cannot be read: {error_reason(error)}")
    loaded = load_source_on(source, benches)
    if loaded.tutorial is not None:
        return _Row(source, FITS, before)
    parts, wrong = site_parts(source)
    drawn, findings = (None, wrong) if wrong else read_drawn_edition(loaded.source, display_path(source),
                                                                     parts)
    if drawn is not None:
        findings = tuple(each for each in loaded.findings if each.severity is Severity.ERROR
                         and not concerns_other_edition(each, drawn.front) and each.span.line not in
                         {span.line for span in drawn.front.edition_spans[drawn.front.other].values()})
    if drawn is None or findings:
        return _Row(source, UNSOUND, before, why=_first(findings))
    result = find_lengths(drawn, benches, check_folded, options)
    if result.best is None:
        return _Row(source, NOTHING, before, why="\n".join(report_text(result).split("\n")[1:]))
    target, now = result.problem.target, drawn.front.lengths[drawn.front.other]
    missing = drawn.front.missing_lengths
    lengths = tuple((name, length_text(value, target),
                     "" if name in missing else length_text(Fraction(now[name].value), target))
                    for name, value in result.best.values.items()
                    if name in missing or now[name].value != value)
    why = box_change_text(result.problem, result.best)
    try:
        text = updated_source(before, display_path(source), result.problem, result.best.values,
                              options.within,
                              benches)
    except WriteRefused as refused:
        return _Row(source, NOTHING, before, lengths,
                    "\n".join((str(refused), _first(refused.findings))).strip())
    return _Row(source, WOULD, before, lengths, why, text)


def _first(findings: Sequence[Finding]) -> str:
    """The first error in a line; foldgauge check tells all."""
    each = next((one for one in findings if one.severity is Severity.ERROR), None)
    return f"{each.file}:{each.span.line}: {each.message}" if each is not None else ""


def _lines(rows: Sequence[_Row]) -> Iterator[str]:
    table = [(row.slug, row.verdict, "; ".join(f"{name_text(name)} {new}" + (f" (now {old})" if old else "")
                                               for name, new, old in row.lengths),
              row.why if row.verdict == WOULD else "") for row in rows]
    yield from aligned_columns([("tutorial", "on this bench", "what would fit", "and the box"), *table])
    for row in rows:
        if row.verdict in (NOTHING, UNSOUND) and row.why:
            yield from ("", f"{row.slug}, {row.verdict}:",
                        *(f"  {line.strip()}" for line in row.why.split("\n")))
    counts = {verdict: sum(row.verdict == verdict for row in rows)
              for verdict in (FITS, WOULD, NOTHING, UNSOUND)}
    yield ""
    yield "; ".join(f"{count} {plural(count, 'tutorial', 'tutorials')}: {verdict}"
                    for verdict, count in counts.items() if count)
    if counts[WOULD] and not counts[NOTHING] + counts[UNSOUND]:
        yield "the same command with --write puts what would fit into all sources, or into none"


def _data(row: _Row) -> dict[str, object]:
    return {"slug": row.slug, "verdict": row.verdict, "why": row.why,
            "lengths": {name: {"now": old or None, "would": new} for name, new, old in row.lengths}}


def _write(rows: Sequence[_Row], quiet: bool) -> None:
    """All of them, or none; exit 1 where that cannot be."""
    if any(row.source.read_bytes() != row.before for row in rows):
        click.echo(CHANGED_MEANWHILE, err=True)
        sys.exit(1)
    by_folder: dict[Path, dict[str, bytes]] = {}
    for row in rows:
        folder = row.source.parent.parent
        by_folder.setdefault(folder, {})[row.source.relative_to(folder).as_posix()] = row.text.encode("utf-8")
    try:
        for folder, files in by_folder.items():     # one folder of tutorials, so one writing
            write_files(folder, files)
    except NotWritten as error:
        click.echo(str(error), err=True)
        sys.exit(1)
    for row in rows if not quiet else ():
        click.echo(f"{display_path(row.source)}: the other edition now says what would fit")
