"""Find the best choices.

Part by part, each depth first over its lattice, best values first, cut off by a bound.

Lengths that no congruence, no requirement and no finished size ties together
are searched apart; the best of the whole are made of the best of the parts.
That holds since finished sizes are all told by one part, and for all others
ranks add up. Of choices that differ in ribbon alone only the best is kept.

The bound of a part of a choice is what is certain of its rank: the changes of
the finished sizes whose names are all chosen, and for every length still open
the least change and the easiest fraction that its window and its own grid
allow. It never exceeds the rank of any completion, so what it cuts off could
not have been among the best.
"""
from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from generator.dataclass import dataclass
from generator.regauge import comparison
from generator.regauge.formulas import Formula
from generator.regauge.problem import Constraint, RegaugeProblem, Supply, Window
from generator.units import Lattice, lattice_of

# values tried, and four for each requirement or size worked out; beyond it the search says so
MAX_WORK = 40_000
CONSTRAINT_WORK = 4
LengthValues = dict[str, Fraction]
ScoredChoice = tuple[float, LengthValues]        # the change of the finished sizes, and the values


@dataclass(slots=True)
class SearchCounts:
    """``covered`` choices lie in the window on the lattice (None: too many to count).

    ``ranked`` are those that were put together whole. ``work`` is what the
    search cost.
    """

    covered: int | None = 0
    ranked: int = 0
    work: int = 0


@dataclass(frozen=True, slots=True)
class SearchResult:
    """The best choices in order; ``whole`` is False when the work bound ended the search of some part.

    ``more`` is False when there are no other choices than these. ``lacking``
    are the lengths of a part that has no choice at all.
    """

    choices: tuple[LengthValues, ...]
    lattice: Lattice
    counts: SearchCounts
    whole: bool
    more: bool
    lacking: tuple[str, ...] = ()

    @property
    def pruned(self) -> int | None:
        """How many choices the bound or a requirement ruled out unseen.

        None where they are not counted, or not all ruled out.
        """
        counts = self.counts
        return counts.covered - counts.ranked if self.whole and counts.covered is not None else None


def choice_order(problem: RegaugeProblem) -> tuple[str, ...]:
    """The order in which lengths are chosen.

    What is fixed or kept before all, then what most sizes and needs share.

    So a finished size or a requirement can be told as early as can be.
    """
    ties = [each.names for each in problem.finish.values()] + [need.names for need in problem.needs]
    shared = {name: sum(name in names for names in ties) for name in problem.names}
    sized = {name for each in problem.finish.values() for name in each.names}
    return (*problem.fixed, *sorted(problem.names,
                                    key=lambda n: (n not in problem.pinned, n not in sized, -shared[n])))


def choice_lattice(problem: RegaugeProblem) -> Lattice:
    """The lattice whose names are chosen from last to first, in :func:`choice_order`."""
    return lattice_of(choice_order(problem)[::-1], problem.congruences)


def best_choices(problem: RegaugeProblem, prefer: str, how_many: int, work: int = MAX_WORK) -> SearchResult:
    """The ``how_many`` best choices that meet all needs."""
    grid = choice_lattice(problem)
    counts = SearchCounts(grid.count(_value_ranges(problem)))
    whole, more = True, False
    choices: list[ScoredChoice] = [(0.0, {})]
    parts = sorted(independent_parts(problem, grid), key=len)    # what is left of the work is for the largest
    for part in parts:
        if any(_is_empty(problem, grid, grid.names.index(name)) for name in part):
            return SearchResult((), grid, counts, True, False, part)
        walk = _PartSearch(problem, grid, prefer, how_many, part, work - counts.work)
        complete = walk.run()
        counts.work += walk.work
        whole, more = whole and complete, more or walk.left_out
        if not walk.ranks:
            return SearchResult((), grid, counts, whole, False, part)
        together = [(max(f, g), {**a, **b}) for f, a in choices for _, g, b in walk.ranks]
        together.sort(key=lambda entry: comparison.rank_key(problem, prefer, entry[1], entry[0]))
        boxes: dict[tuple[Fraction, ...], ScoredChoice] = {}
        for entry in together:
            boxes.setdefault(problem.box(entry[1]), entry)
        more = more or len(together) > how_many
        choices = [*boxes.values()][:how_many]
        counts.ranked = walk.seen if len(parts) == 1 else len(together)
    ordered = tuple({name: values[name] for name in problem.names} for _, values in choices)
    return SearchResult(ordered, grid, counts, whole, more or not whole)


