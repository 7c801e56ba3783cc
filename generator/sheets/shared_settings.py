"""Cuts by setting of the fence across all sheets: the fewest settings for the fewest sheets.

The fence is set once for each entry of a sequence of lengths, and whatever lies on the table is cut with
it before it is moved on. A cut takes a strip as wide as the setting off a part, and the strip is used: no
setting measures waste. Settings stand at sums of sides of blanks, as in
:mod:`generator.sheets.dynamic_programming`. What a sheet can give is worked out for a sequence at a time, for
short sequences first; sets of settings whose bound, free of any order, is no better than what was found are
passed over.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import combinations
from math import comb

from generator.dataclass import dataclass
from generator.paper.sheet_layouts import Blank, StockSheet
from generator.sheets.batches import batch
from generator.sheets.cut_tree import SheetError, too_much_error
from generator.sheets.cutting_problem import CuttingProblem, grain_directions
from generator.sheets.dynamic_programming import cut_positions
from generator.sheets.pattern_cover import Cover, Vector, fewest_patterns
from generator.sheets.sets import BlankKind, blank_kinds, problem_of
from generator.sheets.setting_yields import SettingYields, Yield

MAX_SETS = 40_000            # sets of settings that are looked at for one number of settings
MAX_SEQUENCES = 130         # orders of one set that are looked at
MAX_WORK = 4_000_000        # pairs of parts over a whole search
COVER_WORK = 40             # of those, as long as sharing sheets out takes for one way to cut them


@dataclass(frozen=True, slots=True)
class SettingWork:
    """At one setting: ``parts`` alike parts, ``width`` × ``height`` mm, are cut ``times`` times each.

    ``axis`` is the direction in which the fence measures ("x" along the width). ``whole`` parts are sheets.
    """

    width: Fraction
    height: Fraction
    axis: str
    parts: int
    times: int
    whole: bool

    @property
    def cuts(self) -> int:
        """Of the blade, one part at a time."""
        return self.parts * self.times


@dataclass(frozen=True, slots=True)
class FenceSetting:
    """The fence ``fence`` mm from the blade, and all that is cut before it is moved."""

    fence: Fraction
    work: tuple[SettingWork, ...]

    @property
    def cuts(self) -> int:
        """Of the blade, one part at a time."""
        return sum(each.cuts for each in self.work)


@dataclass(frozen=True, slots=True)
class SharedPlan:
    """``sheets`` cut at ``settings`` give at least the blanks asked for; ``gives`` by the name of the piece.

    ``offcuts`` are sizes in mm, narrow side first, with how many there are. ``direction`` is the side of the
    sheet along which its grain has to run, None where it may either way.
    """

    sheets: int
    settings: tuple[FenceSetting, ...]
    offcuts: Mapping[tuple[Fraction, Fraction], int]
    gives: Mapping[str, int]
    direction: str | None = None

    @property
    def cuts(self) -> int:
        """Of the blade, one part at a time."""
        return sum(each.cuts for each in self.settings)


@dataclass(frozen=True, slots=True)
class SharedPlans:
    """``plans`` from few settings to few sheets: each takes more settings than the one before, fewer sheets.

    The last takes the fewest sheets that were found, ``fewest_sheets`` where none can be fewer;
    ``fewest_settings`` where no sequence of fewer settings gives all from so many sheets. ``enough`` sheets
    would do where each was cut for itself, without a thought for settings.
    """

    plans: tuple[SharedPlan, ...]
    fewest_sheets: bool
    fewest_settings: bool
    enough: int


def shared_plans(sheet: StockSheet, blanks: Sequence[Blank]) -> SharedPlans:
    """The ways to cut blanks, ``count`` of each, from sheets of one size with shared settings of the fence.

    Raises SheetError: "sheet-small" where a blank does not fit the sheet, "too-much" where there are more
    ways to cut than can be tried, "number-wrong" and "length-negative" as ``batch`` does.
    """
    bound = batch(sheet, blanks, 1)
    found = [search for direction in grain_directions(sheet, blanks)
             if (search := _searched(sheet, blanks, direction, bound.sheets)) is not None]
    if not found:
        raise too_much_error()
    best = min(found, key=lambda each: (each.plans[-1].sheets, len(each.plans[-1].settings),
                                        each.plans[-1].cuts))
    least = best.plans[-1]
    return SharedPlans(
        best.plans, bound.fewest and least.sheets <= bound.sheets,
        all(each.fewest_settings for each in found), min(bound.sheets, least.sheets))


def _searched(sheet: StockSheet, blanks: Sequence[Blank], direction: str | None,
              enough: int) -> SharedPlans | None:
    kinds = blank_kinds(blanks, direction)
    problem = problem_of(sheet, kinds, Fraction(0), [kind.count for kind in kinds])
    if not all(problem.fits(k) for k in range(len(kinds))):
        return None
    search = _SettingSearch(problem, tuple(kind.count for kind in kinds), enough)
    search.run()
    plans = tuple(_plan(sheet, kinds, problem, each, direction) for each in search.found)
    return SharedPlans(plans, False, search.complete, enough) if plans else None


@dataclass(frozen=True, slots=True)
class _Found:
    fences: tuple[int, ...]
    cover: Cover
    yields: Mapping[Vector, Yield]


class _SettingSearch:
    """Looks for plans with few settings; ``found`` take fewer and fewer sheets, with more settings each."""

    def __init__(self, problem: CuttingProblem, demand: Vector, enough: int):
        self._problem, self._demand, self._enough = problem, demand, enough
        self._work = [MAX_WORK]
        self._known: dict[frozenset[int], Cover | None] = {}
        sizes = {way.kind: way.width * way.height for way in problem.ways}
        self._areas = tuple(sizes[kind] for kind in range(len(demand)))
        sides = sorted({side for way in problem.ways for side in (way.width, way.height)})
        longest = max(problem.width, problem.height)
        self._sides = [side for side in sides if side < longest]
        self._fences: list[int] | None
        try:
            self._fences = [f for f in cut_positions(longest, ((side, None) for side in self._sides))
                            if 0 < f < longest]
        except SheetError:
            self._fences = None
        self.found: list[_Found] = []
        self.complete = True

    def run(self) -> None:
        """Fill ``found``."""
        fallback = self._thrifty()
        most = len(fallback.fences) if fallback is not None else len(self._sides) * 2
        target = min(self._enough, fallback.cover.sheets if fallback is not None else self._enough)
        for number in range(most + 1):
            if self.found and self.found[-1].cover.sheets <= target:
                return
            try:
                self._of_length(number)
            except SheetError:
                self.complete = False
                break
        if fallback is not None and (not self.found
                                     or fallback.cover.sheets < self.found[-1].cover.sheets):
            self.found.append(fallback)
        if not self.found or self.found[-1].cover.sheets > target:
            self.complete = False

    # -- all sequences of a length ---------------------------------------------

    def _of_length(self, number: int) -> None:
        """The best of all sequences of so many settings, if it takes fewer sheets than those before."""
        best: _Found | None = None
        limit = self.found[-1].cover.sheets if self.found else None
        for fences in self._sets(number):
            bound = self._unordered(fences)
            if bound is None or limit is not None and bound.sheets >= limit:
                continue
            for sequence in self._sequences(fences, number):
                if best is not None and bound.key >= best.cover.key:
                    break
                found = self._ordered(sequence)
                if (found is not None and (limit is None or found.cover.sheets < limit)
                        and (best is None or found.cover.key < best.cover.key)):
                    best = found
        if best is not None:
            self.found.append(best)

    def _sets(self, number: int) -> Iterator[frozenset[int]]:
        if self._fences is None or comb(len(self._fences), number) > MAX_SETS:
            raise too_much_error()
        for size in range(number, -1, -1):
            for fences in combinations(self._fences, size):
                if (size or not number) and self._possible(fences):
                    yield frozenset(fences)

    def _possible(self, fences: Sequence[int]) -> bool:
        """False where some blank can have one of its sides from no setting."""
        across, up = (_reached(side, fences) for side in (self._problem.width, self._problem.height))
        made = {way.kind for way in self._problem.ways if way.width in across and way.height in up}
        return len(made) == len(self._demand)

    def _sequences(self, fences: frozenset[int], number: int) -> Iterator[tuple[int, ...]]:
        """All orders of the settings, each used, with some of them twice where there are more places."""
        for tried, sequence in enumerate(_orders(sorted(fences, reverse=True), number, (), frozenset())):
            if tried == MAX_SEQUENCES:
                self.complete = False
                return
            yield sequence

    def _unordered(self, fences: frozenset[int]) -> Cover | None:
        """No order of these settings does better than that; None where a blank comes out of none."""
        if fences not in self._known:
            yields = SettingYields(self._problem, self._demand, sorted(fences, reverse=True), self._work,
                                   ordered=False).whole()
            self._known[fences] = self._cover(yields)
        return self._known[fences]

    def _ordered(self, fences: tuple[int, ...]) -> _Found | None:
        yields = SettingYields(self._problem, self._demand, fences, self._work).whole()
        cover = self._cover(yields)
        return None if cover is None else _Found(fences, cover, yields)

    def _cover(self, yields: Mapping[Vector, Yield]) -> Cover | None:
        cover = fewest_patterns(yields, self._demand, self._areas)
        self.complete = self.complete and (cover is None or cover.exact)
        self._work[0] -= COVER_WORK * len(yields)
        if self._work[0] < 0:
            raise too_much_error()
        return cover

    # -- one that is soon found --------------------------------------------------

    def _thrifty(self) -> _Found | None:
        """From large settings to small ones, twice over, then without those that save no sheet."""
        for own in (self._fences, self._sides):
            if own is None or len(own) > 4 * len(self._sides) + 4:
                continue
            try:
                return self._without_needless(tuple(reversed(own)))
            except SheetError:
                self._work[0] = MAX_WORK
        return None

    def _without_needless(self, fences: tuple[int, ...]) -> _Found | None:
        found = self._ordered(fences)
        if found is None or found.cover.sheets > self._enough:
            found = self._ordered(fences * 2)
        for at in range(len(found.fences) - 1, -1, -1) if found is not None else ():
            assert found is not None
            fewer = self._ordered(found.fences[:at] + found.fences[at + 1:])
            if fewer is not None and fewer.cover.sheets <= found.cover.sheets:
                found = fewer
        self._work[0] = MAX_WORK
        return found


def _orders(fences: Sequence[int], number: int, before: tuple[int, ...],
            used: frozenset[int]) -> Iterator[tuple[int, ...]]:
    """All sequences of so many of the settings, each used, none twice running."""
    if number < len(fences) - len(used):
        return
    if not number:
        yield before
    for fence in fences if number else ():
        if not before or fence != before[-1]:
            yield from _orders(fences, number - 1, (*before, fence), used | {fence})


def _reached(length: int, fences: Sequence[int]) -> set[int]:
    """All lengths that cuts at these settings make of one, itself among them."""
    found, new = {length}, [length]
    while new:
        here = new.pop()
        for fence in fences:
            if fence < here:
                fresh = {fence, here - fence} - found
                found |= fresh
                new += fresh
    return found


# -- in mm ----------------------------------------------------------------------------


def _plan(sheet: StockSheet, kinds: Sequence[BlankKind], problem: CuttingProblem, found: _Found,
          direction: str | None) -> SharedPlan:
    scale = problem.scale
    work: list[dict[tuple[int, int, str, int, bool], int]] = [{} for _ in found.fences]
    offcuts: dict[tuple[Fraction, Fraction], int] = {}
    totals = [0] * len(kinds)
    for vector, sheets in found.cover.counts.items():
        for part in found.yields[vector].parts(problem.width, problem.height):
            if part.kind is not None:
                totals[part.kind] += sheets
            elif part.stage is None:
                size = tuple(sorted((scale.size(part.width), scale.size(part.height))))
                offcuts[size[0], size[1]] = offcuts.get((size[0], size[1]), 0) + sheets
            else:
                key = (part.width, part.height, part.axis, part.times,
                       (part.width, part.height) == (problem.width, problem.height))
                work[part.stage][key] = work[part.stage].get(key, 0) + sheets
    settings = [FenceSetting(scale.size(fence),
                             tuple(SettingWork(scale.size(w), scale.size(h), axis, count, times, whole)
                                   for (w, h, axis, times, whole), count
                                   in sorted(each.items(), reverse=True)))
                for fence, each in zip(found.fences, work, strict=True) if each]
    return SharedPlan(found.cover.sheets, (*_selvedge(sheet, found.cover.sheets), *settings),
                      dict(sorted(offcuts.items(), key=lambda item: -item[0][0] * item[0][1])),
                      _by_name(kinds, totals), direction)


def _by_name(kinds: Sequence[BlankKind], totals: Sequence[int]) -> Mapping[str, int]:
    """Blanks by piece: each gets what it asks for, what is over goes to the first of its size."""
    gives: dict[str, int] = {}
    for kind, total in zip(kinds, totals, strict=True):
        for name in kind.names:
            gives[name] = gives.get(name, 0) + 1
        gives[kind.names[0]] += total - kind.count
    return gives


def _selvedge(sheet: StockSheet, sheets: int) -> Iterator[FenceSetting]:
    if sheet.trim.value:
        axis = "x" if sheet.trims_width else "y"
        width, height = sheet.usable
        yield FenceSetting(width if axis == "x" else height,
                           (SettingWork(Fraction(sheet.width.value), Fraction(sheet.height.value), axis,
                                        sheets, 1, True),))


