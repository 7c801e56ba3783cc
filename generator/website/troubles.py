"""If yours does not close: the notes and the table, ready for the page."""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from markupsafe import Markup

from generator.tongue import ENGLISH, Tongue
from generator.tutorial import Tutorial
from generator.tutorial.trouble import trouble
from generator.website.prose import Inline


@dataclass(frozen=True, slots=True)
class TroubleView:
    """A row: what is seen and what is known of it, what to measure (a line for each mark), what to do; ``anchor`` for links."""

    anchor: str
    see: str
    known: Markup
    measure: tuple[Markup, ...]
    do: str


@dataclass(frozen=True, slots=True)
class Troubles:
    """``notes`` by the number of their step, and the rows of the table."""

    notes: Mapping[int, Markup]
    rows: tuple[TroubleView, ...] = ()
    words: Mapping[str, str] = field(default_factory=lambda: ENGLISH.section("trouble"))


def troubles(tutorial: Tutorial, inline: Inline, tongue: Tongue = ENGLISH) -> Troubles:
    """What may come out wrong with a tutorial's box."""
    found = trouble(tutorial, tongue)
    return Troubles({step: inline.html(note) for step, note in found.notes.items()},
                    tuple(TroubleView(row.anchor, row.see, inline.html(row.known) if row.known else Markup(""), tuple(map(inline.html, row.measure)), row.do)
                          for row in found.rows), tongue.section("trouble"))
