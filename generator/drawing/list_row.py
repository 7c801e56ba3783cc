"""What a number in the picture says in the list that the page prints below it."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.said import Twin
from generator.units import list_html, list_speech, list_text


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
    mm, inch = [t.mm for t in twins], [t.inch for t in twins]
    in_mm = ("", "", "") if None in mm else (list_text(mm, "mm"), list_html(mm, "mm"), list_speech(mm, "mm"))
    in_inch = ("", "", "") if None in inch else (list_text(inch, "in"), list_html(inch, "in"), list_speech(inch, "in"))
    (mm_text, mm_html, mm_speech), (in_text, in_html, in_speech) = in_mm, in_inch
    return ListRow(number, before, after, mm_text or in_text, in_text or mm_text, mm_html or in_html,
                   in_html or mm_html, mm_speech or in_speech, in_speech or mm_speech)
