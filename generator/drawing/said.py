"""Measures in words, in both systems: as labels of a picture and as sentences of its description."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache, lru_cache

from generator.drawing.lettering import Pair
from generator.tongue import ENGLISH, Tongue
from generator.units import MM_PER_INCH, TOLERANCE, Quantity, Words, as_text, list_text, unit_text, word

STEPS = (Fraction(1, 10), MM_PER_INCH / 64)     # mm: what rules show


@dataclass(frozen=True, slots=True)
class Twin:
    """One measure in both editions: millimetres of the metric one, inches of the other. One may be missing.

    It is told in ``tongue``.
    """

    mm: Quantity | None
    inch: Quantity | None
    tongue: Tongue = ENGLISH

    def words(self, system: str) -> Words | None:
        """The figures in "mm" or "in"; None where that edition has no such measure."""
        quantity = self.mm if system == "mm" else self.inch
        return _word(quantity, system, quantity.exact) if quantity is not None else None

    def pair(self, words: str = "{size}") -> Pair:
        """For each system ``words``, with the measure in its place {size}."""
        return self._pair(lambda said: words.format(size=as_text(said, self.tongue)))

    def bare(self) -> Pair:
        """The figures without their unit, where the unit stands beside the row."""
        return self._pair(lambda words: as_text(replace(words, unit=""), self.tongue))

    def _pair(self, say) -> Pair:
        inch, mm = (self.words(system) for system in ("in", "mm"))
        if inch is None or mm is None:
            return Pair.plain(say(inch or mm))
        return Pair(say(inch), say(mm))

    @property
    def is_nothing(self) -> bool:
        """True for 0, where nothing has to be measured."""
        return all(abs(float(q)) < 1e-6 for q in (self.mm, self.inch) if q is not None)


def twin(drawn: Quantity | None, other: Quantity | None, system: str, tongue: Tongue = ENGLISH) -> Twin:
    """``drawn`` is of the edition in ``system``, ``other`` of the other one. At least one must be there."""
    return Twin(drawn, other, tongue) if system == "mm" else Twin(other, drawn, tongue)


def by_twin(a: Twin, b: Twin) -> Pair:
    """"30 × 12 mm" for both systems: a size, its unit said once where both are told in it."""
    def size(system: str) -> str | None:
        first, second = a.words(system), b.words(system)
        if first is None or second is None:
            return None
        about = f"{a.tongue.say('grammar.about')} " if first.about or second.about else ""
        return about + " × ".join((as_text(replace(first, unit="", about=False), a.tongue),
                                   as_text(replace(second, about=False), a.tongue)))
    inch, mm = size("in"), size("mm")
    return Pair(inch, mm) if inch and mm else Pair.plain(inch or mm or "")


def listed(twins: Sequence[Twin], system: str) -> str | None:
    """"30, 60 and 90 mm"; None where the edition lacks one of them."""
    quantities = [t.mm if system == "mm" else t.inch for t in twins]
    if any(q is None for q in quantities):
        return None
    return _list(tuple(quantities), system, tuple(q.exact for q in quantities), twins[0].tongue)


# A plan says the same measures again and again, picture after picture. Exactness is part of
# the key, since 30 and 30.0 are equal to Python, and only one of them is "about".
@lru_cache(maxsize=2048)
def _word(quantity: Quantity, system: str, exact: bool) -> Words:
    return word(quantity, system)


@lru_cache(maxsize=512)
def _list(quantities: tuple[Quantity, ...], system: str, exact: tuple[bool, ...], tongue: Tongue) -> str:
    return list_text(quantities, system, tongue=tongue)


def length_of(mm: Fraction | float) -> Quantity:
    """A length that no name is known of; one that only lost its exactness in a turn gets it back."""
    if isinstance(mm, float):
        for step in STEPS:
            near = round(mm / step) * step
            if abs(float(near) - mm) < TOLERANCE:
                return Quantity(near, 1)
    return Quantity(mm, 1)


@cache
def unit_pair(tongue: Tongue) -> Pair:
    """The two units, where they stand once beside a row of figures."""
    return Pair(unit_text("in", tongue), unit_text("mm", tongue))


def degrees(angle: float, tongue: Tongue = ENGLISH) -> str:
    """How far a fold goes, to a tenth of a degree: "90°", "about 63.4°"."""
    shown = round(angle, 1)
    about = "" if abs(angle - shown) <= TOLERANCE else f"{tongue.say('grammar.about')} "
    return f"{about}{tongue.figures(f'{shown:g}')}°"
