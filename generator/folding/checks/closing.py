"""Seams meet, glued faces come to lie on their targets, and folds round a point agree."""
from __future__ import annotations

from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding.case import Case
from generator.folding.records import MEET, Residual
from generator.folding.rigid import UNFOLDED

SHARE = 0.5     # of the largest gap: smaller ones are its echo, since least squares share a misfit out
CODES = {"seam": "seam-open", "edge": "seam-open", "glue": "glue-apart", "loop": "folds-contradict"}


def closing_findings(case: Case) -> Iterator[Finding]:
    """One finding for each statement whose edges or faces stay apart by more than 0.1 mm."""
    if not case.folded.judged:
        return
    worst: dict[tuple[str, int], Residual] = {}
    for residual in case.folded.residuals:
        if residual.kind in CODES:
            key = CODES[residual.kind], residual.act
            if key not in worst or residual.gap > worst[key].gap:
                worst[key] = residual
    most = max((r.gap for r in worst.values()), default=0.0)
    for (code, _), residual in sorted(worst.items(), key=lambda item: item[0][1]):
        if residual.gap > max(MEET, SHARE * most):
            yield _told(case, code, residual)
    if most <= MEET:
        yield from _unfolded(case)


def _unfolded(case: Case) -> Iterator[Finding]:
    """Folds that must stay flat for the rest to close: one finding for each statement."""
    flat = {h.bend.act: h.bend for h in case.folded.flat.hinges if case.folded.angles[h.id] < UNFOLDED
            and case.firm(h.left) and case.firm(h.right)}
    for bend in flat.values():
        yield finding("folds-contradict", bend.span, "for all else to close, some of these folds would have to stay flat",
                      "look at the directions of all folds round them: mountain and valley may be exchanged")


def _told(case: Case, code: str, residual: Residual) -> Finding:
    gap = case.say(residual.gap)
    if code == "seam-open":
        which = f"pair {residual.index}" if residual.kind == "seam" else f"tab {residual.index}"
        return finding(code, residual.span, f"folded, the edges of {which} stay {gap} apart",
                       "look at the panels between them: one is too long, too short, or folded too far")
    if code == "glue-apart":
        return finding(code, residual.span, f"folded, face {residual.index} stays {gap} away from what it is glued to",
                       "look at the angles of the folds between them, and at the panels' lengths")
    return finding(code, residual.span, f"these folds cannot all be made at once; the paper would be torn by {gap}",
                   "look at the directions and angles of all folds that meet in a point")
