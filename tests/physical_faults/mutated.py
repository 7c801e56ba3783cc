"""Tutorials with one fault put into them: reading the list, making the source, and what is found in it."""
from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import yaml

from generator.findings import Finding
from generator.tutorial import load
from generator.units import default_bench

HERE = Path(__file__).parent
TUTORIALS = HERE.parents[1] / "tutorials"
BENCHES = {system: default_bench(system) for system in ("mm", "in")}
# bent paper, by all that its shape depends on: most changes leave it as it was
BENT: dict[str, bytes] = {}


@dataclass(frozen=True)
class Change:
    """One change of a tutorial: a physical fault, or a cousin of one that does no harm."""

    family: str
    tutorial: str
    about: str
    edits: dict[str, str]
    # texts of which the line of a finding must hold one; none: a line that was changed
    places: tuple[str, ...]
    harmful: bool

    @property
    def home(self) -> Path:
        """The folder of its tutorial: on the shelf, or beside this file where nothing there has the like."""
        return next(place for place in (TUTORIALS / self.tutorial, HERE / self.tutorial) if place.is_dir())

    @property
    def label(self) -> str:
        """What a test and a report call it."""
        return f"{self.tutorial}: {self.about}"


def changes(harmful: bool) -> Iterator[Change]:
    """The faults, or their harmless cousins, in the order of the list."""
    for family in yaml.safe_load((HERE / "faults.yaml").read_text(encoding="utf-8")):
        for tutorial, about, edits, *places in family["faults" if harmful else "harmless"]:
            yield Change(family["family"], tutorial, about, edits, tuple(places[0]) if places else (),
                         harmful)


def changed_source(change: Change) -> tuple[str, set[int]]:
    """The source with its change, and the numbers of the lines that differ."""
    before = (change.home / "index.md").read_text(encoding="utf-8")
    after = before
    for old, new in change.edits.items():
        named = re.fullmatch(r"(mm|in)\.(\w+)", old)
        after = _with_length(after, named[1], named[2], new) if named else _with_text(after, old, new)
    known = set(before.split("\n"))
    return after, {n for n, row in enumerate(after.split("\n"), 1) if row not in known}


def _with_text(source: str, old: str, new: str) -> str:
    assert source.count(old) == 1, f"stands {source.count(old)} times: {old}"
    return source.replace(old, new)


def _with_length(source: str, system: str, name: str, value: str) -> str:
    drawn = re.search(r"^drawn_in: (\w+)", source, re.M)
    assert drawn is not None
    pattern = (rf"^(  {name}: +)(.*?)( +#.*)?$" if drawn[1] == system
               else rf"^(  {system}: .*[{{ ]{name}: )([^,}}]*)()")
    after, count = re.subn(pattern, lambda found: f"{found[1]}{value}{found[3] or ''}", source, flags=re.M)
    assert count == 1, f"{name} in {system} stands {count} times"
    return after


def findings_of(change: Change, folder: Path) -> tuple[str, set[int], list[Finding]]:
    """The changed source, its changed lines and its findings; the tutorial's photos stand beside it."""
    place = folder / change.tutorial
    shutil.copytree(change.home, place, ignore=shutil.ignore_patterns("index.*.md"))
    source, lines = changed_source(change)
    (place / "index.md").write_text(source, encoding="utf-8")
    return source, lines, list(load(place / "index.md", None, BENCHES, cache=BENT).findings)


def at_its_place(change: Change, source: str, lines: set[int], finding: Finding) -> bool:
    """Whether a finding stands where the fault is."""
    if not change.places:
        return finding.line in lines
    row = source.split("\n")[finding.line - 1]
    return any(text in row for text in change.places)
