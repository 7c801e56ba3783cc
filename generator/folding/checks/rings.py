"""Rings of panels: no panel is left out of a ring, and none is wider than its twin by a slip."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from generator.findings import Finding, Severity, finding
from generator.folding.case import Case
from generator.folding.closings import Stuck
from generator.folding.records import Hinge
from generator.folding.rigid import ring_of

EVEN = 0.01         # mm; panels that differ by less are equally wide
EASE = 0.75         # mm; half a millimetre less is a deliberate ease of what goes inside (common practice, no source)
SLIP = 3.0          # mm; panels that differ by more are meant to be different
FEWEST = 3          # panels that make a ring


@dataclass(frozen=True, slots=True, eq=False)
class _Ring:
    """A row of panels that a tab closes: its hinges from the target's to the tab's own, and how wide each panel is, in mm."""

    tab: Stuck
    hinges: tuple[Hinge, ...]
    widths: tuple[float, ...]


def ring_findings(case: Case) -> Iterator[Finding]:
    """One finding for each tab whose ring leaves a panel outside, and one for each ring with an odd panel."""
    for each in case.stuck:
        ring = _ring(case, each)
        if ring is None:
            continue
        left = _left_out(case, ring)
        if left is not None:
            yield finding("ring-short", each.act.span, f"this closes a ring of {len(ring.hinges)} panels and leaves "
                          f"{case.called(left)} outside", "glue it to the panel at the end of the row; where a panel shall "
                          "hang over, say how far it is folded (by=…)")
        elif (odd := _odd(ring.widths)) is not None:
            k, usual = odd
            hinge = ring.hinges[max(k - 1, 0)]
            span = next((m.span for m in case.state.marks if m.id == hinge.mark), case.info.span)
            yield finding("panels-uneven", span, f"panel {k + 1} of the ring that these folds make is {case.say(ring.widths[k])} "
                          f"wide, its like {case.say(usual)}", "make them the same; half a millimetre less is left as an ease",
                          Severity.WARNING)


def leaves_out(case: Case) -> bool:
    """Whether a tab closes a ring that leaves a panel outside."""
    rings = (_ring(case, each) for each in case.stuck)
    return any(ring is not None and _left_out(case, ring) is not None for ring in rings)


def _ring(case: Case, each: Stuck) -> _Ring | None:
    row = ring_of(case.link, each)
    if row is None or len(row) < FEWEST or each.panel == each.target_panel:
        return None
    hinges = [case.folded.flat.hinges[k] for k in row]
    across = _across(hinges[0])
    places = np.array([h.start @ across for h in hinges])
    start = case.folded.flat.panels[each.target_panel].polygon
    ends = np.asarray(start.exterior.coords) @ across
    order = np.argsort(places)
    if abs(places - ends.mean()).argmin() == order[-1]:
        order = order[::-1]
    rows = np.concatenate([[ends.min() if places[order[0]] > ends.mean() else ends.max()], places[order]])
    return _Ring(each, tuple(hinges[k] for k in order), tuple(map(float, np.abs(np.diff(rows)))))


def _across(hinge: Hinge) -> np.ndarray:
    step = (hinge.end - hinge.start) / hinge.length
    return np.array((-step[1], step[0]))


def _left_out(case: Case, ring: _Ring) -> int | None:
    """The panel that hangs on the far side of what a tab is glued to, though nothing says how it is folded or held."""
    held = {k for s in case.stuck if s.paired for k in (s.panel, s.target_panel)}
    inside = {k for hinge in ring.hinges for k in (hinge.left, hinge.right)}
    for hinge in case.folded.flat.hinges_of(ring.tab.target_panel):
        other = hinge.other(ring.tab.target_panel)
        aside = abs(_across(ring.hinges[0]) @ (hinge.end - hinge.start)) / hinge.length
        if other not in inside and aside < 1e-6 and other not in held and hinge.bend.angle is None:
            return other
    return None


def _odd(widths: Sequence[float]) -> tuple[int, float] | None:
    """The place of the one panel that differs a little from all others, or from the one opposite; and how wide those are."""
    w = np.array(widths)
    if len(w) == 4:
        gaps = w[:2] - w[2:]
        for k in (0, 1):
            if abs(gaps[1 - k]) <= EVEN and EASE < abs(gaps[k]) <= SLIP:
                wide = k if gaps[k] > 0 else k + 2
                return wide, float(w[(wide + 2) % 4])
        return None
    usual = float(np.median(w))
    off = np.flatnonzero(np.abs(w - usual) > EVEN)
    return (int(off[0]), usual) if len(w) > 4 and len(off) == 1 and EASE < abs(w[off[0]] - usual) <= SLIP else None
