"""The lattice of values for which every mark falls on its tool's grid.

Congruences Σ c·v ≡ 0 (mod step) with rational c and step are the rows of a
matrix M with M·v integral. Its row-style Hermite normal form H (an upper
triangular integer matrix over a common denominator) describes the same
lattice: v is on it exactly when (H/d)·v is integral. Source: the textbook
algorithm (row operations of determinant ±1), *from memory*.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from math import ceil, floor, lcm, prod

from generator.dataclass import dataclass

MAX_COUNT_STEPS = 60_000       # steps of counting; what needs more is not counted
Bounds = Mapping[str, tuple[Fraction, Fraction]]


@dataclass(frozen=True, slots=True)
class Congruence:
    """Σ ``form[name]`` · name must be a multiple of ``step`` (mm); ``text`` names what it comes from."""

    form: Mapping[str, Fraction]
    step: Fraction
    text: str = ""

    def holds(self, values: Mapping[str, Fraction]) -> bool:
        """Whether values of all its names meet it."""
        return sum((c * values[n] for n, c in self.form.items()), Fraction(0)) % self.step == 0


@dataclass(frozen=True, slots=True)
class Lattice:
    """``rows[i]`` (integers over ``denominator``) has its first non-zero entry in column i of ``names``.

    So the last name is chosen first: each name's values are an arithmetic
    progression once the names behind it are chosen. ``transform[i]`` are the whole
    numbers of each congruence that make up row i.
    """

    names: tuple[str, ...]
    rows: tuple[tuple[int, ...], ...]
    denominator: int
    transform: tuple[tuple[int, ...], ...] = ()

    def step(self, k: int) -> Fraction:
        """How far apart the values of name ``k`` lie."""
        return Fraction(self.denominator, self.rows[k][k])

    def values(self, k: int, chosen: Mapping[str, Fraction], low: Fraction,
               high: Fraction) -> Iterator[Fraction]:
        """Values of name ``k`` from ``low`` to ``high``, ascending, given those of all names behind it."""
        row = self.rows[k]
        shift = sum((row[j] * chosen[self.names[j]] for j in range(k + 1, len(row)) if row[j]), Fraction(0))
        return self._between(k, shift, low, high)

    def _between(self, k: int, shift: Fraction, low: Fraction, high: Fraction) -> Iterator[Fraction]:
        """Values of name ``k``, given the sum of its row over the names behind it."""
        step, offset = self.step(k), -shift / self.rows[k][k]
        for z in range(ceil((low - offset) / step), floor((high - offset) / step) + 1):
            yield offset + z * step

    def holds(self, values: Mapping[str, Fraction]) -> bool:
        """Whether a choice of all values is on the lattice."""
        return all(sum(row[j] * values[n] for j, n in enumerate(self.names) if row[j]) % self.denominator == 0
                   for row in self.rows)

    def alone(self, k: int) -> bool:
        """True when the values of name ``k`` do not depend on the names behind it."""
        return not any(self.rows[k][k + 1:])

    def components(self) -> tuple[tuple[str, ...], ...]:
        """The names in groups that do not depend on each other, each in the order of ``names``."""
        group = list(range(len(self.names)))
        for i, row in enumerate(self.rows):
            for j in range(i + 1, len(row)):
                if row[j]:
                    old, new = group[j], group[i]
                    group = [new if g == old else g for g in group]
        return tuple(tuple(n for n, g in zip(self.names, group, strict=True) if g == key)
                     for key in dict.fromkeys(group))

    def count(self, ends: Bounds) -> int | None:
        """How many points lie between the ``ends`` of every name.

        None where counting them is too much work.
        """
        tallies = [self._tally(part, ends) for part in self.components()]
        counted = [tally for tally in tallies if tally is not None]
        return prod(counted) if len(counted) == len(tallies) else None

    def _tally(self, part: Sequence[str], ends: Bounds) -> int | None:
        """Points of one component.

        Counted name by name from the last: what the rows before it need, and how often that occurs.
        """
        places = [self.names.index(name) for name in part]
        found: dict[tuple[Fraction, ...], int] = {(Fraction(0),) * len(places): 1}
        work = 0
        for at in range(len(places) - 1, -1, -1):
            k = places[at]
            following: dict[tuple[Fraction, ...], int] = {}
            for needs, times in found.items():
                for value in self._between(k, needs[at], *ends[self.names[k]]):
                    work += 1
                    if work > MAX_COUNT_STEPS:
                        return None
                    key = tuple((needs[i] + self.rows[places[i]][k] * value) % self.denominator
                                for i in range(at))
                    following[key] = following.get(key, 0) + times
            found = following
        return sum(found.values())


class UnboundNameError(ValueError):
    """Some name is bound by no congruence; ``name`` says which."""

    def __init__(self, name: str):
        super().__init__(name)
        self.name = name


def lattice_of(names: Sequence[str], congruences: Sequence[Congruence]) -> Lattice:
    """The lattice of a set of congruences. Raises UnboundNameError where a name is free to take any value."""
    denominators = [(c.form[n] / c.step).denominator for c in congruences for n in c.form]
    common = lcm(*denominators) if denominators else 1
    place = {name: k for k, name in enumerate(names)}
    rows = []
    for i, each in enumerate(congruences):
        row = [0] * (len(names) + len(congruences))     # behind the names: which congruences a row is made of
        for name, c in each.form.items():
            row[place[name]] = int(c / each.step * common)
        row[len(names) + i] = 1
        rows.append(row)
    reduced = _hermite(rows, names)
    width = len(names)
    return Lattice(tuple(names), tuple(tuple(row[:width]) for row in reduced), common,
                   tuple(tuple(row[width:]) for row in reduced))


def _hermite(rows: list[list[int]], names: Sequence[str]) -> list[list[int]]:
    done: list[list[int]] = []
    rest = [row for row in rows if any(row[:len(names)])]
    for k, name in enumerate(names):
        pivot, rest = _pivot(rest, k, len(names))
        if pivot is None:
            raise UnboundNameError(name)
        done.append(pivot)
    # make the entries above each pivot small, so that parts fall apart
    for k in range(len(names) - 1, -1, -1):
        for i in range(k):
            times = done[i][k] // done[k][k]
            if times:
                done[i] = [a - times * b for a, b in zip(done[i], done[k], strict=True)]
    return done


def _pivot(rows: list[list[int]], k: int, width: int) -> tuple[list[int] | None, list[list[int]]]:
    """Euclid's algorithm on column ``k``.

    One row keeps the greatest common divisor, all others get 0 there.
    """
    pivot: list[int] | None = None
    rest = []
    for row in rows:
        if not row[k]:
            rest.append(row)
            continue
        if pivot is None:
            pivot = row
            continue
        while row[k]:
            times = pivot[k] // row[k]
            pivot, row = row, [a - times * b for a, b in zip(pivot, row, strict=True)]
        if any(row[:width]):
            rest.append(row)
    if pivot is not None and pivot[k] < 0:
        pivot = [-a for a in pivot]
    return pivot, rest
