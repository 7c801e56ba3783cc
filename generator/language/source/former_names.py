"""Former names of tutorials, ``aliases:`` in the front matter: pages, prints and records go by them still."""
from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator
from pathlib import Path

import yaml

from generator.findings import Finding, Span, finding
from generator.language.source.portable_names import folder_name_fault
from generator.language.source.yaml_tree import LOADER
from generator.units import QuantityError

_FRONT = re.compile(r"\A\ufeff?---[ \t]*\r?\n(.*?)\n---", re.DOTALL)
ALIASES = "aliases"


def read_alias(text: str) -> str:
    """A former name itself. Raises QuantityError for what no folder was ever called."""
    if fault := folder_name_fault(text):
        raise QuantityError("front-value", f"“{text[:40]}” {fault}",
                            "write what the tutorial's folder was called")
    return text


def former_names(source: Path) -> tuple[str, ...]:
    """The former names of a tutorial, quickly, whatever else is wrong with its source."""
    try:
        text = source.read_text(encoding="utf-8")
        if f"\n{ALIASES}:" not in text or (front := _FRONT.match(text)) is None:
            return ()
        data = yaml.load(front[1], LOADER)
    except (OSError, ValueError, yaml.YAMLError, RecursionError):
        return ()
    names = data.get(ALIASES) if isinstance(data, dict) else None
    return tuple(name for name in names if isinstance(name, str)) if isinstance(names, list) else ()


def alias_findings(folder: Path, shown: Callable[[Path], str],
                   only: Collection[str] | None = None) -> Iterator[Finding]:
    """A finding for each former name that another tutorial or page has, or has had.

    ``only`` names the folders whose sources are looked at, None for all.
    """
    taken: dict[str, str] = {}
    try:
        sources = sorted(folder.glob("*/index.md"))
    except OSError:         # a folder that cannot be looked into: reading its sources says why
        return
    for source in sources:
        for name in former_names(source):
            places = (folder / name / "index.md", folder / f"{name}.md")
            other = next((each for each in places if each.exists()), None)
            said = (f"stands at {shown(other)}" if other is not None
                    else f"is a former name of {taken[name]} too" if name in taken else "")
            if said and (only is None or source.parent.name in only):
                yield finding("alias-taken", _place(source, shown(source), name), f"“{name}” {said}",
                              "an address leads to one page: take the alias out of one of the two"
                              if other is None else "give that page another name, or take the alias out")
            taken.setdefault(name, source.parent.name)


def _place(source: Path, shown: str, name: str) -> Span:
    lines = source.read_text(encoding="utf-8").split("\n")
    first = next((k for k, line in enumerate(lines) if line.startswith(f"{ALIASES}:")), 0)
    for number, line in enumerate(lines[first:], first + 1):
        if found := re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", line):
            return Span(shown, number, found.start() + 1, len(name))
    return Span(shown, first + 1)
