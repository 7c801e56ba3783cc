"""A small source for tests, in parts that a test may exchange."""
from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache
from pathlib import Path

from generator.tutorial import LoadedSource, Tutorial, load_text
from generator.units import Bench, default_bench

BENCHES: Mapping[str, Bench] = {system: default_bench(system) for system in ("mm", "in")}

FRONT = """---
title: A sleeve for seed packets
drawn_in: mm
counts: {sides: 4}
lengths: {panel: 30 mm, wall: 60 mm, tab: 10 mm}
editions: {in: {panel: 1 1/4 in, wall: 2 1/2 in, tab: 3/8 in}}
papers: {card: {weight: 200 gsm, thickness: 0.26 mm}}
---
"""
PROSE = ("Cut the sleeve {{ size(strip) }} and score it at {{ panels.marks }}, with {{ words(sides) }} sides "
         "and a tab of {{ tab }}.")
FENCE = """strip = sheet(width=sides*panel + tab, height=wall, paper=card)
panels = score(strip, x=every(panel, sides))
fold(panels, mountain)
finish(width=panel, height=wall)"""

STANDING = FENCE.replace("mountain)", "mountain, by=90 deg)")       # nothing is found in it


def source(fence: str = FENCE, prose: str = PROSE, front: str = FRONT) -> str:
    """A source of one step."""
    return f"{front}\nIt holds seeds.\n\n## Make it\n\n{prose}\n\n```geometry\n{fence}\n```\n"


def load(text: str, benches: Mapping[str, Bench] = BENCHES) -> LoadedSource:
    """Load a source of this name; with the usual benches once for all tests."""
    return _loaded(text) if benches is BENCHES else load_text(text, "sleeve.md", benches, slug="sleeve")


@lru_cache(maxsize=400)
def _loaded(text: str) -> LoadedSource:
    return load_text(text, "sleeve.md", BENCHES, slug="sleeve")


def tutorial(text: str) -> Tutorial:
    """A tutorial that must load, with whatever warnings."""
    found = load(text)
    assert found.tutorial is not None, found.findings
    return found.tutorial


def front(old: str, new: str) -> str:
    """The front matter with one part exchanged."""
    assert old in FRONT
    return FRONT.replace(old, new)


SMALL = Path(__file__).resolve().parents[1] / "sources"


@cache
def tutorial_of(name: str) -> Tutorial:
    """One of the small sources of tests/sources, loaded once."""
    return tutorial((SMALL / f"{name}.md").read_text(encoding="utf-8"))
