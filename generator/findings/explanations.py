"""What each finding means, with an example that gives it and what mends it: the files of ``explained/``."""
from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TypedDict

import yaml

from generator.dataclass import dataclass, field
from generator.findings.codes import CODES

FOLDER = Path(__file__).parent / "explained"
GROUPS = ("sources", "front_matter", "language", "paper", "design", "folding", "curves", "making")
SOURCE_FILE = "box.md"
GAP = "…"


class _Entry(TypedDict, total=False):
    part: str
    source: str
    files: dict[str, str]
    links: dict[str, str]
    command: str
    prints: str
    mend: str


@dataclass(frozen=True, slots=True)
class Explanation:
    """One code: ``files`` are those of its example, ``command`` is what is run beside them.

    ``links`` are symbolic links beside the files, each with what it leads to.

    ``lines`` are the lines of :data:`SOURCE_FILE` that matter, "" where all files do;
    ``prints`` is what the command then says of this code.
    """

    code: str
    files: Mapping[str, str]
    command: str
    lines: str
    prints: str
    mend: str
    links: Mapping[str, str] = field(default_factory=dict)

    @property
    def severity(self) -> str:
        """As findings of the code have it, "error" or "warning"."""
        return CODES[self.code].severity

    @property
    def meaning(self) -> str:
        """One sentence."""
        return CODES[self.code].meaning

    @property
    def occasion(self) -> str:
        """The command, with what it finds where the example has no text."""
        return self.command + ("" if any(self.files.values()) else
                               ", where that file holds nothing" if self.files
                               else ", where there is no such file")

    def listing(self, whole: bool = False) -> str:
        """The example as it is shown.

        Its lines, or each file that is not empty, below its name where there are several.
        """
        if self.lines and not whole:
            return self.lines
        shown = {name: text.rstrip("\n") for name, text in self.files.items() if text}
        links = (f"{name} → {target}" for name, target in self.links.items())
        return "\n\n".join((*(text if len(shown) == 1 else f"{name}:\n\n{text}"
                              for name, text in shown.items()), *links))


@dataclass(frozen=True, slots=True)
class ExplanationGroup:
    """The codes of one matter.

    ``frame`` is the source that holds their lines in place of its line …, or "".
    """

    title: str
    frame: str
    entries: tuple[Explanation, ...]


@cache
def explanation_groups() -> tuple[ExplanationGroup, ...]:
    """In the order in which an author meets them."""
    return tuple(_group(name) for name in GROUPS)


@cache
def explanations() -> Mapping[str, Explanation]:
    """By code, in the order of the groups."""
    return MappingProxyType({each.code: each for group in explanation_groups() for each in group.entries})


def _group(name: str) -> ExplanationGroup:
    entries = yaml.safe_load((FOLDER / f"{name}.yaml").read_text(encoding="utf-8"))
    title, frame = entries.pop("title"), entries.pop("frame", "")
    return ExplanationGroup(title, frame,
                            tuple(_explanation(code, frame, entry) for code, entry in entries.items()))


def _explanation(code: str, frame: str, entry: _Entry) -> Explanation:
    part = entry.get("part", "")
    before, _, after = frame.partition(f"\n{GAP}\n")
    files = entry.get("files", {SOURCE_FILE: f"{before}\n{part}{after}" if part else entry.get("source", "")})
    return Explanation(code, MappingProxyType(files), entry.get("command", f"foldgauge check {SOURCE_FILE}"),
                       part.strip("\n"), entry.get("prints", "").rstrip("\n"), entry["mend"],
                       MappingProxyType(entry.get("links", {})))
