"""How many complete sets of a tutorial's blanks a sheet must give."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from generator.dataclass import dataclass, field, replace
from generator.paper.records import Paper, PieceInfo, Plan
from generator.paper.sheet_layouts import Blank, StockSheet
from generator.regauge.formulas import ExpressionTree, form_tree
from generator.regauge.problem import YIELD, Constraint
from generator.sheets import SheetError, blank_of, direction_of, most_sets_layout
from generator.units import length, number_words, plural

LengthValues = Mapping[str, Fraction]
PieceSizes = tuple[Fraction, ...]
DirectedSizes = tuple[tuple[str | None, ...], PieceSizes]      # how the blanks may lie, and their sizes


@dataclass(frozen=True, slots=True)
class WantedYield:
    """``number`` complete sets of all blanks out of one ``sheet``."""

    sheet: StockSheet
    number: int

    def text(self, single: bool) -> str:
        """In the trade's words: "two sets of blanks from one Letter sheet"."""
        return f"{number_words(self.number)} {self._blanks(single)} from one {self._sheet}"

    def breaks(self, single: bool) -> str:
        """What happens where it is not so."""
        return f"one {self._sheet} would give fewer than {number_words(self.number)} {self._blanks(single)}"

    @property
    def _sheet(self) -> str:
        name, sign, selvedge = self.sheet.title.partition(" with ")
        return f"{name} sheet{sign}{selvedge}"

    def _blanks(self, single: bool) -> str:
        if single:
            return plural(self.number, "blank", "blanks")
        return plural(self.number, "set", "sets") + " of blanks"


def complete_sets(sheet: StockSheet, blanks: Sequence[Blank]) -> int:
    """The most complete sets of some blanks, all of one paper, that a sheet gives."""
    return most_sets_layout(sheet, blanks).sets


@dataclass(slots=True)
class YieldDemand:
    """Tells for sizes of the pieces whether a sheet gives enough. What it has found out is remembered.

    Larger blanks that lie alike never give more, so whatever is at least as
    large as what failed fails, and what is at most as large as what held holds.
    """

    wanted: WantedYield
    pieces: Sequence[PieceInfo]
    blanks: Sequence[Blank]                             # of the drawn edition, in the same order
    met: list[DirectedSizes] = field(default_factory=list)
    failed: list[DirectedSizes] = field(default_factory=list)
    refused: dict[PieceSizes, None] = field(default_factory=dict)     # all sizes that were found to fail

    @property
    def single(self) -> bool:
        """True for a box of one piece."""
        return len(self.pieces) == 1

    def holds(self, sizes: PieceSizes) -> bool:
        """Sizes are width and height of each piece in turn, in mm."""
        blanks = [self._sized(k, sizes) for k in range(len(self.pieces))]
        directions = tuple(blank.direction for blank in blanks)
        if any(directions == way and _all_at_most(sizes, other) for way, other in self.met):
            return True
        enough = not any(directions == way and _all_at_most(other, sizes) for way, other in self.failed)
        if enough:
            enough = all(self._enough([blanks[k] for k in each]) for each in _by_paper(self.pieces))
            (self.met if enough else self.failed).append((directions, sizes))
        if not enough:
            self.refused[sizes] = None
        return enough

    @property
    def forms(self) -> list[Mapping[str, Fraction]]:
        """The affine forms of width and height of each piece in turn; empty where a size has none."""
        return [size.form or {} for blank in self.blanks for size in (blank.width, blank.height)]

    def possible(self, chosen: LengthValues, ends: Mapping[str, tuple[Fraction, Fraction]]) -> bool:
        """False when no completion of a part of a choice can give enough: even the smallest blanks do not.

        ``ends`` are the least and the greatest value of every length.
        """
        def extremes(greatest: bool) -> PieceSizes:
            return tuple(sum((c * (chosen[n] if n in chosen else ends[n][(c < 0) ^ greatest])
                              for n, c in form.items()), Fraction(0)) for form in self.forms)
        least = extremes(False)
        return min(least) <= 0 or not self._keep_directions(least, extremes(True)) or self.holds(least)

    def _keep_directions(self, least: PieceSizes, most: PieceSizes) -> bool:
        """True when no piece can become upright or cease to be.

        Then none changes its way with grain or pattern.
        """
        return all(blank.direction is None or most[2 * k] < least[2 * k + 1] or most[2 * k + 1] < least[2 * k]
                   for k, blank in enumerate(self.blanks))

    def as_tree(self) -> ExpressionTree:
        """For the certificate.

        No piece set is as large as one that failed (where grain matters: is one of those).
        """
        larger = all(blank.direction is None for blank in self.blanks)
        sizes = [form_tree(form) for form in self.forms]
        any_fails: ExpressionTree = ["==", "0", "1"]
        for limits in [sizes_ for _, sizes_ in self.failed] if larger else self.refused:
            fails: ExpressionTree = ["==", "0", "0"]
            for size, limit in zip(sizes, limits, strict=True):
                fails = ["and", fails, ["<=" if larger else "==", str(limit), size]]
            any_fails = ["or", any_fails, fails]
        return ["not", any_fails]

    def _enough(self, blanks: Sequence[Blank]) -> bool:
        try:
            return complete_sets(self.wanted.sheet, blanks) >= self.wanted.number
        except SheetError:
            return False        # more ways to cut than can be tried: nobody would find one either

    def _sized(self, k: int, sizes: PieceSizes) -> Blank:
        width, height = length(sizes[2 * k]), length(sizes[2 * k + 1])
        return replace(self.blanks[k], width=width, height=height,
                       direction=direction_of(self.pieces[k].paper, width, height))


