"""Several measures in one phrase: lists, sides and sizes that say their unit, and "about", once."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from typing import NamedTuple

from generator.locale import ENGLISH, Locale
from generator.units.quantity import Angle, Quantity
from generator.units.wording import (
    NO_BREAK,
    DisplayMeasure,
    display_measure,
    html_figures,
    html_unit,
    is_bare_fraction,
    is_unspaced,
    speech_figures,
    speech_measure,
    speech_unit,
    text_figures,
    text_unit,
)

FLAT_HEIGHT = 1e-6     # mm; what stands no higher lies flat: far above rounding, far below any paper
MeasureFormat = Callable[[DisplayMeasure, Locale], str]


def list_text(quantities: Iterable[Quantity | Angle], system: str, *, finest: Fraction | None = None,
              thickness: bool = False, locale: Locale = ENGLISH) -> str:
    """"30, 60 and 90 mm"; "about 30, 36.2 and 90 mm" when any of them is about; "none" for no measures."""
    words = _list_measures(quantities, system, finest, thickness)
    return _about_prefix(words, " ", locale) + _joined_list(words, text_figures, text_unit, locale)


def list_html(quantities: Iterable[Quantity | Angle], system: str, *, finest: Fraction | None = None,
              thickness: bool = False, locale: Locale = ENGLISH) -> str:
    """As :func:`list_text`, in HTML; a line may break between two measures, never in one."""
    words = _list_measures(quantities, system, finest, thickness)
    return _about_prefix(words, NO_BREAK, locale) + _joined_list(words, html_figures, html_unit, locale)


def list_speech(quantities: Iterable[Quantity | Angle], system: str, *, finest: Fraction | None = None,
                thickness: bool = False, locale: Locale = ENGLISH) -> str:
    """"30, 60 and 90 millimetres"; "1 and a half, and 3 inches", with a pause where "and" is in a measure."""
    words = _list_measures(quantities, system, finest, thickness)
    if _repeats_spoken_unit(words):
        text = [speech_measure(w, locale) for w in words]
    else:
        text = _unit_on_last(words, speech_figures, speech_unit, locale)
    pause = any(locale.say("grammar.and") in item for item in text)
    return _about_prefix(words, " ", locale) + locale.join(text, locale.say("grammar.pause" if pause
                                                                      else "grammar.and"))


def join(items: Sequence[str], last: str | None = None, locale: Locale = ENGLISH) -> str:
    """"a, b and c"; "none" for nothing."""
    return locale.join(items, last)


def _list_measures(quantities: Iterable[Quantity | Angle], system: str, finest: Fraction | None,
           thickness: bool) -> tuple[DisplayMeasure, ...]:
    return tuple(display_measure(q, system, finest=finest, thickness=thickness) for q in quantities)


def _about_prefix(words: Sequence[DisplayMeasure], space: str, locale: Locale) -> str:
    return f"{locale.say('grammar.about')}{space}" if any(w.about for w in words) else ""


def _joined_list(words: Sequence[DisplayMeasure], figures: MeasureFormat, unit: MeasureFormat,
                 locale: Locale) -> str:
    if _repeats_unit(words):
        return locale.join([figures(w, locale) + unit(w, locale) for w in words])
    return locale.join(_unit_on_last(words, figures, unit, locale))


def _unit_on_last(words: Sequence[DisplayMeasure], figures: MeasureFormat, unit: MeasureFormat,
                  locale: Locale) -> list[str]:
    """The figures of all, the unit with the last."""
    items = [figures(w, locale) for w in words]
    return [*items[:-1], items[-1] + unit(words[-1], locale)] if items else []


def _repeats_unit(words: Sequence[DisplayMeasure]) -> bool:
    """Where the units differ or cling, and where "3 and 1/2 in" would be read as one measure."""
    return len({w.unit for w in words}) > 1 or any(is_unspaced(w.unit)
                                                   for w in words) or _reads_as_mixed(words)


def _repeats_spoken_unit(words: Sequence[DisplayMeasure]) -> bool:
    """Where the units differ, and where the last one's would not fit the rest.

    "2 and three quarters of an inch" would be one measure, and "2 and 1 inch" is no English.
    """
    if len(words) < 2 or len({w.unit for w in words}) > 1 or abs(words[-1].shown) == 1:
        return True
    return is_bare_fraction(words[-1]) and not all(map(is_bare_fraction, words))


def _reads_as_mixed(words: Sequence[DisplayMeasure]) -> bool:
    if len(words) < 2:
        return False
    before, last = words[-2:]
    return is_bare_fraction(last) and not before.decimal and not before.numerator and before.whole > 0


def size_text(first: Quantity, second: Quantity, system: str, locale: Locale = ENGLISH) -> str:
    """"71 × 297 mm", "about 8 1/4 × 11 11/16 in"."""
    a, b, about = _size_measures(first, second, system, locale)
    return f"{about}{text_figures(a, locale)} × {text_figures(b, locale)}{text_unit(b, locale)}"


def size_html(first: Quantity, second: Quantity, system: str, locale: Locale = ENGLISH) -> str:
    """As :func:`size_text`, in HTML whose lines break before the second side at most."""
    a, b, about = _size_measures(first, second, system, locale)
    about = about.replace(" ", NO_BREAK)
    first_side, second_side = html_figures(a, locale), html_figures(b, locale)
    return f"{about}{first_side}{NO_BREAK}× {second_side}{html_unit(b, locale)}"


def size_speech(first: Quantity, second: Quantity, system: str, locale: Locale = ENGLISH) -> str:
    """Said aloud: "71 by 297 millimetres", "1 and a half by 12 inches"."""
    a, b, about = _size_measures(first, second, system, locale)
    return f"{about}{speech_figures(a, locale)} {locale.say('grammar.by')} {speech_measure(b, locale)}"


def _size_measures(first: Quantity, second: Quantity, system: str,
                   locale: Locale) -> tuple[DisplayMeasure, DisplayMeasure, str]:
    a, b = display_measure(first, system), display_measure(second, system)
    return a, b, f"{locale.say('grammar.about')} " if a.about or b.about else ""


# across, deep (None: round), high (None: a ball)
Dimensions = tuple[Quantity, Quantity | None, Quantity | None]
MeasureFormatter = Callable[[DisplayMeasure, Locale], str]


class _DimensionFormat(NamedTuple):
    figures: MeasureFormatter           # the figures alone, where the unit follows with the next ones
    measure: MeasureFormatter
    space: str


_TEXT_FORMAT = _DimensionFormat(text_figures, lambda w, t: text_figures(w, t) + text_unit(w, t), " ")
_HTML_FORMAT = _DimensionFormat(html_figures, lambda w, t: html_figures(w, t) + html_unit(w, t), NO_BREAK)
_SPEECH_FORMAT = _DimensionFormat(speech_figures, speech_measure, " ")


def dimensions_text(sides: Dimensions, system: str, locale: Locale = ENGLISH) -> str:
    """Plain text; "about" stands in front when any side is."""
    return _dimensions_phrase(sides, system, locale, _TEXT_FORMAT)


def dimensions_html(sides: Dimensions, system: str, locale: Locale = ENGLISH) -> str:
    """As :func:`dimensions_text`, in HTML; a line may break between two measures, never in one."""
    return _dimensions_phrase(sides, system, locale, _HTML_FORMAT)


def dimensions_speech(sides: Dimensions, system: str, locale: Locale = ENGLISH) -> str:
    """Said aloud."""
    return _dimensions_phrase(sides, system, locale, _SPEECH_FORMAT)


def _dimensions_phrase(sides: Dimensions, system: str, locale: Locale, formatter: _DimensionFormat) -> str:
    across = display_measure(sides[0], system)
    deep, high = (None if side is None else display_measure(side, system) for side in (sides[1], sides[2]))
    words = [each for each in (across, deep, high) if each is not None]
    about = f"{locale.say('grammar.about')}{formatter.space}" if any(w.about for w in words) else ""
    once = deep is not None and across.unit == deep.unit
    shown = {"across": (formatter.figures if once else formatter.measure)(across, locale)}
    shown |= {name: formatter.measure(each, locale) for name, each in (("deep", deep), ("high", high))
              if each is not None}
    kind = "box" if deep is not None else "tin" if high is not None else "ball"
    if kind == "box" and sides[2] is not None and abs(float(sides[2])) < FLAT_HEIGHT:
        kind = "flat"       # an envelope, a ticket
    return about + locale.say(f"box.size.{kind}", **shown)
