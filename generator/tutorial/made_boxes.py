"""Boxes really made: what was measured on them beside what is computed."""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from generator.findings import Finding, finding
from generator.folding import FoldedPlan
from generator.language.build_log import BuildLog, MadeBox
from generator.paper.records import Plan
from generator.regauge.comparison import difference_text
from generator.tutorial.folded_sizes import finished_measures, folded_length
from generator.tutorial.revision import revision_mark
from generator.units import Quantity, as_text, display_measure, length

DUST = Fraction(1, 1_000_000)             # mm, of arithmetic
CLOSED = length(0)          # the gap that is computed at every seam, or folding says otherwise
WHAT = {"height": "high", "across": "across", "gap": "apart at its seam"}


def boxes_of_plan(log: BuildLog, plans: Mapping[str, Plan]) -> tuple[MadeBox, ...]:
    """Those that were made from the lines of now: of another mark than an edition has a box tells nothing."""
    return tuple(box for box in log.boxes if box.mark in ("", revision_mark(plans[box.edition])))


def made_differently(log: BuildLog, plans: Mapping[str, Plan],
                     folds: Mapping[str, FoldedPlan]) -> Iterator[Finding]:
    """A warning for each measure of a box that is farther from the computed one than the log allows."""
    for box in boxes_of_plan(log, plans):
        sizes = _computed(plans[box.edition], folds.get(box.edition))
        allowed = log.tolerance[box.edition]
        for name, measured in box.measured.items():
            value = Fraction(measured.quantity.value)
            near = min(sizes[name], key=lambda each: abs(Fraction(each.value) - value), default=None)
            off = abs(Fraction(near.value) - value) if near is not None else Fraction(0)
            if near is not None and off > allowed.value + DUST:
                yield finding(
                    "box-differs", box.spans[name],
                    f"the box of {box.on} is {measured.text} {WHAT[name]}, and computed are "
                    f"{_worded(near, measured.system)}: "
                    f"{difference_text(off if near.exact else float(off), measured.system)} off, of "
                    f"{_worded(allowed, measured.system)} allowed",
                    "measure again; where it stays, write the mark of the print that it was made from "
                    "(mark:), or ask whether plan and paper are as the source says")


def _computed(plan: Plan, folded: FoldedPlan | None) -> Mapping[str, tuple[Quantity, ...]]:
    """By what can be measured; what is wide may be what is deep, since nobody knows how she held it."""
    sizes = finished_measures(plan, folded)
    if not sizes and folded is not None:
        known = [piece.dimensions for piece in folded.pieces if piece.dimensions is not None]
        sizes = {name: folded_length(mm, plan.system) for each in known[:1] if each.whole and each.settled
                 for name, mm in zip(("width", "depth", "height"), each.size, strict=True)}
    return {"height": tuple(sizes[name] for name in ("height",) if name in sizes),
            "across": tuple(sizes[name] for name in ("width", "depth") if name in sizes), "gap": (CLOSED,)}


def _worded(size: Quantity, system: str) -> str:
    return as_text(display_measure(size, system))
