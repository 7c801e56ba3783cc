"""Find the best choices: depth first over the lattice, best values first, cut off by a bound.

The bound of a part of a choice is what is certain of its rank: the changes of
the finished sizes whose names are all chosen, and for every length still open
the least change that its window and its own grid allow. It never exceeds the
rank of any completion, so what it cuts off could not have been among the best.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import prod

from generator.tutorial.regauge import ranking
from generator.tutorial.regauge.problem import Problem
from generator.units.lattice import Lattice, lattice

MOST_NODES = 120_000        # parts of choices looked at; beyond it the search says so
Values = dict[str, Fraction]


@dataclass(slots=True)
class Counts:
    """``covered`` choices lie in the window on the lattice; ``seen`` were ranked, the rest were cut off by proof."""

    covered: int = 0
    seen: int = 0
    nodes: int = 0
    evaluated: int = 0

    @property
    def pruned(self) -> int:
        return self.covered - self.seen


@dataclass(frozen=True, slots=True)
class Found:
    """The best choices in order, each with its rank; ``whole`` is False when the work bound ended the search."""

    choices: tuple[tuple[tuple, Values], ...]
    lattice: Lattice
    counts: Counts
    whole: bool = True


def order_of(problem: Problem) -> tuple[str, ...]:
    """The order in which lengths are chosen: those of finished sizes and requirements first."""
    weight = {name: (0 if any(name in s.names for s in problem.finish.values()) else
                     1 if any(name in n.names for n in problem.needs) else 2) for name in problem.names}
    return tuple(sorted(problem.names, key=lambda n: (weight[n], problem.names.index(n))))


def lattice_of(problem: Problem) -> Lattice:
    """The lattice whose names are chosen from last to first, in :func:`order_of`."""
    return lattice(order_of(problem)[::-1], problem.congruences)


def best(problem: Problem, prefer: str, how_many: int) -> Found:
    """The ``how_many`` best choices that meet all needs."""
    grid = lattice_of(problem)
    walk = _Walk(problem, grid, prefer, how_many)
    walk.counts.covered = covered(problem, grid)
    whole = walk.run()
    return Found(tuple((rank, values) for rank, _, values in walk.ranks), grid, walk.counts, whole)


def covered(problem: Problem, grid: Lattice) -> int:
    """How many points of the lattice lie in the window: the product over the independent parts."""
    return prod(sum(1 for _ in _points(problem, grid, part)) for part in grid.components())


def _points(problem: Problem, grid: Lattice, part: Sequence[str]) -> Iterator[None]:
    """One None for each choice of the names of an independent part."""
    names = list(part)[::-1]

    def deeper(k: int, chosen: Values) -> Iterator[None]:
        if k == len(names):
            yield None
            return
        name = names[k]
        window = problem.windows[name]
        others = {n: chosen.get(n, Fraction(0)) for n in grid.names}
        for value in grid.values(grid.names.index(name), others, window.low, window.high):
            yield from deeper(k + 1, {**chosen, name: value})
    return deeper(0, {})


@dataclass(slots=True)
class _Walk:
    problem: Problem
    grid: Lattice
    prefer: str
    how_many: int
    counts: Counts = field(default_factory=Counts)
    ranks: list = field(default_factory=list)       # the best so far: (rank, when seen, values), best first
    least: Mapping[str, Fraction] = field(default_factory=dict)

    def run(self) -> bool:
        names = self.grid.names[::-1]
        self.least = {n: self._least_change(n) for n in names}
        return self._deeper(names, 0, {}, Fraction(0), sum(self.least.values(), Fraction(0)))

    def _least_change(self, name: str) -> Fraction:
        """The least change a name can have: on its own grid where it stands alone, else none at all."""
        k = self.grid.names.index(name)
        if any(self.grid.rows[k][j] for j in range(k + 1, len(self.grid.names))):
            return Fraction(0)
        window = self.problem.windows[name]
        zero = dict.fromkeys(self.grid.names, Fraction(0))
        values = list(self.grid.values(k, zero, window.low, window.high))
        return min((ranking.change(self.problem, name, v) for v in values), default=Fraction(0))

    def _deeper(self, names: Sequence[str], k: int, chosen: Values, spent: Fraction, open_least: Fraction) -> bool:
        if k == len(names):
            self._take(chosen)
            return True
        name = names[k]
        window = self.problem.windows[name]
        open_after = open_least - self.least[name]
        values = self.grid.values(self.grid.names.index(name), chosen, window.low, window.high)
        for value in sorted(values, key=lambda v: self._first(name, v)):
            self.counts.nodes += 1
            if self.counts.nodes > MOST_NODES:
                return False
            now = {**chosen, name: value}
            cost = spent + ranking.change(self.problem, name, value)
            if self._hopeless(now, cost + open_after) or not self._meets(name, now):
                continue
            if not self._deeper(names, k + 1, now, cost, open_after):
                return False
        return True

    def _first(self, name: str, value: Fraction) -> tuple:
        change = ranking.change(self.problem, name, value)
        return (change,) if self.prefer == ranking.CLOSE else (ranking.level(value, self.problem.target), change)

    def _hopeless(self, chosen: Values, least_total: Fraction) -> bool:
        if len(self.ranks) < self.how_many:
            return False
        finished = max(ranking.finish_changes(self.problem, chosen), default=0.0)
        bound = (finished, round(float(least_total), ranking.DUST))
        worst = self.ranks[-1][0][0]
        if self.prefer == ranking.CLOSE:
            return bound > worst[:2]
        return (ranking.coarseness(self.problem, chosen), *bound) > worst[:3]

    def _meets(self, name: str, chosen: Values) -> bool:
        """Needs that can be told now, and could not be before ``name`` was chosen."""
        return all(need.holds(chosen) for need in self.problem.needs
                   if name in need.names and need.names <= chosen.keys())

    def _take(self, chosen: Values) -> None:
        self.counts.seen += 1
        rank = ranking.key(self.problem, self.prefer, chosen)
        entry = (rank, self.counts.seen, chosen)
        place = next((i for i, other in enumerate(self.ranks) if rank < other[0]), len(self.ranks))
        self.ranks.insert(place, entry)
        del self.ranks[self.how_many:]

