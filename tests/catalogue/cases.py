"""Read the catalogue of messages: Markdown files of cases, each a title, a source and what is printed.

A case begins with ``## title``. Its fences are made of ~ signs, so that the
sources in them can hold fences of their own:

- ``~~~~ frame`` before the first case: a source with one line ``…``,
- ``~~~~ part``: what stands in place of that line,
- ``~~~~ source``: a whole source,
- ``~~~~ found``: what is printed of it, to the letter,
- ``~~~~ file NAME [ENCODING]``, ``~~~~ command`` and ``~~~~ printed STATUS``:
  files beside each other, a command run there, what it prints and its exit
  status.

``⟦text⟧×200000`` in a source stands for that many times the text, ``№`` in it
for the number of the repetition, from 1.
"""
from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import NamedTuple

FOLDER = Path(__file__).parent
_FENCE = re.compile(r"(~{4,}) (\w+)((?: \S+)*)\Z")
_REPEAT = re.compile(r"⟦([^⟧]*)⟧×(\d+)")
GAP = "…"


class Fence(NamedTuple):
    """A fence of a case; ``first`` and ``end`` are the rows of its content in the file."""

    kind: str
    words: tuple[str, ...]
    text: str
    first: int
    end: int


@dataclass(frozen=True, slots=True)
class Case:
    """One case of the catalogue. ``source`` is None for a case with a command."""

    page: str
    title: str
    source: str | None
    fences: tuple[Fence, ...] = field(repr=False)

    def __str__(self) -> str:
        return f"{self.page}: {self.title}"

    def fence(self, kind: str) -> Fence | None:
        """The fence of a kind, None where there is none."""
        return next((f for f in self.fences if f.kind == kind), None)

    @property
    def files(self) -> tuple[Fence, ...]:
        return tuple(f for f in self.fences if f.kind == "file")


@cache
def all_cases() -> tuple[Case, ...]:
    """Every case of every page, in order; the pages are read once."""
    return tuple(case for page in sorted(FOLDER.glob("*.md"))
                 for case in cases_of(page.stem, page.read_text(encoding="utf-8")))


def cases_of(page: str, text: str) -> list[Case]:
    """The cases of one page."""
    frame, cases = None, []
    for title, fences in sections(text.split("\n")):
        if title is None:
            frame = next((f.text for f in fences if f.kind == "frame"), None)
        else:
            cases.append(Case(page, title, _source(frame, fences), tuple(fences)))
    return cases


def _source(frame: str | None, fences: list[Fence]) -> str | None:
    for fence in fences:
        if fence.kind == "source":
            return repeated(fence.text) + "\n"
        if fence.kind == "part":
            before, gap, after = f"\n{frame}\n".partition(f"\n{GAP}\n")
            assert gap, "this page has no frame"
            return f"{before}\n{repeated(fence.text)}\n{after}"[1:]
    return None


def repeated(text: str) -> str:
    """The text with everything written out that it says how often to repeat."""
    def written_out(match: re.Match[str]) -> str:
        text, times = match[1], int(match[2])
        return "".join(text.replace("№", str(k))
                       for k in range(1, times + 1)) if "№" in text else text * times
    return _REPEAT.sub(written_out, text)


def sections(rows: list[str]) -> Iterator[tuple[str | None, list[Fence]]]:
    """The title (None before the first) and the fences of each section of a page."""
    title: str | None = None
    fences: list[Fence] = []
    at = 0
    while at < len(rows):
        opening = _FENCE.match(rows[at])
        if opening:
            end = rows.index(opening[1], at + 1)
            fences.append(Fence(opening[2], tuple(opening[3].split()), "\n".join(rows[at + 1:end]), at + 1,
                                end))
            at = end
        elif rows[at].startswith("## "):
            yield title, fences
            title, fences = rows[at][3:], []
        at += 1
    yield title, fences
