"""The different rectangles among the blanks of a box: pieces of one size are one kind, so there is less to try."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from generator.paper.sheet_layouts import Blank, StockSheet
from generator.sheets.errors import SheetError
from generator.sheets.problem import Problem, Rectangle, exact, problem, turns_of

MOST_OF_ONE = 1000      # blanks of a piece in one box


@dataclass(frozen=True, slots=True)
class Kind:
    """Blanks of one size that may lie in the same ways; a box needs as many as ``names`` has entries."""

    width: Fraction
    height: Fraction
    turns: tuple[bool, ...]
    names: tuple[str, ...]

    @property
    def count(self) -> int:
        return len(self.names)

    @property
    def area(self) -> Fraction:
        """Of all that a box needs, in mm²."""
        return self.width * self.height * self.count


def kinds_of(blanks: Sequence[Blank], direction: str | None) -> tuple[Kind, ...]:
    """The kinds of some blanks, on a sheet whose grain runs along ``direction``.

    Raises SheetError where there is no blank, or one of no size or of no number that makes sense.
    """
    if not blanks:
        raise SheetError("number-wrong", "no blank is given to cut", "name at least one")
    found: dict[tuple, list[str]] = {}
    for blank in blanks:
        if blank.count < 1:
            raise SheetError("number-wrong", f"{blank.name} is wanted {blank.count} times", "a box needs at least one of it")
        if blank.count > MOST_OF_ONE:
            raise SheetError("too-much", f"{blank.name} is wanted {blank.count} times in one box",
                             f"{MOST_OF_ONE} are the most; count such pieces as boxes of their own")
        found.setdefault(_as_it_lies(blank, direction), []).extend([blank.name] * blank.count)
    return tuple(Kind(*shape, tuple(names)) for shape, names in found.items())


def _as_it_lies(blank: Blank, direction: str | None) -> tuple[Fraction, Fraction, tuple[bool, ...]]:
    return exact(blank.width), exact(blank.height), turns_of(blank, direction)


def posed(sheet: StockSheet, kinds: Sequence[Kind], kerf: Fraction, most: Sequence[int | None] | None = None) -> Problem:
    """The problem of cutting these kinds from a sheet, at most ``most`` of each (as many as there can be without it)."""
    limits = most if most is not None else [None] * len(kinds)
    rectangles = [Rectangle(k.width, k.height, k.turns, limit) for k, limit in zip(kinds, limits, strict=True)]
    return problem(*sheet.usable, rectangles, kerf)
