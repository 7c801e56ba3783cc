"""Lists of measures that say their unit, and "about", once."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction

from generator.locale import ENGLISH, Locale
from generator.units.quantity import Angle, Quantity
from generator.units.wording import (
    NO_BREAK,
    Words,
    clings,
    html_figures,
    html_unit,
    is_bare_fraction,
    speech_figures,
    speech_measure,
    speech_unit,
    text_figures,
    text_unit,
    word,
)

Dress = Callable[[Words, Locale], str]


def list_text(quantities: Iterable[Quantity | Angle], system: str, *, finest: Fraction | None = None,
              thickness: bool = False, locale: Locale = ENGLISH) -> str:
    """"30, 60 and 90 mm"; "about 30, 36.2 and 90 mm" when any of them is about; "none" for no measures."""
    words = _words(quantities, system, finest, thickness)
    return _about(words, " ", locale) + _printed(words, text_figures, text_unit, locale)


def list_html(quantities: Iterable[Quantity | Angle], system: str, *, finest: Fraction | None = None,
              thickness: bool = False, locale: Locale = ENGLISH) -> str:
    """As :func:`list_text`, in HTML; a line may break between two measures, never in one."""
    words = _words(quantities, system, finest, thickness)
    return _about(words, NO_BREAK, locale) + _printed(words, html_figures, html_unit, locale)


def list_speech(quantities: Iterable[Quantity | Angle], system: str, *, finest: Fraction | None = None,
                thickness: bool = False, locale: Locale = ENGLISH) -> str:
    """"30, 60 and 90 millimetres"; "1 and a half, and 3 inches", with a pause where "and" is in a measure."""
    words = _words(quantities, system, finest, thickness)
    if _each_is_said_with_its_unit(words):
        said = [speech_measure(w, locale) for w in words]
    else:
        said = _unit_once(words, speech_figures, speech_unit, locale)
    pause = any(locale.say("grammar.and") in item for item in said)
    return _about(words, " ", locale) + locale.join(said, locale.say("grammar.pause" if pause else "grammar.and"))


def join(items: Sequence[str], last: str | None = None, locale: Locale = ENGLISH) -> str:
    """"a, b and c"; "none" for nothing."""
    return locale.join(items, last)


def _words(quantities: Iterable[Quantity | Angle], system: str, finest: Fraction | None,
           thickness: bool) -> tuple[Words, ...]:
    return tuple(word(q, system, finest=finest, thickness=thickness) for q in quantities)


def _about(words: Sequence[Words], space: str, locale: Locale) -> str:
    return f"{locale.say('grammar.about')}{space}" if any(w.about for w in words) else ""


def _printed(words: Sequence[Words], figures: Dress, unit: Dress, locale: Locale) -> str:
    if _each_says_its_unit(words):
        return locale.join([figures(w, locale) + unit(w, locale) for w in words])
    return locale.join(_unit_once(words, figures, unit, locale))


def _unit_once(words: Sequence[Words], figures: Dress, unit: Dress, locale: Locale) -> list[str]:
    """The figures of all, the unit with the last."""
    items = [figures(w, locale) for w in words]
    return [*items[:-1], items[-1] + unit(words[-1], locale)] if items else []


def _each_says_its_unit(words: Sequence[Words]) -> bool:
    """Where the units differ or cling, and where "3 and 1/2 in" would be read as one measure."""
    return len({w.unit for w in words}) > 1 or any(clings(w.unit) for w in words) or _reads_as_mixed(words)


def _each_is_said_with_its_unit(words: Sequence[Words]) -> bool:
    """Where the units differ, and where the last one's would not fit the rest.

    "2 and three quarters of an inch" would be one measure, and "2 and 1 inch" is no English.
    """
    if len(words) < 2 or len({w.unit for w in words}) > 1 or abs(words[-1].shown) == 1:
        return True
    return is_bare_fraction(words[-1]) and not all(map(is_bare_fraction, words))


def _reads_as_mixed(words: Sequence[Words]) -> bool:
    if len(words) < 2:
        return False
    before, last = words[-2:]
    return is_bare_fraction(last) and not before.decimal and not before.numerator and before.whole > 0
