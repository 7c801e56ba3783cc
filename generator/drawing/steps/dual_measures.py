"""Measures in words, in both systems: as labels of a picture and as sentences of its description.

What a number in the picture says in the list that the page prints below it.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache, lru_cache

from generator.drawing.lettering import DualText
from generator.locale import ENGLISH, Locale
from generator.units import (
    SYSTEMS,
    TOLERANCE,
    DisplayMeasure,
    Quantity,
    as_text,
    display_measure,
    list_html,
    list_speech,
    list_text,
    unit_text,
)

RULE_STEPS = tuple(each.finest for each in SYSTEMS.values())     # mm: what rules show


@dataclass(frozen=True, slots=True)
class DualMeasure:
    """One measure in both editions: millimetres of the metric one, inches of the other. One may be missing.

    It is told in ``locale``.
    """

    mm: Quantity | None
    inch: Quantity | None
    locale: Locale = ENGLISH

    def words(self, system: str) -> DisplayMeasure | None:
        """The figures in "mm" or "in"; None where that edition has no such measure."""
        quantity = self.mm if system == "mm" else self.inch
        return _word(quantity, system, quantity.exact) if quantity is not None else None

    def pair(self, words: str = "{size}") -> DualText:
        """For each system ``words``, with the measure in its place {size}."""
        return self._pair(lambda said: words.format(size=as_text(said, self.locale)))

    def bare(self) -> DualText:
        """The figures without their unit, where the unit stands beside the row."""
        return self._pair(lambda words: as_text(replace(words, unit=""), self.locale))

    def _pair(self, say) -> DualText:
        inch, mm = (self.words(system) for system in ("in", "mm"))
        if inch is None or mm is None:
            return DualText.plain(say(inch or mm))
        return DualText(say(inch), say(mm))

    @property
    def is_nothing(self) -> bool:
        """True for 0, where nothing has to be measured."""
        return all(abs(float(q)) < 1e-6 for q in (self.mm, self.inch) if q is not None)


def dual_measure(drawn: Quantity | None, other: Quantity | None, system: str, locale: Locale = ENGLISH) -> DualMeasure:
    """``drawn`` is of the edition in ``system``, ``other`` of the other one. At least one must be there."""
    return DualMeasure(drawn, other, locale) if system == "mm" else DualMeasure(other, drawn, locale)


def dual_size(a: DualMeasure, b: DualMeasure) -> DualText:
    """"30 × 12 mm" for both systems: a size, its unit said once where both are told in it."""
    def size(system: str) -> str | None:
        first, second = a.words(system), b.words(system)
        if first is None or second is None:
            return None
        about = f"{a.locale.say('grammar.about')} " if first.about or second.about else ""
        return about + " × ".join((as_text(replace(first, unit="", about=False), a.locale),
                                   as_text(replace(second, about=False), a.locale)))
    inch, mm = size("in"), size("mm")
    return DualText(inch, mm) if inch and mm else DualText.plain(inch or mm or "")


def list_measures(twins: Sequence[DualMeasure], system: str) -> str | None:
    """"30, 60 and 90 mm"; None where the edition lacks one of them."""
    quantities = [t.mm if system == "mm" else t.inch for t in twins]
    if any(q is None for q in quantities):
        return None
    return _list(tuple(quantities), system, tuple(q.exact for q in quantities), twins[0].locale)


# A plan says the same measures again and again, picture after picture. Exactness is part of
# the key, since 30 and 30.0 are equal to Python, and only one of them is "about".
@lru_cache(maxsize=2048)
def _word(quantity: Quantity, system: str, exact: bool) -> DisplayMeasure:
    return display_measure(quantity, system)


@lru_cache(maxsize=512)
def _list(quantities: tuple[Quantity, ...], system: str, exact: tuple[bool, ...], locale: Locale) -> str:
    return list_text(quantities, system, locale=locale)


def exact_length(mm: Fraction | float) -> Quantity:
    """A length that no name is known of; one that only lost its exactness in a turn gets it back."""
    if isinstance(mm, float):
        for step in RULE_STEPS:
            near = round(mm / step) * step
            if abs(float(near) - mm) < TOLERANCE:
                return Quantity(near, 1)
    return Quantity(mm, 1)


@cache
def unit_names(locale: Locale) -> DualText:
    """The two units, where they stand once beside a row of figures."""
    return DualText(unit_text("in", locale), unit_text("mm", locale))


def angle_text(angle: float, locale: Locale = ENGLISH) -> str:
    """How far a fold goes, to a tenth of a degree: "90°", "about 63.4°"."""
    shown = round(angle, 1)
    about = "" if abs(angle - shown) <= TOLERANCE else f"{locale.say('grammar.about')} "
    return f"{about}{locale.figures(f'{shown:g}')}°"


@dataclass(frozen=True, slots=True)
class ListRow:
    """``number`` is the badge's, or None where the row speaks of the whole picture.

    The row reads: ``before``, the measures, ``after``. ``mm`` and ``inch`` are
    plain text, ``mm_html`` and ``inch_html`` the same with real fractions,
    ``mm_speech`` and ``inch_speech`` as read aloud; all are "" in a row of
    words alone.
    """

    number: int | None
    before: str = ""
    after: str = ""
    mm: str = ""
    inch: str = ""
    mm_html: str = ""
    inch_html: str = ""
    mm_speech: str = ""
    inch_speech: str = ""

    def text(self, system: str) -> str:
        """The row in plain words for one system."""
        measure = self.mm if system == "mm" else self.inch
        return " ".join(filter(None, (self.before, measure, self.after)))


def measure_row(number: int | None, twins: Sequence[DualMeasure], before: str = "", after: str = "") -> ListRow:
    """A row that says one measure or a list of them. Where an edition lacks one, the other's stands for it."""
    (mm_text, mm_html, mm_speech), (in_text, in_html, in_speech) = (
        _worded([getattr(t, edition) for t in twins], system, twins[0].locale) for edition, system in (("mm", "mm"), ("inch", "in")))
    return ListRow(number, before, after, mm_text or in_text, in_text or mm_text, mm_html or in_html,
                   in_html or mm_html, mm_speech or in_speech, in_speech or mm_speech)


def text_row(words: str, twins: Sequence[DualMeasure]) -> ListRow:
    """A row without a number: ``words``, with the measures in their place {size}."""
    before, _, after = (part.strip() for part in words.partition("{size}"))
    return measure_row(None, twins, before, after)


def _worded(quantities: Sequence[Quantity | None], system: str, locale: Locale) -> tuple[str, str, str]:
    if None in quantities:
        return "", "", ""
    return tuple(say(quantities, system, locale=locale) for say in (list_text, list_html, list_speech))
