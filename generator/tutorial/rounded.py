"""Clearances that were rounded towards their limit when the other edition was chosen."""
from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from generator.findings import Finding, finding
from generator.language.front_matter import FrontMatter
from generator.language.part_use import expand_parts
from generator.tutorial.editions import SYSTEM_WORDS
from generator.tutorial.regauge.clearances import AT_LEAST, Clearance, clearances_of, inward
from generator.tutorial.regauge.sums import Pure, Steps
from generator.units import Bench, as_text, length, word


def rounded_clearances(front: FrontMatter, steps: Steps, benches: Mapping[str, Bench]) -> list[Finding]:
    """A warning for each: limits are rounded inward (ANSI/IEEE 268)."""
    bench = benches[front.other]
    steps = expand_parts(steps, front.parts)
    pure = Pure(front, steps, front.other, bench)
    return [_finding(front, each, bench) for each in clearances_of(pure, steps)
            if each.name not in front.missing_lengths and not each.kept(*_values(front, each))]


def _values(front: FrontMatter, each: Clearance) -> tuple[Fraction, Fraction]:
    return Fraction(front.lengths[front.drawn_in][each.name].value), Fraction(front.lengths[front.other][each.name].value)


def _finding(front: FrontMatter, each: Clearance, bench: Bench) -> Finding:
    drawn, now = _values(front, each)
    way, must = ("down", "may only grow") if each.side == AT_LEAST else ("up", "may only shrink")
    better = inward(drawn, bench.grid("rule"), each.side)
    message = (f"in the {SYSTEM_WORDS[front.other]} edition the clearance '{each.name}' is rounded {way}, from "
               f"{as_text(word(length(drawn), front.drawn_in))} to {as_text(word(length(now), front.other))}; a limit is rounded inward")
    hint = f"it {must}: {as_text(word(length(better), front.other))} is the next mark" if better else f"it {must}"
    return finding("clearance-rounded", front.edition_spans[front.other][each.name], message, hint)
