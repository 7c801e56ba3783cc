"""Boxes to regauge, and how a test asks."""
from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path

from generator.language.source.front_matter_values import read_sheet
from generator.regauge import (
    DrawnEdition,
    RegaugeOptions,
    RegaugeResult,
    WantedYield,
    find_lengths,
    read_drawn_edition,
)
from generator.regauge.rewriting import typed_length
from generator.tutorial.folded_editions import check_folded
from generator.units import Bench, default_bench, parse_length

ROOT = Path(__file__).resolve().parents[2]
SMALL = sorted((ROOT / "tests" / "sources").glob("*.md"))
CADDY = ROOT / "tutorials" / "tea-caddy" / "index.md"
BENCHES: Mapping[str, Bench] = {system: default_bench(system) for system in ("mm", "in")}
INCH = Fraction("25.4")

# The box that the trade makes most often: common practice, no source. Metric values from memory.
SIX = """---
title: Six-sided box from one strip
drawn_in: mm
counts: {{sides: 6}}
lengths: {{panel: {panel} mm, foot: 50 mm, wall: 50 mm, crown: 45 mm, tab: 12 mm}}
papers: {{card: {{weight: 200 gsm, thickness: 0.26 mm}}}}
---

## Cut and score

```geometry
strip = sheet(width=sides*panel + tab, height=foot + wall + crown, paper=card)
levels = score(strip, y=along(foot, wall))
panels = score(strip, x=every(panel, sides))
peaks = tick(strip, x=midway(panels), edge=top)
fold(panels, mountain)
finish(height=wall)
```
"""


def six(panel: int = 45) -> str:
    """The six-sided box, drawn with panels of so many mm."""
    return SIX.format(panel=panel)


def sheet_of(lengths: str, fence: str, papers: str = "card: {weight: 200 gsm, thickness: 0.3 mm}",
             drawn_in: str = "mm",
             more: str = "") -> str:
    """A source with these named lengths and statements, and no other edition."""
    return (f"---\ntitle: A box\ndrawn_in: {drawn_in}\nlengths: {{{lengths}}}\npapers: "
            f"{{{papers}}}\n{more}---\n\n"
            f"## Make it\n\n```geometry\n{fence}\n```\n")


def drawn(text: str, benches: Mapping[str, Bench] = BENCHES) -> DrawnEdition:
    """The drawn side of a source that must be sound."""
    found, findings = read_drawn_edition(text, "box.md")
    assert found is not None, findings
    return found


def wish(*yields: tuple[str, int], within: int | None = None, prefer: str = "close",
         **kept: str) -> RegaugeOptions:
    """What is asked: yields as (sheet, number), kept lengths as text."""
    return RegaugeOptions({name: Fraction(parse_length(text).value) for name, text in kept.items()},
                Fraction(within, 100) if within else None,
                tuple(WantedYield(read_sheet(s), n) for s, n in yields), prefer)


NOTHING_ASKED = RegaugeOptions()
_ANSWERS: dict[tuple[str, str], RegaugeResult] = {}


def answer(text: str, asked: RegaugeOptions = NOTHING_ASKED,
           benches: Mapping[str, Bench] = BENCHES) -> RegaugeResult:
    """The answer for a source; with the usual benches it is worked out once for all tests."""
    key = (text, repr(asked)) if benches is BENCHES else None
    if key is None or key not in _ANSWERS:
        found = find_lengths(drawn(text, benches), benches, check_folded, asked)
        if key is None:
            return found
        _ANSWERS[key] = found
    return _ANSWERS[key]


def texts(found: RegaugeResult, k: int = 0) -> dict[str, str]:
    """The lengths of one of the choices, as they are typed."""
    return {name: typed_length(value, found.problem.target) for name,
            value in found.leading.best[k].values.items()}


def turned_round(text: str) -> str:
    """The same tutorial as if it had been drawn in its other system."""
    drawn_in = re.search(r"^drawn_in: (\w+)", text, re.M)[1]
    other = "in" if drawn_in == "mm" else "mm"
    found, _ = read_drawn_edition(text, "box.md")
    names = [n for n in found.front.lengths[other] if n not in found.front.tools]
    lengths = ", ".join(f"{n}: {typed_length(Fraction(found.front.lengths[other][n].value), other)}"
                        for n in names)
    text = re.sub(r"^drawn_in: \w+", f"drawn_in: {other}", text, flags=re.M)
    text = re.sub(r"^lengths:.*\n(?: +.*\n)*", f"lengths: {{{lengths}}}\n", text, flags=re.M)
    return re.sub(r"^editions:.*\n(?: +.*\n)*", "", text, flags=re.M)
