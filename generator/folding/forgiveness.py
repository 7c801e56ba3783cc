"""How much a box forgives: which mark matters most, and what fails first when a hand sets it a little wrong."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from generator.folding.case import Case
from generator.folding.checks.lids import lids
from generator.folding.effects import Health, Ill
from generator.folding.gathered import Crown
from generator.folding.records import Folded
from generator.folding.shifting import Shifter
from generator.folding.slips import Slip, slips_of
from generator.paper.records import Plan
from generator.units import once

HAND = {"mm": Fraction(1, 2), "in": Fraction(127, 160)}     # mm; how far a steady hand is off (common practice, no source)
FELT = 1e-3         # share of what is bearable; less is nothing
EXACTLY = 4         # slips, the worst ones, that are refolded as folding itself does; all others to first order
MOST_SHARE = 100.0
DOUBTFUL = 0.5      # share from which a slip is worth an exact refolding
CLOSINGS = frozenset({"seam", "apart", "top-open", "twist"})    # ills that hang on how the box is refolded
MOST_PANELS = 160   # of one piece; a larger one is not tried


@dataclass(frozen=True, slots=True, eq=False)
class Sensitivity:
    """One slip and the ill it does: ``share`` of what is bearable that it uses up; it fails from 1 on.

    ``shift`` is how far the mark was off, in mm and to the side that does
    more harm; ``before`` and ``after`` are the measure of the ill.
    """

    slip: Slip
    ill: str
    act: int            # where the ill shows: a seam, a floor, a top
    shift: float
    before: float
    after: float
    share: float
    seen: tuple[float, float] = (0.0, 0.0)      # the same as people see it: how high a top rises, how much air a lid has

    @property
    def fails(self) -> bool:
        return self.share >= 1


@dataclass(frozen=True, slots=True, eq=False)
class Forgiveness:
    """All that was tried for one edition, the worst first; ``ills`` as planned, ``crowns`` of gathered tops by act."""

    hand: float
    found: tuple[Sensitivity, ...]
    ills: tuple[Ill, ...]
    crowns: dict[int, Crown]
    slips: tuple[Slip, ...] = ()

    @property
    def worst(self) -> Sensitivity | None:
        """The slip that matters most, with what it makes fail first."""
        return self.found[0] if self.found else None


@once(32)
def forgiveness(plan: Plan, folded: Folded, hand: float | None = None) -> Forgiveness:
    """Every mark of a plan set wrong by ``hand`` mm (that of its system), one at a time, to both sides."""
    hand = float(HAND[plan.system]) if hand is None else hand
    cases = [Case(plan, plan.pieces[piece.piece], plan.state(piece.piece), piece) for piece in folded.pieces
             if piece.judged and len(piece.flat.panels) <= MOST_PANELS]
    pairs = list(lids(cases))
    found: list[Sensitivity] = []
    ills: list[Ill] = []
    crowns: dict[int, Crown] = {}
    slips: list[Slip] = []
    for case in cases:
        shifter = Shifter(case)
        health = Health(case, shifter.nodes, pairs)
        before = _planned(health)
        ills += before.values()
        if health.petals is not None and (crown := health.petals.crown(shifter.nodes.points)) is not None:
            crowns[health.petals.act.number] = crown[0]
        if case.closes():
            mine = slips_of(case, shifter.nodes)
            slips += mine
            found += _tried(shifter, health, before, mine, hand)
    found.sort(key=lambda s: (-s.share, s.slip.act, s.slip.index))
    return Forgiveness(hand, tuple(found), tuple(ills), crowns, tuple(slips))


def _planned(health: Health) -> dict[tuple[str, int], Ill]:
    still = np.zeros_like(health.nodes.points)
    gaps = np.array([r.gap for r in health.case.folded.residuals])
    return {(ill.kind, ill.act): ill for ill in health.ills(health.case, gaps, still)}


def _tried(shifter: Shifter, health: Health, before: dict[tuple[str, int], Ill], slips: Sequence[Slip],
           hand: float) -> Iterator[Sensitivity]:
    def tried(slip: Slip, exactly: bool) -> list[Sensitivity]:
        worst: dict[tuple[str, int], Sensitivity] = {}
        for shift in (hand, -hand):
            now, gaps = shifter.shifted(shift * slip.moves, exactly)
            for ill in health.ills(now, gaps, shift * slip.moves):
                key = ill.kind, ill.act
                if key in before:
                    each = Sensitivity(slip, ill.kind, ill.act, shift, before[key].value, ill.value, _share(before[key], ill),
                                       (before[key].seen, ill.seen))
                    if key not in worst or each.share > worst[key].share:
                        worst[key] = each
        return [each for each in worst.values() if each.share > FELT]

    rows = sorted((tried(slip, False) for slip in slips), key=_worst_share)
    for k, row in enumerate(rows):
        yield from tried(row[0].slip, True) if row and k < EXACTLY and any(s.ill in CLOSINGS and s.share > DOUBTFUL for s in row) else row


def _worst_share(row: Sequence[Sensitivity]) -> float:
    return -max((each.share for each in row), default=0.0)


def _share(before: Ill, after: Ill) -> float:
    """How much of the room between what is planned and what is bearable a slip uses up."""
    room = before.limit - before.value
    used = after.value - before.value
    return float(min(used / room, MOST_SHARE)) if room > 1e-6 else (MOST_SHARE if used > 1e-3 else 0.0)


def by_ill(found: Sequence[Sensitivity]) -> dict[tuple[str, int], list[Sensitivity]]:
    """The slips that do each ill, at each place where it shows, the worst first."""
    made: dict[tuple[str, int], list[Sensitivity]] = {}
    for each in found:
        made.setdefault((each.ill, each.act), []).append(each)
    return made
