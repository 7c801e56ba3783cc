"""Does the other edition still fit the drawn one, or was a dimension changed behind its back?

Clearances that were rounded towards their limit when the other edition was chosen.
"""
from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import ceil

from generator.findings import Finding, finding
from generator.language.front_matter import FrontMatter
from generator.language.part_use import expand_parts
from generator.language.source.front_matter_models import MAX_WINDOW_PERCENT
from generator.paper.records import Plan
from generator.regauge.formulas import LengthStatements, StepStatements
from generator.regauge.problem import (
    AT_LEAST,
    DEFAULT_WINDOW,
    Clearance,
    Window,
    clearances_of,
    drawn_lengths,
    mark_congruences,
    rounded_inward,
    windows_of,
)
from generator.units import SYSTEMS, Bench, as_text, display_measure, length


def stale_lengths(front: FrontMatter, drawn: Plan, benches: Mapping[str, Bench]) -> list[Finding]:
    """A finding for each named length of the other edition that lies outside the window about its drawn value."""
    bench, lengths = benches[front.other], drawn_lengths(front)
    within = front.within or DEFAULT_WINDOW
    windows = windows_of(lengths, mark_congruences(front, drawn, bench, front.other), bench, within)
    return [_stale_finding(front, name, windows[name], within) for name in lengths
            if name not in front.missing_lengths
            and not windows[name].holds(Fraction(front.lengths[front.other][name].value))]


def _stale_finding(front: FrontMatter, name: str, window: Window, within: Fraction) -> Finding:
    other, drawn = front.lengths[front.other][name], front.lengths[front.drawn_in][name]
    apart = abs(other.value - drawn.value) / drawn.value * 100
    most = (f"{float(within * 100):g} %" if window.high - drawn.value <= within * drawn.value
            else "one mark of the tool")
    message = (
        f"in the {SYSTEMS[front.other].edition} edition '{name}' is "
        f"{as_text(display_measure(other, front.other))}, and it is drawn "
               f"{as_text(display_measure(drawn, front.drawn_in))}: {float(apart):.1f} % apart, and {most} "
               "is the most")
    hint = f"choose '{name}' anew in that edition"
    if apart <= MAX_WINDOW_PERCENT:
        hint += f"; or, if it is meant so, allow it under editions: with within: {ceil(apart)} %"
    return finding("edition-stale", front.edition_spans[front.other][name], message, hint)


def rounded_clearances(front: FrontMatter, steps: StepStatements,
                       benches: Mapping[str, Bench]) -> list[Finding]:
    """A warning for each: limits are rounded inward (ANSI/IEEE 268)."""
    bench = benches[front.other]
    steps = expand_parts(steps, front.parts)
    pure = LengthStatements(front, steps, front.other, bench)
    return [_clearance_finding(front, each, bench) for each in clearances_of(pure, steps)
            if each.name not in front.missing_lengths and not each.kept(*_drawn_and_regauged(front, each))]


def _drawn_and_regauged(front: FrontMatter, each: Clearance) -> tuple[Fraction, Fraction]:
    return Fraction(front.lengths[front.drawn_in][each.name].value), Fraction(
        front.lengths[front.other][each.name].value)


def _clearance_finding(front: FrontMatter, each: Clearance, bench: Bench) -> Finding:
    drawn, now = _drawn_and_regauged(front, each)
    way, must = ("down", "may only grow") if each.side == AT_LEAST else ("up", "may only shrink")
    better = rounded_inward(drawn, bench.grid("rule"), each.side)
    message = (
        f"in the {SYSTEMS[front.other].edition} edition the clearance '{each.name}' is rounded {way}, from "
               f"{as_text(display_measure(length(drawn), front.drawn_in))} to "
               f"{as_text(display_measure(length(now), front.other))}; a limit is rounded inward")
    hint = (f"it {must}: {as_text(display_measure(length(better), front.other))} is the next mark" if better
            else f"it {must}")
    return finding("clearance-rounded", front.edition_spans[front.other][each.name], message, hint)
