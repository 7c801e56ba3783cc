"""Every measure moved: ``make sweep`` builds each shelf tutorial and family with other lengths and counts.

Each named length goes through :data:`EACH_WAY` marks of its rule to either side, in both editions and in each
alone, each count through its neighbours, and each family through a grid of its dimensions. Each must end in a
box whose pages and files can be read, or in findings. The cases come in an order drawn once, so that the
first of them are a sample of all: ``make sweep N=500``.
"""
from __future__ import annotations

import argparse
import logging
import random
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from pathlib import Path

from generator.files import FileCache
from generator.regauge.rewriting import fill_dimensions, rewrite_edition
from generator.tutorial import load_text
from generator.tutorial.families import UnsuitableDimensions, dimension, family, family_names, new_source
from generator.units import length
from tests.bench.whole_way import BENCHES, Lost, read_findings, whole_way
from tests.house.tracked_files import ROOT

EACH_WAY = 40           # marks of the rule
COUNT_REACH = 12        # counts from 0 to so many above
# of a family's dimensions
SHARES = (Fraction(1, 3), Fraction(2, 3), Fraction(1), Fraction(3, 2), Fraction(3))
WITHIN = Fraction(1, 2)         # how far the editions may lie apart: that they do is not what is tried
BOTH, DRAWN, OTHER = "both editions", "the drawn edition", "the other edition"
ORDER = 1


@dataclass(frozen=True, slots=True)
class Case:
    """One source: of a tutorial or family with a name moved by ``steps``, or of a family started anew."""

    source: str
    moved: str = ""
    steps: int = 0
    where: str = BOTH
    system: str = "mm"
    dimensions: tuple[tuple[str, Fraction], ...] = ()       # shares of the family's own

    def __str__(self) -> str:
        given = ", ".join(f"{name} × {share}" for name, share in self.dimensions)
        return f"{self.source}: " + (f"{self.moved} {self.steps:+d} in {self.where}" if self.moved else
                                     f"new in {self.system} with {given}")


def texts() -> dict[str, str]:
    """The sources that are moved, by their names."""
    shelf = {path.parent.name: path.read_text(encoding="utf-8")
             for path in sorted(ROOT.glob("tutorials/*/index.md"))}
    return shelf | {f"family {name}": family(name).source.replace("TITLE", "A box")
                    for name in family_names()}


def cases() -> list[Case]:
    """All, in the order in which they are tried."""
    found = [each for name, text in texts().items() for each in _moves(name, text)]
    found += [each for name in family_names() for each in _grid(name)]
    random.Random(ORDER).shuffle(found)
    return found


def _moves(source: str, text: str) -> Iterator[Case]:
    tutorial = load_text(text, "index.md", BENCHES, folds=False).tutorial
    assert tutorial is not None, source
    front = tutorial.front
    ways = [steps for steps in range(-EACH_WAY, EACH_WAY + 1) if steps]
    for name in front.lengths[front.drawn_in].keys() - front.tools:
        yield from (Case(source, name, steps, where) for steps in ways for where in (BOTH, DRAWN, OTHER))
    for name, count in front.counts.items():
        yield from (Case(source, name, number - count) for number in range(count + COUNT_REACH)
                    if number != count)


def _grid(name: str) -> Iterator[Case]:
    chosen = family(name)
    for system in BENCHES:
        for shares in product(SHARES, repeat=len(chosen.asks)):
            yield Case(name, system=system, dimensions=tuple(zip(chosen.asks, shares, strict=True)))


def moved_text(text: str, case: Case) -> str | None:
    """The source of a case; None where its measure would be nothing."""
    tutorial = load_text(text, "index.md", BENCHES, folds=False).tutorial
    assert tutorial is not None
    front, name = tutorial.front, case.moved
    if name in front.counts:
        return fill_dimensions(text, front.drawn_in, {name: front.counts[name] + case.steps}, {})
    drawn = {each: Fraction(size.value) for each, size in front.lengths[front.drawn_in].items()
             if each not in front.tools}
    other = {each: Fraction(size.value) for each, size in front.lengths[front.other].items() if each in drawn}
    step, step_of_other = (BENCHES[system].grid("rule") for system in (front.drawn_in, front.other))
    new = drawn | {name: drawn[name] + (0 if case.where == OTHER else case.steps * step)}
    if case.where == BOTH:
        other[name] = round(other[name] * new[name] / drawn[name] / step_of_other) * step_of_other
    elif case.where == OTHER:
        other[name] += case.steps * step_of_other
    if min(new[name], other[name]) <= 0:
        return None
    text = fill_dimensions(text, front.drawn_in, {}, {name: new[name]})
    return rewrite_edition(text, front.other, other, new, WITHIN)


def started_text(case: Case) -> str:
    """The source of a family with these dimensions. Raises UnsuitableDimensions."""
    chosen, grid = family(case.source), BENCHES[case.system].grid("rule")
    given = {}
    for name, share in case.dimensions:
        own = dimension(chosen, name, chosen.default(name, case.system), case.system)
        given[name] = max(1, round(own * share)) if isinstance(own, int) else length(
            max(grid, round(Fraction(own.value) * share / grid) * grid), name)
    return new_source(chosen, "A box", case.system, given, BENCHES, "index.md").text


def tried(case: Case, folder: Path, sources: dict[str, str], store: str = "") -> str:
    """What becomes of a case: "sound", "warned", "refused", or "nothing" where there is no such measure.

    Raises :class:`Lost`, or whatever error nobody foresaw.
    """
    try:
        text = moved_text(sources[case.source], case) if case.moved else started_text(case)
    except UnsuitableDimensions as wrong:
        read_findings(wrong.findings, {"index.md": wrong.text})
        if not str(wrong):
            raise Lost("it is refused without a word") from None
        return "refused"
    if text is None:
        return "nothing"
    source = folder / "tutorials" / "box" / "index.md"
    source.parent.mkdir(parents=True, exist_ok=True)
    source.write_text(text, encoding="utf-8")
    reached = Counter[str]()
    codes = whole_way(folder, reached, store)
    if not reached["pages"]:
        if not codes:
            raise Lost("it is refused without a word")
        return "refused"
    return "warned" if codes else "sound"


def main() -> None:
    """Try all or the first of them; exit with 1 where any was lost."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=0, help="only so many of them, drawn from all")
    parser.add_argument("--first", type=int, default=0)
    given = parser.parse_args()
    logging.disable(logging.CRITICAL)
    sources, all_cases, counts, began = texts(), cases(), Counter[str](), time.process_time()
    tried_ones = all_cases[given.first:given.first + given.count if given.count else None]
    with tempfile.TemporaryDirectory() as place:
        for number, case in enumerate(tried_ones, 1):
            before = time.process_time()
            try:
                counts[tried(case, Path(place), sources, f"{place}/store")] += 1
            except Exception:
                counts["lost"] += 1
                print(f"LOST {case}\n{traceback.format_exc()}", flush=True)
            if (spent := time.process_time() - before) > 20:
                counts["slow"] += 1
                print(f"SLOW {case}: {spent:.1f} s", flush=True)
            if number % 20 == 0 or number == len(tried_ones):
                FileCache(Path(place) / "store").evict()
                print(f"{number} of {len(all_cases)}, {(time.process_time() - began) / number:.2f} s each: "
                      f"{dict(counts)}", flush=True)
    raise SystemExit(bool(counts["lost"] + counts["slow"]))


if __name__ == "__main__":
    main()
