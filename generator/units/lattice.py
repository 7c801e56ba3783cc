"""The lattice of values for which every mark falls on its tool's grid.

Congruences Σ c·v ≡ 0 (mod step) with rational c and step are the rows of a
matrix M with M·v integral. Its row-style Hermite normal form H (an upper
triangular integer matrix over a common denominator) describes the same
lattice: v is on it exactly when (H/d)·v is integral. Source: the textbook
algorithm (row operations of determinant ±1), *from memory*.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, lcm


@dataclass(frozen=True, slots=True)
class Congruence:
    """Σ ``form[name]`` · name must be a multiple of ``step`` (mm); ``says`` names what it comes from."""

    form: Mapping[str, Fraction]
    step: Fraction
    says: str = ""


@dataclass(frozen=True, slots=True)
class Lattice:
    """``rows[i]`` (integers over ``denominator``) has its first non-zero entry in column i of ``names``.

    So the last name is chosen first: each name's values are an arithmetic
    progression once the names behind it are chosen.
    """

    names: tuple[str, ...]
    rows: tuple[tuple[int, ...], ...]
    denominator: int

    def step(self, k: int) -> Fraction:
        """How far apart the values of name ``k`` lie."""
        return Fraction(self.denominator, self.rows[k][k])

    def values(self, k: int, chosen: Mapping[str, Fraction], low: Fraction, high: Fraction) -> Iterator[Fraction]:
        """Values of name ``k`` between ``low`` and ``high``, given those of all names behind it, in ascending order."""
        row, step = self.rows[k], self.step(k)
        shift = sum((row[j] * chosen[self.names[j]] for j in range(k + 1, len(row)) if row[j]), Fraction(0))
        offset = -shift / row[k]
        first = ceil((low - offset) / step)
        for z in range(first, floor((high - offset) / step) + 1):
            yield offset + z * step

    def holds(self, values: Mapping[str, Fraction]) -> bool:
        """Whether a choice of all values is on the lattice."""
        return all(sum(row[j] * values[n] for j, n in enumerate(self.names) if row[j]) % self.denominator == 0
                   for row in self.rows)

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


class NotEnough(ValueError):
    """Some name is bound by no congruence; ``name`` says which."""

    def __init__(self, name: str):
        super().__init__(name)
        self.name = name


def lattice(names: Sequence[str], congruences: Sequence[Congruence]) -> Lattice:
    """The lattice of a set of congruences. Raises NotEnough where a name is free to take any value."""
    denominators = [(c.form.get(n, Fraction(0)) / c.step).denominator for c in congruences for n in names]
    common = lcm(*denominators) if denominators else 1
    rows = [[int(c.form.get(n, Fraction(0)) / c.step * common) for n in names] for c in congruences]
    reduced = _hermite(rows, names)
    return Lattice(tuple(names), tuple(tuple(row) for row in reduced), common)


def _hermite(rows: list[list[int]], names: Sequence[str]) -> list[list[int]]:
    done: list[list[int]] = []
    rest = [row for row in rows if any(row)]
    for k, name in enumerate(names):
        pivot, rest = _pivot(rest, k)
        if pivot is None:
            raise NotEnough(name)
        done.append(pivot)
    for k in range(len(names) - 1, -1, -1):     # make the entries above each pivot small, so that parts fall apart
        for i in range(k):
            times = done[i][k] // done[k][k]
            if times:
                done[i] = [a - times * b for a, b in zip(done[i], done[k], strict=True)]
    return done


def _pivot(rows: list[list[int]], k: int) -> tuple[list[int] | None, list[list[int]]]:
    """Euclid's algorithm on column ``k``: one row keeps the greatest common divisor, all others get 0 there."""
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
        if any(row):
            rest.append(row)
    if pivot is not None and pivot[k] < 0:
        pivot = [-a for a in pivot]
    return pivot, rest
