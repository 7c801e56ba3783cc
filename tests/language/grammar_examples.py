"""The examples of the grammar page, as sources: a test works them out, and the fuzz tests change them."""
from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from tests.catalogue.cases import GAP, Fence, sections

PAGE = Path(__file__).parent / "grammar.md"


@dataclass(frozen=True, slots=True)
class Example:
    """One example: the source it stands in, what its expressions give, and the codes of its findings."""

    title: str
    line: int
    source: str
    gives: tuple[tuple[str, str, str], ...]     # expression, metric text, inch text
    finds: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.title} (line {self.line})"


@cache
def examples() -> tuple[Example, ...]:
    """All examples of the page, in order."""
    found, frame = [], ""
    for title, fences in sections(PAGE.read_text(encoding="utf-8").split("\n")):
        for fence, wanted in zip(fences, [*fences[1:], None], strict=True):
            if fence.kind == "frame":
                frame = fence.text
            elif fence.kind == "fence":
                found.append(_example(title, frame, fence, wanted))
    return tuple(found)


def _example(title: str, frame: str, fence: Fence, wanted: Fence) -> Example:
    assert wanted.kind in ("gives",
                           "finds"), f"line {fence.first} of the page is followed by nothing to check"
    gives = tuple(map(_row, wanted.text.split("\n"))) if wanted.kind == "gives" else ()
    finds = tuple(wanted.text.split("\n")) if wanted.kind == "finds" else ()
    prose = "".join(f"\n{{{{ {expression} }}}}\n" for expression, _, _ in gives)
    return Example(title, fence.first, frame.replace(GAP, fence.text) + "\n" + prose, gives, finds)


def _row(row: str) -> tuple[str, str, str]:
    expression, _, texts = row.partition(" = ")
    metric, _, inch = texts.partition(" | ")
    return expression, metric, inch or metric
