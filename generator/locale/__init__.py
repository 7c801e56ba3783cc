"""The words that readers meet, and how a language counts, lists and writes numbers.

Readers' words stand in ``words/<language>/<room>.yaml``, never in code or
templates; findings, ``foldgauge calls`` and the commands are for authors and
stay English. ``{name}`` is a place for a value, the same in all languages.
What depends on a number has forms, ``{one: one score, other: "{n} scores"}``,
with ``{n}`` in words and ``{figures}`` in figures. Sentences are whole and
never glued together from halves, since another language orders its words
otherwise. The same trade word for the same thing everywhere:
``glossary.yaml`` says which.

The :class:`Locale` is handed down as a parameter, ``locale: Locale = ENGLISH``;
there is no language at large. A word that is alike in two languages is named
by a test (``tests/locale``), so that none is forgotten.
"""
from generator.locale.language import ENGLISH, LANGUAGES, Locale, capital, locale_for

__all__ = ["ENGLISH", "LANGUAGES", "Locale", "capital", "locale_for"]
