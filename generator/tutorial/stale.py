"""Does the other edition still fit the drawn one, or was a dimension changed behind its back?"""
from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import ceil

from generator.findings import Finding, finding
from generator.language.front_matter import FrontMatter
from generator.language.source.front_matter_models import MAX_WINDOW_PERCENT
from generator.paper.records import Plan
from generator.tutorial.editions import SYSTEM_WORDS
from generator.tutorial.regauge.problem import USUAL_WINDOW, Window, drawn_lengths, marks_of, windows_of
from generator.units import Bench, as_text, word


def stale(front: FrontMatter, drawn: Plan, benches: Mapping[str, Bench]) -> list[Finding]:
    """A finding for each named length of the other edition that lies outside the window about its drawn value."""
    bench, lengths = benches[front.other], drawn_lengths(front)
    within = front.within or USUAL_WINDOW
    windows = windows_of(lengths, marks_of(front, drawn, bench, front.other), bench, within)
    return [_finding(front, name, windows[name], within) for name in lengths
            if name not in front.missing_lengths and not windows[name].holds(Fraction(front.lengths[front.other][name].value))]


def _finding(front: FrontMatter, name: str, window: Window, within: Fraction) -> Finding:
    other, drawn = front.lengths[front.other][name], front.lengths[front.drawn_in][name]
    apart = abs(other.value - drawn.value) / drawn.value * 100
    most = f"{float(within * 100):g} %" if window.high - drawn.value <= within * drawn.value else "one mark of the tool"
    message = (f"in the {SYSTEM_WORDS[front.other]} edition '{name}' is {as_text(word(other, front.other))}, and it is drawn "
               f"{as_text(word(drawn, front.drawn_in))}: {float(apart):.1f} % apart, and {most} is the most")
    hint = f"choose '{name}' anew in that edition"
    if apart <= MAX_WINDOW_PERCENT:
        hint += f"; or, if it is meant so, allow it under editions: with within: {ceil(apart)} %"
    return finding("edition-stale", front.edition_spans[front.other][name], message, hint)
