"""How much ribbon a batch of boxes takes, as shops sell it: in metres and in yards, rounded up."""
from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from generator.tongue import ENGLISH, Tongue
from generator.tutorial.facts import NOWHERE, inlay
from generator.tutorial.records import Inlay, Tutorial, Wording
from generator.tutorial.sheet_plans import BATCHES
from generator.units import MM_PER_INCH, Words, as_html, as_speech, as_text, decimal_text, length

METRE = 1000
YARD = 36 * MM_PER_INCH                             # exact (NIST Handbook 44, Appendix C)
STEP = {"mm": Fraction(1, 10), "in": Fraction(1, 4)}    # of a metre and of a yard, as they are cut from the roll (common practice, no source)


@dataclass(frozen=True, slots=True)
class RibbonPlan:
    """One ribbon: how much of it each number of boxes of :data:`BATCHES` takes."""

    name: str
    lengths: tuple[Inlay, ...]


def ribbon_plans(tutorial: Tutorial, tongue: Tongue = ENGLISH) -> tuple[RibbonPlan, ...]:
    """A plan for each ribbon, in the order of the source."""
    found = []
    for info in tutorial.plans["mm"].pieces if tutorial.plans else ():
        if info.is_ribbon:
            each = {s: Fraction(plan.states[info.id][0][1].width.value) for s, plan in tutorial.plans.items()}
            found.append(RibbonPlan(tongue.say("box.ribbon_for", name=tongue.name(info.name)),
                                    tuple(_length(each, boxes, tongue) for boxes in BATCHES)))
    return tuple(found)


def _length(each: Mapping[str, Fraction], boxes: int, tongue: Tongue) -> Inlay:
    whole = {system: mm * boxes for system, mm in each.items()}
    if whole["mm"] < METRE and whole["in"] < YARD:
        return inlay({system: length(mm) for system, mm in whole.items()}, tongue=tongue)
    return Inlay("", NOWHERE, {s: _sold(mm, s, tongue) for s, mm in whole.items()}, False)


def _sold(mm: Fraction, system: str, tongue: Tongue) -> Wording:
    step, unit, name = STEP[system], *((METRE, "metre") if system == "mm" else (YARD, "yard"))
    size = math.ceil(mm / unit / step) * step
    rest = size % 1
    words = Words(False, int(size), 0 if system == "mm" else rest.numerator, 1 if system == "mm" else rest.denominator,
                  decimal_text(size, 1) if system == "mm" else "", "")
    sign, spoken = tongue.say(f"box.unit.{name}"), tongue.count(f"box.spoken.{name}", float(size))
    return Wording(f"{as_text(words, tongue)} {sign}", f"{as_speech(words, tongue)} {spoken}", f"{as_html(words, tongue)}\u00a0{sign}")
