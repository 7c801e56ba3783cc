"""Fold both editions, and hand on what is found: the check that what is printed becomes the box."""
from __future__ import annotations

from collections.abc import Mapping, MutableMapping

from generator.findings import Finding
from generator.folding import FoldedPlan, fold
from generator.language.evaluation.evaluate import Evaluation
from generator.language.front_matter import FrontMatter
from generator.paper.records import Plan
from generator.tutorial.checks.folded import finish_findings, ribbon_findings
from generator.tutorial.editions import merged
from generator.tutorial.folded_sizes import content_findings
from generator.tutorial.folded_values import FoldedValues, UnknownValues


def folded(plans: Mapping[str, Plan], cache: MutableMapping[str, bytes] | None = None) -> dict[str, FoldedPlan]:
    """The folded box of every edition, by system; what takes long is kept in ``cache``."""
    return {system: fold(plan, cache) for system, plan in plans.items()}


def fold_findings(done: Mapping[str, FoldedPlan], front: FrontMatter, plans: Mapping[str, Plan]) -> tuple[Finding, ...]:
    """What is wrong with the folded box of either edition, those of the drawn one first; one that stands in both is said once."""
    return merged(*((system, box_findings(front, plans[system], done[system])) for system in (front.drawn_in, front.other)))


def box_findings(front: FrontMatter, plan: Plan, done: FoldedPlan) -> tuple[Finding, ...]:
    """What folding finds in one edition, and what is said of the box that is not so."""
    return (*done.findings, *finish_findings(plan, done), *content_findings(front.holds, done, plan.system),
            *ribbon_findings(front, plan, done))


def let_tell(editions: Mapping[str, Evaluation], front: FrontMatter, done: Mapping[str, FoldedPlan]) -> None:
    """Let prose ask what the folded boxes tell; without them only names are looked at."""
    for system, edition in editions.items():
        edition.evaluator.builder.deferred_source = FoldedValues(edition.plan, done[system], front) if system in done else UnknownValues()
