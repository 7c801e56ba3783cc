"""How a value of the language words itself: plain text, speech and HTML."""
from __future__ import annotations

from dataclasses import replace
from html import escape
from typing import NamedTuple

from generator.paper.kinds import kind_of
from generator.paper.records import Face, Fold, Mark
from generator.paper.values import Bay, Bulk, Edge, Group, Holds, Made, Piece, Size, Truth, Word, Wordage
from generator.tongue import ENGLISH, Tongue
from generator.units import (
    Angle,
    Quantity,
    QuantityError,
    as_html,
    as_speech,
    as_text,
    bulk_html,
    bulk_speech,
    bulk_text,
    list_html,
    list_speech,
    list_text,
    number_words,
    word,
)


class Said(NamedTuple):
    """One value in words; ``measure`` is True where a unit is involved, so that editions may differ."""

    text: str
    speech: str
    html: str
    measure: bool


class Unsayable(ValueError):
    """A value that has no words; ``hint`` says what to write instead."""

    def __init__(self, what: str, of: object):
        super().__init__(f"{what} has no words of its own")
        self.hint = next((hint for kind, hint in INSTEAD if isinstance(of, kind)),
                         "quote a number or a measure, such as a .width or a .count")


INSTEAD: tuple[tuple[type | tuple[type, ...], str], ...] = (
    ((Piece, Face), "quote its size(…), its .width or its .height"),
    (Mark, "quote its .marks, or how many they are with .count"),
    (Bay, "quote its .width"),
    (Edge, "quote its .length"),
    (Made, "quote one of its results, as in tube.panels.marks"),
    (Truth, "what must hold stands in a geometry fence, in expect(…)"),
)


def said(value: object, system: str, thickness: bool = False, tongue: Tongue = ENGLISH) -> Said:
    """Word a value for one edition. Raises :class:`Unsayable` (or QuantityError) where it has no words."""
    if isinstance(value, Quantity | Angle):
        words = word(value, system, thickness=thickness)
        return Said(as_text(words, tongue), as_speech(words, tongue), as_html(words, tongue), _is_measure(value))
    if isinstance(value, Size):
        return _size(value, system, tongue)
    if isinstance(value, Bulk):
        sides = value.across, value.deep, value.high
        return Said(*(dress(sides, system, tongue) for dress in (bulk_text, bulk_speech, bulk_html)), True)
    if isinstance(value, Holds):
        return _holds(value, system, tongue)
    if isinstance(value, Group):
        return _group(value, system, tongue)
    if isinstance(value, Wordage | Word | Fold):
        return _plain(_text_of(value, tongue))
    if isinstance(value, str):
        return _plain(value)
    raise Unsayable(kind_of(value), value)


def _is_measure(value: object) -> bool:
    return isinstance(value, Quantity) and value.power > 0


def _plain(text: str) -> Said:
    return Said(text, text, escape(text, quote=False), False)


def _holds(value: Holds, system: str, tongue: Tongue) -> Said:
    tin, box, ball = (said(each, system, tongue=tongue) for each in (value.tin, value.box, value.ball))
    return Said(*(tongue.say("box.goes_in", tin=tin[k], box=box[k], ball=ball[k]) for k in range(3)), True)


def _size(value: Size, system: str, tongue: Tongue) -> Said:
    """With "about" in front of both sides where either is."""
    first, second = (word(q, system) for q in (value.width, value.height))
    about = first.about or second.about
    parts = [replace(first, about=about), replace(second, about=False)]
    by = f" {tongue.say('grammar.by')} "
    return Said(" × ".join(as_text(part, tongue) for part in parts), by.join(as_speech(part, tongue) for part in parts),
                " × ".join(as_html(part, tongue) for part in parts), True)


def _group(value: Group, system: str, tongue: Tongue) -> Said:
    items = value.items
    if items and all(isinstance(item, Quantity | Angle) for item in items):
        if len({getattr(item, "power", -1) for item in items}) > 1:
            raise QuantityError("units-mixed", "this group mixes lengths with numbers", "word its parts one by one")
        return Said(*(each(items, system, tongue=tongue) for each in (list_text, list_speech, list_html)),
                    any(map(_is_measure, items)))
    if items and all(isinstance(item, Wordage | Word | Fold) for item in items):
        texts = [_text_of(item, tongue) for item in items]
        return _plain(texts[0] if len(set(texts)) == 1 else tongue.say("grammar.comma").join(texts))
    raise Unsayable(f"a group of {_kinds(items[0])}" if items else "an empty group", items[0] if items else None)


def _kinds(item: object) -> str:
    """Several of a kind: marks, groups, edges of a net."""
    if isinstance(item, Group):
        return "groups"
    first, _, rest = kind_of(item).partition(" ")[2].partition(" ")
    return f"{first}s {rest}".strip()


def _text_of(item: Wordage | Word | Fold, tongue: Tongue) -> str:
    if isinstance(item, Wordage):
        return item.value if item.number is None else number_words(item.number, tongue)
    name = item.direction.value if isinstance(item, Fold) else item.value
    key = f"language.{name}"
    return tongue.say(key) if tongue.has(key) else name
