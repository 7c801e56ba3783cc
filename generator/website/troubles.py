"""If yours does not close: the notes and the table, ready for the page."""
from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field

from markupsafe import Markup

from generator.locale import ENGLISH, Locale
from generator.tutorial import Tutorial
from generator.tutorial.trouble import trouble
from generator.website.build_cache import CachedResults
from generator.website.prose import InlineToken


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


def troubles(tutorial: Tutorial, inline: InlineToken, locale: Locale = ENGLISH, kept: CachedResults = CachedResults()) -> Troubles:
    """What may come out wrong with a tutorial's box; every mark is tried for it, so it is ``kept``."""
    data = kept.found("troubles")
    if data is not None:
        return _unpacked(data, locale)
    made = _made(tutorial, inline, locale)
    kept.put("troubles", _packed(made))
    return made


def _packed(made: Troubles) -> bytes:
    return json.dumps([list(made.notes.items()),
                       [(row.anchor, row.see, row.known, row.measure, row.do) for row in made.rows]]).encode()


def _unpacked(data: bytes, locale: Locale) -> Troubles:
    notes, rows = json.loads(data)
    return Troubles({step: Markup(note) for step, note in notes},
                    tuple(TroubleView(anchor, see, Markup(known), tuple(map(Markup, measure)), do)
                          for anchor, see, known, measure, do in rows), locale.section("trouble"))


def _made(tutorial: Tutorial, inline: InlineToken, locale: Locale) -> Troubles:
    found = trouble(tutorial, locale)
    return Troubles({step: inline.html(note) for step, note in found.notes.items()},
                    tuple(TroubleView(row.anchor, row.see, inline.html(row.known) if row.known else Markup(""), tuple(map(inline.html, row.measure)), row.do)
                          for row in found.rows), locale.section("trouble"))