def feasible_choice(problem: RegaugeProblem, work: int) -> LengthValues | None:
    """Any choice that meets everything, the closest first; None where none was found."""
    found = best_choices(problem, comparison.CLOSE, 1, work)
    return found.choices[0] if found.choices else None


def _value_ranges(problem: RegaugeProblem) -> dict[str, tuple[Fraction, Fraction]]:
    ends = {name: (window.low, window.high) for name, window in problem.windows.items()}
    return ends | {name: (value, value) for name, value in problem.fixed.items()}


def independent_parts(problem: RegaugeProblem, grid: Lattice) -> list[tuple[str, ...]]:
    """The lengths in groups that nothing ties together, each in the order in which they are chosen."""
    order = choice_order(problem)
    ties = [frozenset(part) for part in grid.components()] + [need.names for need in problem.needs]
    ties.append(frozenset().union(*(each.names for each in problem.finish.values())))
    group = {name: name for name in order}
    for tie in ties:
        heads = {group[name] for name in tie}
        if heads:
            head = min(heads, key=order.index)
            group = {name: head if now in heads else now for name, now in group.items()}
    parts = (tuple(n for n in order if group[n] == head and n in problem.drawn)
             for head in dict.fromkeys(group.values()))
    return [part for part in parts if part]


@dataclass(frozen=True, slots=True)
class _SearchStage:
    """One length of a part, and what can be told once it is chosen.

    ``least`` and ``levels`` are the least change and the easiest fractions of all lengths after it.
    """

    name: str
    place: int                              # in the lattice
    window: Window
    due: tuple[Constraint, ...]                   # needs that can be told
    early: tuple[Supply, ...]                     # of yields that may be hopeless already
    sizes: tuple[tuple[Formula, float], ...]    # finished sizes that can be told, and what is drawn
    least: Fraction
    levels: comparison.LevelCounts

    @property
    def cost(self) -> int:
        """The work of one value."""
        return 1 + CONSTRAINT_WORK * (len(self.due) + len(self.early)) + sum(_cost(s) for s, _ in self.sizes)


@dataclass(frozen=True, slots=True)
class _PartialRank:
    """What is certain of a part of a choice."""

    spent: Fraction
    finished: float
    levels: comparison.LevelCounts


class _PartSearch:
    """Searches one part, depth first."""

    def __init__(self, problem: RegaugeProblem, grid: Lattice, prefer: str, how_many: int,
                 part: Sequence[str], most: int):
        self.problem, self.grid, self.prefer, self.how_many, self.most = problem, grid, prefer, how_many, most
        self.part, self.ends = part, _value_ranges(problem)
        self.work = self.seen = 0
        self.left_out = False       # did the bound drop a choice?
        # the best so far: (rank, finished change, values), best first
        self.ranks: list[tuple[comparison.RankKey, float, LengthValues]] = []
        self.at: LengthValues = dict(problem.fixed)           # what is chosen now
        self.stages = _stages(problem, grid, part)
        # by length and value: its change, its fraction, its place in the order of trying
        self.known: dict[tuple[str, Fraction],
                         tuple[Fraction, comparison.LevelCounts, comparison.RankKey]] = {}

    def run(self) -> bool:
        """False when the work bound ended it."""
        needs = self.problem.needs
        if not all(need.holds(self.problem.drawn) for need in needs if not need.names):
            return True
        if not all(need.supply.possible(self.at, self.ends) for need in needs if need.supply is not None):
            return True
        return self._deeper(0, _PartialRank(Fraction(0), 0.0,
                                            comparison.level_counts((), self.problem.target)))

    def _deeper(self, k: int, state: _PartialRank) -> bool:
        if k == len(self.stages):
            self._take(state)
            return True
        stage = self.stages[k]
        values = self.grid.values(stage.place, self.at, stage.window.low, stage.window.high)
        try:
            for value in sorted(values, key=lambda v: self._first(stage.name, v)):
                self.work += stage.cost
                if self.work > self.most:
                    return False
                self.at[stage.name] = value
                now = self._with(stage, value, state)
                if self._hopeless(stage, now):
                    self.left_out = True
                elif self._meets(stage) and not self._deeper(k + 1, now):
                    return False
            return True
        finally:
            self.at.pop(stage.name, None)

    def _first(self, name: str, value: Fraction) -> comparison.RankKey:
        """What is tried first; its change and its fraction are remembered."""
        if (name, value) not in self.known:
            change = comparison.relative_change(self.problem, name, value)
            level = comparison.fraction_level(value, self.problem.target)
            first: comparison.RankKey = (change,) if self.prefer == comparison.CLOSE else (level, change)
            self.known[name, value] = change, comparison.level_counts((level,), self.problem.target), first
        return self.known[name, value][2]

    def _with(self, stage: _SearchStage, value: Fraction, state: _PartialRank) -> _PartialRank:
        change, levels, _ = self.known[stage.name, value]
        finished = max([state.finished,
                        *(comparison.size_change(size, drawn, self.at) for size, drawn in stage.sizes)])
        return _PartialRank(state.spent + change, finished, _sum_counts(state.levels, levels))

    def _hopeless(self, stage: _SearchStage, state: _PartialRank) -> bool:
        """True when every completion is worse than the worst of the best so far."""
        if len(self.ranks) < self.how_many:
            return False
        worst, total = self.ranks[-1][0], state.spent + stage.least
        certain: comparison.RankKey = (state.finished, total)
        if self.prefer != comparison.CLOSE:
            certain = (_sum_counts(state.levels, stage.levels), *certain)
        return certain > worst[:len(certain)]

    def _meets(self, stage: _SearchStage) -> bool:
        return (all(need.holds(self.at) for need in stage.due)
                and all(supply.possible(self.at, self.ends) for supply in stage.early))

    def _take(self, state: _PartialRank) -> None:
        self.seen += 1
        chosen = {name: self.at[name] for name in self.part}
        rank = comparison.rank_key(self.problem, self.prefer, chosen, state.finished)
        box = self.problem.box(chosen)
        same = next((i for i, other in enumerate(self.ranks) if self.problem.box(other[2]) == box), None)
        if same is not None:
            self.left_out = True
            if self.ranks[same][0] <= rank:
                return
            del self.ranks[same]
        place = next((i for i, other in enumerate(self.ranks) if rank < other[0]), len(self.ranks))
        self.ranks.insert(place, (rank, state.finished, chosen))
        self.left_out |= len(self.ranks) > self.how_many
        del self.ranks[self.how_many:]


