"""A gathered top closes: the window of crown heights, by closed form where the top is regular."""
from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from generator.findings import Finding, finding
from generator.folding.case import Case
from generator.folding.gathered import Crown
from generator.folding.gathering import peak, petals
from generator.folding.linkage import Linkage, linkage
from generator.folding.records import MEET, Top
from generator.paper.work_kinds import Effect

EQUAL = 1e-6        # of the width: petals that differ by less are equal


def top_of(case: Case) -> Top | None:
    """The gathered top of a piece; None unless it is regular and straight."""
    act = next((a for a in case.plan.acts if a.effect is Effect.GATHER and a.pieces[:1] == (case.info.id,)), None)
    if act is None:
        return None
    link = linkage(case.folded.flat)
    arms = {arm.panel: arm for arm in link.arms}
    found = [arms[k] for k in petals(case.plan, case.state, link) if k in arms and case.firm(k)]
    if len(found) < 3:
        return None
    widths = np.array([link.flat.hinges[arm.hinge].length for arm in found])
    heights = np.array([abs((peak(link, arm) - arm.origin[:2]) @ np.array((-arm.axis[1], arm.axis[0]))) for arm in found])
    if np.ptp(widths) > EQUAL * widths[0] or np.ptp(heights) > EQUAL * widths[0]:
        return None
    signs = {link.flat.hinges[arm.hinge].bend.sign for arm in found}
    tucked = _tucked(link, {arm.panel for arm in found}, signs.pop())
    return Top(act.number, Crown(len(found), float(widths[0]), float(heights[0])), tucked)


def _tucked(link: Linkage, found: set[int], sign: int) -> bool:
    """Whether the fold in the middle of a gusset bends the other way than the petals do."""
    edged = {arm.parent for arm in link.arms if arm.panel in found}
    middles = [h for h in link.flat.hinges if not {h.left, h.right} & (found | edged)
               and any(h2.other(k) in found for k in (h.left, h.right) for h2 in link.flat.hinges_of(k))]
    return not middles or any(h.bend.sign != sign for h in middles)


def crown_findings(case: Case) -> Iterator[Finding]:
    """Where a gathered top cannot close: the height it has, and the window it must lie in."""
    top = top_of(case)
    if top is not None:
        crown = top.crown
        if not top.closes:
            low, high = case.say(crown.apothem), case.say(crown.circumradius)
            window = f"at least {low} and at most {high}" if top.tucked else f"at least {low}"
            how = "leaves a hole" if crown.height < crown.apothem else "has no room for its gussets"
            yield finding("crown-window", case.act(top.act).span, f"a crown {case.say(crown.height)} high {how}: it closes when it is {window}",
                          "change the height of the crown or the width of the panels")
        return
    gaps = [r for r in case.folded.residuals if r.kind == "gather" and r.gap > MEET]
    if gaps and case.closes():
        worst = max(gaps, key=lambda r: r.gap)
        yield finding("crown-window", worst.span, f"the peaks of this top stay {case.say(worst.gap)} apart",
                      "make the crown a little higher, or look at its folds")