def yield_demands(plan: Plan, wanted_yields: Sequence[WantedYield]) -> tuple[YieldDemand, ...]:
    """What must come out of each sheet, for the pieces of a plan and of others like it."""
    pieces = [piece for piece in plan.pieces if not piece.is_ribbon]
    blanks = [blank_of(plan, piece) for piece in pieces]
    return tuple(YieldDemand(wanted, pieces, blanks) for wanted in wanted_yields if pieces)


def yield_constraints(yields: Sequence[YieldDemand]) -> tuple[Constraint, ...]:
    """A need for each whose blanks are plain sums of named lengths.

    Others are judged on whole plans alone.
    """
    return tuple(need for each in yields if (need := _yield_constraint(each)) is not None)


def _yield_constraint(each: YieldDemand) -> Constraint | None:
    forms = each.forms
    if not all(forms):
        return None

    def holds(values: LengthValues) -> bool:
        return each.holds(tuple(sum((c * values[n] for n, c in form.items()), Fraction(0)) for form in forms))
    return Constraint(each.wanted.text(each.single), frozenset().union(*forms), holds, each.pieces[0].span,
                      YIELD, None, each.wanted.breaks(each.single), each)


def missing_yields(plan: Plan, yields: Sequence[YieldDemand]) -> Iterator[str]:
    """What is lacking where the blanks of a plan do not come out of a sheet as often as they must."""
    for each in yields:
        blanks = [blank_of(plan, piece) for piece in each.pieces]
        if not each.holds(tuple(Fraction(size.value) for blank in blanks
                                for size in (blank.width, blank.height))):
            yield each.wanted.breaks(each.single)


def _by_paper(pieces: Sequence[PieceInfo]) -> list[list[int]]:
    """The places of the pieces, those of one paper together: they are cut from one sheet."""
    found: dict[Paper | None, list[int]] = {}
    for k, piece in enumerate(pieces):
        found.setdefault(piece.paper, []).append(k)
    return list(found.values())


def _all_at_most(a: PieceSizes, b: PieceSizes) -> bool:
    return all(x <= y for x, y in zip(a, b, strict=True))
