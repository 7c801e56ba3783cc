"""How much a box forgives: which mark matters most, and what fails first when a hand sets it a little wrong.

A folded piece is refolded with its corners a little elsewhere, to first order from the angles it has.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from copy import copy
from functools import cached_property
from types import MappingProxyType

import numpy as np

from generator.dataclass import dataclass, replace
from generator.folding.closing_solver import ClosingProblem, descend
from generator.folding.defects import Defect, DefectMeter
from generator.folding.features.crown import Crown
from generator.folding.features.lids import lid_pairs
from generator.folding.kinematics import Arm, ConditionRows, Linkage
from generator.folding.marking_errors import MapNodes, MarkingError, marking_errors_of, nodes_of
from generator.folding.piece_context import PieceContext, final_state
from generator.folding.records import FlatMap, FoldedPlan, Hinge
from generator.geometry.arrays import FloatArray, IntArray
from generator.geometry.ties import snapped
from generator.paper.records import Plan
from generator.units import SYSTEMS, memoised

MAX_CORRECTIONS = 3          # corrections with the slopes of the unmoved piece
MIN_SLOPE_RATIO = 1e-5         # of the largest slope: directions that are felt less are left alone


class PiecePerturbation:
    """One folded piece, and what becomes of it when its corners move."""

    def __init__(self, context: PieceContext) -> None:
        self.context = context
        self.nodes: MapNodes = nodes_of(context.folded.flat)
        self.link: Linkage = context.link
        self.closings = context.closings
        self.signs = np.array([h.bend.sign for h in context.folded.flat.hinges], float)
        self.free = np.array([h.bend.angle is None for h in context.folded.flat.hinges], bool)

    @cached_property
    def rows(self) -> ConditionRows:
        """All closing conditions of the piece."""
        return ConditionRows(self.link, [c for closing in self.closings for c in closing.conditions])

    @cached_property
    def owners(self) -> IntArray:
        """For each condition the place of its closing."""
        return np.array([k for k, closing in enumerate(self.closings) for _ in closing.conditions], int)

    @cached_property
    def _answer(self) -> FloatArray:
        """How the free angles give way to gaps: the pseudo-inverse of the slopes (free × equations)."""
        _, slopes = self.rows.slopes(self.signs * self.context.folded.angles)
        return -np.linalg.pinv((slopes * self.signs)[:, self.free], rcond=MIN_SLOPE_RATIO)

    @cached_property
    def _ends(self) -> tuple[IntArray, IntArray]:
        """The nodes at the two points of each condition, −1 where it is no corner."""
        return self.nodes.at(self.rows.p[:, :2]), self.nodes.at(self.rows.q[:, :2])

    def shifted(self, by: FloatArray, exactly: bool = False) -> tuple[PieceContext, FloatArray]:
        """The piece with its corners moved by ``by`` (nodes × 2, mm), and the gap of each closing, in mm.

        To first order, which is quick; ``exactly`` goes on from there as folding itself does.
        """
        places = self.nodes.points + by
        hinges = self.nodes.moved_hinges(places)
        link = self._link(hinges)
        angles, gaps = self.context.folded.angles, np.zeros(len(self.closings))
        if self.closings:
            rows = self._moved_rows(link, by)
            angles = self._refolded(rows, angles)
            if exactly:
                angles = descend(ClosingProblem(rows, self.signs, self.free, self.context.folded.angles),
                                 angles).angles
            gaps = self._by_closing(rows.gaps(self.signs * angles))
        flat = FlatMap(self.context.folded.flat.piece, self.nodes.panels(places), hinges,
                       self.context.folded.flat.edges)
        frames = link.frames(self.signs * angles)
        return replace(self.context,
                       folded=replace(self.context.folded, flat=flat, angles=angles, frames=frames)), gaps

    def _refolded(self, rows: ConditionRows, angles: FloatArray) -> FloatArray:
        best, least = angles, rows.gaps(self.signs * angles)
        now = least
        for _ in range(MAX_CORRECTIONS if self.free.any() else 0):
            tried = best.copy()
            tried[self.free] = np.clip(best[self.free] + self._answer @ now, 0, np.pi)
            now = rows.gaps(self.signs * tried)
            if now @ now >= least @ least:
                break
            best, least = tried, now
        return best

    def _by_closing(self, gaps: FloatArray) -> FloatArray:
        """The largest gap of each closing: a level's distance, the length of a meeting's three parts."""
        level = self.rows.level
        each = np.zeros(len(level))
        count = int(level.sum())
        each[level] = np.abs(gaps[:count])
        each[~level] = np.linalg.norm(gaps[count:].reshape(3, -1), axis=0)
        result = np.zeros(len(self.closings))
        np.maximum.at(result, self.owners, each)
        return result

    def _link(self, hinges: tuple[Hinge, ...]) -> Linkage:
        arms = []
        for arm in self.link.arms:
            hinge = hinges[arm.hinge]
            start, end = (hinge.start, hinge.end) if arm.parent == hinge.left else (hinge.end, hinge.start)
            step = (end - start) / np.hypot(*(end - start))
            arms.append(Arm(arm.panel, arm.parent, arm.hinge, np.array((*start, 0.0)),
                            np.array((*step, 0.0))))
        return replace(self.link, flat=replace(self.link.flat, hinges=hinges), arms=tuple(arms))

    def _moved_rows(self, link: Linkage, by: FloatArray) -> ConditionRows:
        rows = copy(self.rows)
        rows.link = link
        moved = np.concatenate([by, np.zeros((1, 2))])      # the last one for points that are no corner
        p, q = self._ends
        rows.p, rows.q = rows.p.copy(), rows.q.copy()
        rows.p[:, :2] += moved[p]
        rows.q[:, :2] += moved[q]
        self._turn_loops(rows, link)
        return rows

    def _turn_loops(self, rows: ConditionRows, link: Linkage) -> None:
        """Loops turn about their spare hinge where it lies now; the point beside it stays beside it."""
        if not len(rows.turned):
            return
        hinges = [link.flat.hinges[k] for k in rows.hinge]
        starts = np.array([h.start for h in hinges])
        steps = np.array([h.direction for h in hinges])
        zero = np.zeros((len(hinges), 1))
        rows.origin, rows.axis = np.hstack([starts, zero]), np.hstack([steps, zero])


# of what is bearable; marks that use up as much but for less than this are equal, and the first made leads
EQUAL_SHARES = 2.0 ** -14
# mm; how far a steady hand is off (common practice, no source)
MIN_SHARE = 1e-3         # share of what is bearable; less is nothing
# slips, the worst ones, that are refolded as folding itself does; all others to first order
EXACT_REFOLDINGS = 4
MAX_SHARE = 100.0
EXACT_FROM_SHARE = 0.5      # share from which a slip is worth an exact refolding
# defects that hang on how the box is refolded
CLOSING_DEFECTS = frozenset({"seam", "apart", "top-open", "twist"})
MAX_PANELS = 160   # of one piece; a larger one is not tried


@dataclass(frozen=True, slots=True, eq=False)
class Sensitivity:
    """One slip and the defect it does: ``share`` of what is bearable that it uses up; it fails from 1 on.

    ``shift`` is how far the mark was off, in mm and to the side that does
    more harm; ``before`` and ``after`` are the measure of the defect.
    """

    error: MarkingError
    defect: str
    act: int            # where the defect shows: a seam, a floor, a top
    shift: float
    before: float
    after: float
    share: float
    # the same as people see it: how high a top rises, how much air a lid has
    seen: tuple[float, float] = (0.0, 0.0)

    @property
    def fails(self) -> bool:
        """Whether an error within the tolerance of the hand makes it fail."""
        return self.share >= 1


@dataclass(frozen=True, slots=True, eq=False)
class ToleranceReport:
    """All tried for one edition, the worst first; planned ``defects``, ``crowns`` of gathered tops by act."""

    hand: float
    found: tuple[Sensitivity, ...]
    defects: tuple[Defect, ...]
    crowns: Mapping[int, Crown]
    errors: tuple[MarkingError, ...] = ()

    @property
    def worst(self) -> Sensitivity | None:
        """The slip that matters most, with what it makes fail first."""
        return self.found[0] if self.found else None


@memoised(32)
def analyse_tolerances(plan: Plan, folded: FoldedPlan, hand: float | None = None) -> ToleranceReport:
    """Every mark of a plan set wrong by ``hand`` mm (that of its system), one at a time, to both sides."""
    hand = float(SYSTEMS[plan.system].hand_error) if hand is None else hand
    contexts = [PieceContext(plan, plan.pieces[piece.piece], final_state(plan, piece.piece), piece)
                for piece in folded.pieces
                if piece.judged and len(piece.flat.panels) <= MAX_PANELS]
    pairs = list(lid_pairs(contexts))
    found: list[Sensitivity] = []
    defects: list[Defect] = []
    crowns: dict[int, Crown] = {}
    errors: list[MarkingError] = []
    for context in contexts:
        perturbation = PiecePerturbation(context)
        meter = DefectMeter(context, perturbation.nodes, pairs)
        before = _planned_defects(meter)
        defects += before.values()
        if meter.petals is not None and (crown := meter.petals.crown(perturbation.nodes.points)) is not None:
            crowns[meter.petals.act.number] = crown[0]
        if context.closes():
            mine = marking_errors_of(context, perturbation.nodes)
            errors += mine
            found += _sensitivities(perturbation, meter, before, mine, hand)
    found.sort(key=lambda s: (-float(snapped(s.share, EQUAL_SHARES)), s.error.act, s.error.index))
    return ToleranceReport(hand, tuple(found), tuple(defects), MappingProxyType(crowns), tuple(errors))


def _planned_defects(meter: DefectMeter) -> dict[tuple[str, int], Defect]:
    still = np.zeros_like(meter.nodes.points)
    gaps = np.array([r.gap for r in meter.context.folded.residuals])
    return {(defect.kind, defect.act): defect for defect in meter.defects(meter.context, gaps, still)}


def _sensitivities(perturbation: PiecePerturbation, meter: DefectMeter, before: dict[tuple[str, int], Defect],
                   errors: Sequence[MarkingError], hand: float) -> Iterator[Sensitivity]:
    def tried(error: MarkingError, exactly: bool) -> list[Sensitivity]:
        worst: dict[tuple[str, int], Sensitivity] = {}
        for shift in (hand, -hand):
            now, gaps = perturbation.shifted(shift * error.moves, exactly)
            for defect in meter.defects(now, gaps, shift * error.moves):
                key = defect.kind, defect.act
                if key in before:
                    each = Sensitivity(error, defect.kind, defect.act, shift, before[key].value, defect.value,
                                       _share_used(before[key], defect), (before[key].seen, defect.seen))
                    if key not in worst or each.share > worst[key].share + EQUAL_SHARES:
                        worst[key] = each
        return [each for each in worst.values() if each.share > MIN_SHARE]

    rows = sorted((tried(error, False) for error in errors), key=_by_worst_share)
    for k, row in enumerate(rows):
        yield from tried(row[0].error,
                         True) if row and k < EXACT_REFOLDINGS and any(s.defect in CLOSING_DEFECTS
                                                                       and s.share > EXACT_FROM_SHARE
                                                                       for s in row) else row


def _by_worst_share(row: Sequence[Sensitivity]) -> float:
    return -float(snapped(max((each.share for each in row), default=0.0), EQUAL_SHARES))


def _share_used(before: Defect, after: Defect) -> float:
    """How much of the room between what is planned and what is bearable a slip uses up."""
    room = before.limit - before.value
    used = after.value - before.value
    return float(min(used / room, MAX_SHARE)) if room > 1e-6 else (MAX_SHARE if used > 1e-3 else 0.0)


def by_defect(found: Sequence[Sensitivity]) -> dict[tuple[str, int], list[Sensitivity]]:
    """The slips that do each defect, at each place where it shows, the worst first."""
    result: dict[tuple[str, int], list[Sensitivity]] = {}
    for each in found:
        result.setdefault((each.defect, each.act), []).append(each)
    return result
