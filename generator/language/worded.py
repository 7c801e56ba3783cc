"""How a value of the language words itself: plain text, speech and HTML."""
from __future__ import annotations

from html import escape
from typing import NamedTuple

from generator.paper.kinds import kind_of
from generator.paper.records import Fold
from generator.paper.values import Group, Size, Word, Wordage
from generator.units import (Angle, Quantity, QuantityError, as_html, as_speech, as_text, list_html, list_speech,
                             list_text, word)


class Said(NamedTuple):
    """One value in words; ``measure`` is True where a unit is involved, so that editions may differ."""

    text: str
    speech: str
    html: str
    measure: bool


class Unsayable(ValueError):
    """A value that has no words; the text says what to write instead."""


def said(value: object, system: str, thickness: bool = False) -> Said:
    """Word a value for one edition. Raises :class:`Unsayable` (or QuantityError) where it has no words."""
    if isinstance(value, Quantity | Angle):
        words = word(value, system, thickness=thickness)
        return Said(as_text(words), as_speech(words), as_html(words), _is_measure(value))
    if isinstance(value, Size):
        return _size(value, system)
    if isinstance(value, Group):
        return _group(value, system)
    if isinstance(value, Wordage | Word):
        return _plain(value.value)
    if isinstance(value, str):
        return _plain(value)
    if isinstance(value, Fold):
        return _plain(value.direction.value)
    raise Unsayable(f"{kind_of(value)} has no words of its own")


def _is_measure(value: object) -> bool:
    return isinstance(value, Quantity) and value.power > 0


def _plain(text: str) -> Said:
    return Said(text, text, escape(text, quote=False), False)


def _size(value: Size, system: str) -> Said:
    parts = [word(q, system) for q in (value.width, value.height)]
    return Said(" × ".join(map(as_text, parts)), " by ".join(map(as_speech, parts)),
                " × ".join(map(as_html, parts)), True)


def _group(value: Group, system: str) -> Said:
    items = value.items
    if items and all(isinstance(item, Quantity | Angle) for item in items):
        if len({getattr(item, "power", -1) for item in items}) > 1:
            raise QuantityError("units-mixed", "this group mixes lengths with numbers", "word its parts one by one")
        return Said(list_text(items, system), list_speech(items, system), list_html(items, system),
                    any(map(_is_measure, items)))
    if items and all(isinstance(item, Wordage | Word | Fold) for item in items):
        return said(items[0], system) if len(set(map(_text_of, items))) == 1 else _plain(", ".join(map(_text_of, items)))
    raise Unsayable("a group of " + (kind_of(items[0]).removeprefix("a ") + "s" if items else "nothing") +
                    " has no words of its own")


def _text_of(item: object) -> str:
    return item.direction.value if isinstance(item, Fold) else item.value
