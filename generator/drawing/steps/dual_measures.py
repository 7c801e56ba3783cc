"""Measures in words, in both systems: for labels, for descriptions, and for the list below a picture."""
from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import cache, lru_cache

from generator.dataclass import dataclass, replace
from generator.drawing.lettering import DualText
from generator.geometry.tolerances import PLACE_TOLERANCE
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

    It is worded in ``locale``.
    """

    mm: Quantity | None
    inch: Quantity | None
    locale: Locale = ENGLISH

    def display(self, system: str) -> DisplayMeasure | None:
        """The measure in "mm" or "in"; None where that edition has no such measure."""
        quantity = self.mm if system == "mm" else self.inch
        return _displayed(quantity, system, quantity.exact) if quantity is not None else None

    @property
    def either(self) -> Quantity:
        """The millimetres, else the inches. Raises ValueError where both are missing."""
        quantity = self.mm if self.mm is not None else self.inch
        if quantity is None:
            raise ValueError("a measure without a length in either edition")
        return quantity

    def text(self, words: str = "{size}") -> DualText:
        """For each system ``words``, with the measure in its place {size}."""
        return self._text(lambda measure: words.format(size=as_text(measure, self.locale)))

    def numbers(self) -> DualText:
        """The numbers without their unit, where the unit stands beside the row."""
        return self._text(lambda measure: as_text(replace(measure, unit=""), self.locale))

    def _text(self, text: Callable[[DisplayMeasure], str]) -> DualText:
        inch, mm = ("" if measure is None else text(measure)
                    for measure in (self.display("in"), self.display("mm")))
        return DualText(inch, mm) if inch and mm else DualText.plain(inch or mm)

    @property
    def is_zero(self) -> bool:
        """True for 0, where nothing has to be measured."""
        return all(abs(float(q)) < PLACE_TOLERANCE for q in (self.mm, self.inch) if q is not None)


def dual_measure(drawn: Quantity | None, other: Quantity | None, system: str,
                 locale: Locale = ENGLISH) -> DualMeasure:
    """``drawn`` is of the edition in ``system``, ``other`` of the other one. At least one must be there."""
    return DualMeasure(drawn, other, locale) if system == "mm" else DualMeasure(other, drawn, locale)


def dual_size(a: DualMeasure, b: DualMeasure) -> DualText:
    """Such as "30 × 12 mm" for both systems; plain where an edition lacks one of the two."""
    def size(system: str) -> str | None:
        first, second = a.display(system), b.display(system)
        if first is None or second is None:
            return None
        about = f"{a.locale.say('grammar.about')} " if first.about or second.about else ""
        return about + " × ".join((as_text(replace(first, unit="", about=False), a.locale),
                                   as_text(replace(second, about=False), a.locale)))
    inch, mm = size("in"), size("mm")
    return DualText(inch, mm) if inch and mm else DualText.plain(inch or mm or "")


def list_measures(values: Sequence[DualMeasure], system: str) -> str | None:
    """Such as "30, 60 and 90 mm"; None where the edition lacks one of them."""
    quantities = _quantities(values, system)
    if quantities is None:
        return None
    return _list(quantities, system, tuple(q.exact for q in quantities), values[0].locale)


def _quantities(values: Sequence[DualMeasure], system: str) -> tuple[Quantity, ...] | None:
    """The lengths of an edition; None where it lacks one of them."""
    found = [value.mm if system == "mm" else value.inch for value in values]
    present = tuple(quantity for quantity in found if quantity is not None)
    return present if len(present) == len(found) else None


# A plan words the same measures again and again, picture after picture. Exactness is part of
# the key, since 30 and 30.0 are equal to Python, and only one of them is "about".
@lru_cache(maxsize=2048)
def _displayed(quantity: Quantity, system: str, _exact: bool) -> DisplayMeasure:
    return display_measure(quantity, system)


@lru_cache(maxsize=512)
def _list(quantities: tuple[Quantity, ...], system: str, _exact: tuple[bool, ...], locale: Locale) -> str:
    return list_text(quantities, system, locale=locale)


def exact_length(mm: Fraction | float) -> Quantity:
    """A length without a known name; one that only lost its exactness in a rotation gets it back."""
    if isinstance(mm, float):
        for step in RULE_STEPS:
            near = round(mm / step) * step
            if abs(float(near) - mm) < TOLERANCE:
                return Quantity(near, 1)
    return Quantity(mm, 1)


@cache
def unit_names(locale: Locale) -> DualText:
    """The two units, where they stand once beside a row of numbers."""
    return DualText(unit_text("in", locale), unit_text("mm", locale))


def angle_text(angle: float, locale: Locale = ENGLISH) -> str:
    """How far a fold goes, to a tenth of a degree: "90°", "about 63.4°"."""
    shown = round(angle, 1)
    about = "" if abs(angle - shown) <= TOLERANCE else f"{locale.say('grammar.about')} "
    return f"{about}{locale.figures(f'{shown:g}')}°"


@dataclass(frozen=True, slots=True)
class ListRow:
    """A row of the list below a picture; ``number`` is its badge's, None where it is about the whole picture.

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


def measure_row(number: int | None, values: Sequence[DualMeasure], before: str = "",
                after: str = "") -> ListRow:
    """A row with one measure or a list of them. Where an edition lacks one, the other's stands for it."""
    (mm_text, mm_html, mm_speech), (in_text, in_html, in_speech) = (
        _wordings(values, system) for system in ("mm", "in"))
    return ListRow(number, before, after, mm_text or in_text, in_text or mm_text, mm_html or in_html,
                   in_html or mm_html, mm_speech or in_speech, in_speech or mm_speech)


def text_row(words: str, values: Sequence[DualMeasure]) -> ListRow:
    """A row without a number: ``words``, with the measures in their place {size}."""
    before, _, after = (part.strip() for part in words.partition("{size}"))
    return measure_row(None, values, before, after)


def _wordings(values: Sequence[DualMeasure], system: str) -> tuple[str, str, str]:
    """A list as text, as HTML and as speech; empty where the edition lacks one of its measures."""
    quantities, locale = _quantities(values, system), values[0].locale
    if quantities is None:
        return "", "", ""
    return (list_text(quantities, system, locale=locale), list_html(quantities, system, locale=locale),
            list_speech(quantities, system, locale=locale))
