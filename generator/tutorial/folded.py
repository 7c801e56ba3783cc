"""Fold both editions, and hand on what is found: the check that what is printed becomes the box."""
from __future__ import annotations

from collections.abc import Mapping

from generator.findings import Finding
from generator.folding import Folded, fold
from generator.paper.records import Plan
from generator.tutorial.editions import merged


def folded(plans: Mapping[str, Plan]) -> dict[str, Folded]:
    """The folded box of every edition, by system."""
    return {system: fold(plan) for system, plan in plans.items()}


def fold_findings(done: Mapping[str, Folded], drawn_in: str) -> tuple[Finding, ...]:
    """What folding finds in either edition, those of the drawn one first; one that stands in both is said once."""
    order = sorted(done, key=lambda system: system != drawn_in)
    return merged(*((system, done[system].findings) for system in order))
