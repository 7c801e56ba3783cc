"""How languages count, list and write numbers: the Unicode CLDR by Babel, numbers in words by num2words.

Both libraries are imported where they are first asked, since commands that
word nothing need neither. A language that they do not know is an error, and
never taken for English.
"""
from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from babel import Locale as CldrLocale


@cache
def _cldr(language: str) -> CldrLocale:
    """The data of a language, which may say a region ("en_GB"); KeyError where there are none."""
    from babel.core import Locale as CldrLocale
    from babel.core import UnknownLocaleError
    try:
        return CldrLocale.parse(language)
    except (UnknownLocaleError, ValueError) as error:
        raise KeyError(language) from error


@cache
def plural_category(language: str, n: int | float | Fraction) -> str:
    """Which form of a plural a number asks for: "one", "few" … (Unicode TR 35, part 3, cardinal)."""
    return str(_cldr(language).plural_form(int(n) if n == int(n) else float(n)))


def plural_categories(language: str) -> frozenset[str]:
    """The forms that every plural of a language must have."""
    return frozenset({*_cldr(language).plural_form.tags, "other"})


@cache
def decimal_sign(language: str) -> str:
    """What stands between the whole and its decimals: "." or ","."""
    return str(_cldr(language).number_symbols["latn"]["decimal"])


def listed(items: Sequence[str], language: str) -> str:
    """Items as a list in a sentence: "a, b and c"."""
    from babel.lists import format_list
    return format_list(list(items), locale=_cldr(language))


@cache
def number_in_words(n: int, language: str, to: str = "cardinal") -> str:
    """A whole number in words, or its "ordinal"; KeyError for a language whose words are not known."""
    from num2words import num2words
    try:
        return str(num2words(n, lang=language, to=to))
    except NotImplementedError as error:
        raise KeyError(language) from error