def _stages(problem: RegaugeProblem, grid: Lattice, part: Sequence[str]) -> list[_SearchStage]:
    due: dict[str, list[Constraint]] = {name: [] for name in part}
    early: dict[str, list[Supply]] = {name: [] for name in part}
    sizes: dict[str, list[tuple[Formula, float]]] = {name: [] for name in part}
    for need in problem.needs:
        mine = [name for name in part if name in need.names]
        if mine:
            due[mine[-1]].append(need)
        if need.supply is not None:
            for name in mine[:-1]:
                early[name].append(need.supply)
    for each in problem.finish.values():
        mine = [name for name in part if name in each.names]
        if mine and (drawn := each.size(problem.drawn)):
            sizes[mine[-1]].append((each, drawn))
    stages, least, levels = [], Fraction(0), comparison.level_counts((), problem.target)
    for name in reversed(part):
        place, window = grid.names.index(name), problem.windows[name]
        stages.append(_SearchStage(name, place, window, tuple(due[name]), tuple(early[name]),
                                   tuple(sizes[name]), least, levels))
        least += _least_change(problem, grid, place)
        levels = _sum_counts(levels,
                             comparison.level_counts((comparison.easiest_level(window, problem.target),),
                                                     problem.target))
    return stages[::-1]


def _cost(size: Formula) -> int:
    """The work of a finished size: a plain sum costs by its length."""
    return 1 + len(size.form) // 3 if size.form else CONSTRAINT_WORK


def _is_empty(problem: RegaugeProblem, grid: Lattice, place: int) -> bool:
    """True when a length has no value in its window, whatever the others are."""
    window = problem.windows[grid.names[place]]
    return grid.alone(place) and not any(True for _ in grid.values(place, {}, window.low, window.high))


def _least_change(problem: RegaugeProblem, grid: Lattice, place: int) -> Fraction:
    """The least change a length can have: on its own grid where it stands alone, else none at all."""
    name = grid.names[place]
    if not grid.alone(place):
        return Fraction(0)
    values = grid.values(place, {}, problem.windows[name].low, problem.windows[name].high)
    return min((comparison.relative_change(problem, name, v) for v in values), default=Fraction(0))


def _sum_counts(a: comparison.LevelCounts, b: comparison.LevelCounts) -> comparison.LevelCounts:
    return tuple(map(sum, zip(a, b, strict=True)))
