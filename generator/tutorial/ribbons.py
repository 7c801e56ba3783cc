"""Ribbons are long enough for their way through the holes, and for the bow where the author says what that takes."""
from __future__ import annotations

from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding import FoldedPlan
from generator.language.front_matter import FrontMatter
from generator.language.source.front_matter_values import BOW_RIBBON
from generator.paper.records import Plan
from generator.tutorial.figures import measured
from generator.tutorial.told import ways
from generator.units import as_text, word


def ribbon_findings(front: FrontMatter, plan: Plan, done: FoldedPlan) -> Iterator[Finding]:
    """A warning for each ribbon that is too short."""
    bow = front.bow[plan.system] if front.bow is not BOW_RIBBON else None      # the usual bow is no promise of the author's
    for number, mm in ways(done).items():
        act, way = plan.acts[number], measured(mm, plan.system)
        needed = way if bow is None else way + bow
        ribbon = act.detail.ribbon
        if ribbon is not None and ribbon.below(needed):
            given, least = (as_text(word(each, plan.system)) for each in (ribbon, needed))
            takes = f"its way through the holes takes {least}" + ("" if bow is None else " with the bow")
            yield finding("ribbon-short", act.span, f"this ribbon is {given} long, and {takes}", "take a longer one")
