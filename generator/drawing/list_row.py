"""What a number in the picture says in the list that the page prints below it."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.said import Twin
from generator.tongue import Tongue
from generator.units import Quantity, list_html, list_speech, list_text


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


def measure_row(number: int | None, twins: Sequence[Twin], before: str = "", after: str = "") -> ListRow:
    """A row that says one measure or a list of them. Where an edition lacks one, the other's stands for it."""
    (mm_text, mm_html, mm_speech), (in_text, in_html, in_speech) = (
        _worded([getattr(t, edition) for t in twins], system, twins[0].tongue) for edition, system in (("mm", "mm"), ("inch", "in")))
    return ListRow(number, before, after, mm_text or in_text, in_text or mm_text, mm_html or in_html,
                   in_html or mm_html, mm_speech or in_speech, in_speech or mm_speech)


def row_of(words: str, twins: Sequence[Twin]) -> ListRow:
    """A row without a number: ``words``, with the measures in their place {size}."""
    before, _, after = (part.strip() for part in words.partition("{size}"))
    return measure_row(None, twins, before, after)


def _worded(quantities: Sequence[Quantity | None], system: str, tongue: Tongue) -> tuple[str, str, str]:
    if None in quantities:
        return "", "", ""
    return tuple(say(quantities, system, tongue=tongue) for say in (list_text, list_html, list_speech))
