"""The small tutorials of the tests, loaded once."""
from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from generator.paper.records import Face, Mark, PieceState, Plan
from generator.paper.values import Group
from generator.tutorial import LoadedSource, Tutorial, load_text
from generator.units import Bench, bench_from, default_bench

FOLDER = Path(__file__).parent.parent / "sources"
BENCHES: Mapping[str, Bench] = {system: default_bench(system) for system in ("mm", "in")}
# A rule with half millimetres, as many metric rules have: half-way ticks of a 45 mm panel lie on them.
HALF_MM: Mapping[str, Bench] = {**BENCHES, "mm": bench_from({"rule": "0.5 mm"}, "mm")}
SYSTEMS = ("mm", "in")


@cache
def loaded(name: str, half: bool = False) -> LoadedSource:
    """One of the sources, with the default benches or with a finer metric rule."""
    text = (FOLDER / f"{name}.md").read_text(encoding="utf-8")
    return load_text(text, f"{name}.md", HALF_MM if half else BENCHES, slug=name)


def tutorial(name: str) -> Tutorial:
    """One of the sources that must load; six-sided needs the finer rule."""
    found = loaded(name, name == "six-sided")
    assert found.tutorial is not None and not found.findings, found.findings
    return found.tutorial


def named(name: str, what: str, system: str) -> object:
    """What a name of a source stands for in one edition."""
    return tutorial(name).names[what].values[system]


def items(name: str, what: str, system: str) -> tuple:
    """The members of a named group."""
    value = named(name, what, system)
    return value.items if isinstance(value, Group) else (value,)


def final(name: str, piece: str, system: str) -> PieceState:
    """A piece as it is in the end."""
    plan: Plan = tutorial(name).plans[system]
    return plan.state(next(info.id for info in plan.pieces if info.name == piece))


def marks(name: str, what: str, piece: str, system: str) -> list[Mark]:
    """The marks of a group as they are in the end."""
    return [mark for mark in final(name, piece, system).marks if mark.name == what]


def corners(face: Face) -> list[tuple[float, float]]:
    """The corners of a face, as floats."""
    return [(float(stroke.start.x), float(stroke.start.y)) for stroke in face.outline]
