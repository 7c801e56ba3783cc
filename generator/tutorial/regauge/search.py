"""Find the best choices: part by part, each depth first over its lattice, best values first, cut off by a bound.

Lengths that no congruence, no requirement and no finished size ties together
are searched apart; the best of the whole are made of the best of the parts.
That holds since finished sizes are all told by one part, and for all others
ranks add up.

The bound of a part of a choice is what is certain of its rank: the changes of
the finished sizes whose names are all chosen, and for every length still open
the least change and the easiest fraction that its window and its own grid
allow. It never exceeds the rank of any completion, so what it cuts off could
not have been among the best.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from generator.tutorial.regauge import ranking
from generator.tutorial.regauge.problem import Need, Problem
from generator.units import Lattice, lattice_of

MOST_WORK = 6_000       # values tried, and four for each requirement worked out; beyond it the search says so
OF_A_NEED = 4
Values = dict[str, Fraction]
Entry = tuple[float, Values]        # the change of the finished sizes, and the values


@dataclass(slots=True)
class Counts:
    """``covered`` choices lie in the window on the lattice (None: too many to count).

    ``ranked`` are those that were put together whole; all others were cut
    off by proof. ``work`` is what the search cost.
    """

    covered: int | None = 0
    ranked: int = 0
    work: int = 0

    @property
    def pruned(self) -> int | None:
        """Choices that the bound or a requirement ruled out unseen."""
        return None if self.covered is None else self.covered - self.ranked


@dataclass(frozen=True, slots=True)
class Found:
    """The best choices in order; ``whole`` is False when the work bound ended the search of some part.

    ``more`` is False when there are no other choices than these. ``lacking``
    are the lengths of a part that has no choice at all.
    """

    choices: tuple[Values, ...]
    lattice: Lattice
    counts: Counts
    whole: bool
    more: bool
    lacking: tuple[str, ...] = ()


def order_of(problem: Problem) -> tuple[str, ...]:
    """The order in which lengths are chosen: those of finished sizes and requirements first, what is fixed before all."""
    weight = {name: (0 if any(name in s.names for s in problem.finish.values()) else
                     1 if any(name in n.names for n in problem.needs) else 2) for name in problem.names}
    return (*problem.fixed, *sorted(problem.names, key=lambda n: (weight[n], problem.names.index(n))))


def grid_of(problem: Problem) -> Lattice:
    """The lattice whose names are chosen from last to first, in :func:`order_of`."""
    return lattice_of(order_of(problem)[::-1], problem.congruences)


def best(problem: Problem, prefer: str, how_many: int, work: int = MOST_WORK) -> Found:
    """The ``how_many`` best choices that meet all needs."""
    grid = grid_of(problem)
    counts = Counts(grid.count(_ends(problem)))
    whole, more = True, False
    choices: list[Entry] = [(0.0, {})]
    parts = parts_of(problem, grid)
    for part in parts:
        walk = _Walk(problem, grid, prefer, how_many, part, work - counts.work)
        complete = walk.run()
        counts.work += walk.work
        whole, more = whole and complete, more or walk.left_out
        if not walk.ranks:
            return Found((), grid, counts, whole, False, part)
        together = [(max(f, g), {**a, **b}) for f, a in choices for _, g, b in walk.ranks]
        together.sort(key=lambda entry: ranking.key(problem, prefer, entry[1], entry[0]))
        more = more or len(together) > how_many
        choices = together[:how_many]
        counts.ranked = walk.seen if len(parts) == 1 else len(together)
    return Found(tuple(values for _, values in choices), grid, counts, whole, more or not whole)


def feasible(problem: Problem, work: int) -> Values | None:
    """Any choice that meets everything, the closest first; None where none was found."""
    found = best(problem, ranking.CLOSE, 1, work)
    return found.choices[0] if found.choices else None


def _ends(problem: Problem) -> dict[str, tuple[Fraction, Fraction]]:
    ends = {name: (window.low, window.high) for name, window in problem.windows.items()}
    return ends | {name: (value, value) for name, value in problem.fixed.items()}


def parts_of(problem: Problem, grid: Lattice) -> list[tuple[str, ...]]:
    """The lengths in groups that nothing ties together, each in the order in which they are chosen."""
    order = order_of(problem)
    ties = [frozenset(part) for part in grid.components()] + [need.names for need in problem.needs]
    ties.append(frozenset().union(*(each.names for each in problem.finish.values())))
    group = {name: name for name in order}
    for tie in ties:
        heads = {group[name] for name in tie}
        if heads:
            head = min(heads, key=order.index)
            group = {name: head if now in heads else now for name, now in group.items()}
    parts = (tuple(n for n in order if group[n] == head and n in problem.drawn) for head in dict.fromkeys(group.values()))
    return [part for part in parts if part]


@dataclass(slots=True)
class _Walk:
    problem: Problem
    grid: Lattice
    prefer: str
    how_many: int
    part: Sequence[str]
    most: int
    work: int = 0
    seen: int = 0
    left_out: bool = False                          # did the bound drop a choice that met every need?
    ranks: list = field(default_factory=list)       # the best so far: (rank, finished change, values), best first
    least: Mapping[str, Fraction] = field(default_factory=dict)
    levels: Mapping[str, ranking.Coarseness] = field(default_factory=dict)
    places: Mapping[str, int] = field(default_factory=dict)
    due: Mapping[str, list[Need]] = field(default_factory=dict)

    def run(self) -> bool:
        problem, target = self.problem, self.problem.target
        self.places = {name: k for k, name in enumerate(self.grid.names)}
        self.least = {n: self._least_change(n) for n in self.part}
        self.levels = {n: ranking.levels_of([ranking.easiest(problem.windows[n], target)], target) for n in self.part}
        at = {name: k for k, name in enumerate(self.part)}
        self.due = {name: [] for name in self.part}
        for need in problem.needs:
            mine = [n for n in need.names if n in at]
            if mine:
                self.due[max(mine, key=at.__getitem__)].append(need)
        if not self._unconditional():
            return True
        return self._deeper(0, {}, Fraction(0), 0.0)

    def _unconditional(self) -> bool:
        """False when a need that no length can change does not hold."""
        return all(need.holds(self.problem.drawn) for need in self.problem.needs if not need.names)

    def _least_change(self, name: str) -> Fraction:
        """The least change a name can have: on its own grid where it stands alone, else none at all."""
        k = self.places[name]
        if not self.grid.alone(k):
            return Fraction(0)
        window = self.problem.windows[name]
        values = list(self.grid.values(k, {}, window.low, window.high))
        return min((ranking.change(self.problem, name, v) for v in values), default=Fraction(0))

    def _deeper(self, k: int, chosen: Values, spent: Fraction, finished: float) -> bool:
        if k == len(self.part):
            self._take(chosen, finished)
            return True
        name = self.part[k]
        window = self.problem.windows[name]
        known = {**self.problem.fixed, **chosen}
        values = self.grid.values(self.places[name], known, window.low, window.high)
        for value in sorted(values, key=lambda v: self._first(name, v)):
            self.work += 1 + OF_A_NEED * len(self.due[name])
            if self.work > self.most:
                return False
            now = {**chosen, name: value}
            cost = spent + ranking.change(self.problem, name, value)
            size = max(finished, ranking.finish_change(self.problem, now, name))
            if self._hopeless(k + 1, now, cost, size):
                self.left_out = True
                continue
            if not all(need.holds(now) for need in self.due[name]):
                continue
            if not self._deeper(k + 1, now, cost, size):
                return False
        return True

    def _first(self, name: str, value: Fraction) -> tuple:
        change = ranking.change(self.problem, name, value)
        return (change,) if self.prefer == ranking.CLOSE else (ranking.level(value, self.problem.target), change)

    def _hopeless(self, k: int, chosen: Values, spent: Fraction, finished: float) -> bool:
        """Is every completion worse than the worst of the best so far?"""
        if len(self.ranks) < self.how_many:
            return False
        worst = self.ranks[-1][0]
        total = sum((self.least[n] for n in self.part[k:]), spent)
        if self.prefer == ranking.CLOSE:
            return (finished, total) > worst[:2]
        levels = [ranking.coarseness(self.problem, chosen), *(self.levels[n] for n in self.part[k:])]
        lowest = tuple(map(sum, zip(*levels, strict=True)))
        if lowest != worst[0]:
            return lowest > worst[0]
        return (lowest, finished, total) > worst[:3]

    def _take(self, chosen: Values, finished: float) -> None:
        self.seen += 1
        rank = ranking.key(self.problem, self.prefer, chosen, finished)
        place = next((i for i, other in enumerate(self.ranks) if rank < other[0]), len(self.ranks))
        self.ranks.insert(place, (rank, finished, chosen))
        self.left_out |= len(self.ranks) > self.how_many
        del self.ranks[self.how_many:]
