"""Ribbons are long enough for their way through the holes, and for the bow where the author says what that takes."""
from __future__ import annotations

from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding import Folded
from generator.language.front import Front
from generator.language.front_things import BOW
from generator.paper.records import Plan
from generator.tutorial.figures import measured
from generator.tutorial.told import ways
from generator.units import as_text, word


def ribbon_findings(front: Front, plan: Plan, done: Folded) -> Iterator[Finding]:
    """A warning for each ribbon that is too short."""
    bow = front.bow[plan.system] if front.bow is not BOW else None      # the usual bow is no promise of the author's
    for number, mm in ways(done).items():
        act, way = plan.acts[number], measured(mm, plan.system)
        needed = way if bow is None else way + bow
        ribbon = act.detail.ribbon
        if ribbon is not None and ribbon.below(needed):
            given, least = (as_text(word(each, plan.system)) for each in (ribbon, needed))
            takes = f"its way through the holes takes {least}" + ("" if bow is None else " with the bow")
            yield finding("ribbon-short", act.span, f"this ribbon is {given} long, and {takes}", "take a longer one")
