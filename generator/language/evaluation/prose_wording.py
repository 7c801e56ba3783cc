"""Functions for prose: numbers in words, plurals, sizes, differences, and why.

How a value of the language words itself: plain text, speech and HTML.
"""
from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from html import escape
from typing import Annotated, NamedTuple

from generator.geometry import bounds_of
from generator.language.evaluation.deferred_properties import DERIVATION_WORDS, deferred_value
from generator.locale import ENGLISH, Locale
from generator.paper.parameter_kinds import (
    AnyQuantity,
    Length,
    Number,
    ParameterKind,
    PieceArg,
    TextArg,
    kind_of,
)
from generator.paper.plan_builder import CallContext
from generator.paper.records import Face, Fold, Mark
from generator.paper.values import (
    Bay,
    ComparisonResult,
    Edge,
    Group,
    LargestContents,
    PartResults,
    Piece,
    ProseWords,
    Size,
    SolidSize,
    VocabularyWord,
)
from generator.units import (
    Angle,
    Quantity,
    QuantityError,
    as_html,
    as_speech,
    as_text,
    dimensions_html,
    dimensions_speech,
    dimensions_text,
    display_measure,
    list_html,
    list_speech,
    list_text,
    number_words,
)
from generator.units import plural as plural_word

PieceOrFace = Annotated[Piece | Face, ParameterKind("a piece or a face", (Piece, Face))]


def words(_context: CallContext, n: Number) -> ProseWords:
    """A number in words: eight."""
    return ProseWords(number_words(_plain_number(n)), int(n.value))


def plural(_context: CallContext, n: Number, one: TextArg, many: TextArg) -> ProseWords:
    """One of two words, as the number asks.

    As in plural(n, "flap", "flaps").
    """
    return ProseWords(plural_word(_plain_number(n), one, many))


def size(context: CallContext, of: PieceOrFace) -> Size:
    """Width and height of a piece or a face."""
    return Size(*piece_extents(context, of))


def piece_extents(context: CallContext, of: Piece | Face) -> tuple[Quantity, Quantity]:
    """Width and height as the piece lies now; a face by its bounding rectangle."""
    state = context.state(of.piece if isinstance(of, Face) else of)
    if isinstance(of, Face) and of.size is not None:
        width, height = of.size
    elif isinstance(of, Face):
        x0, y0, x1, y1 = bounds_of(of.outline)
        width, height = (Quantity(d, 1, state.width.names) for d in (x1 - x0, y1 - y0))
    else:
        width, height = state.width, state.height
    return (height, width) if state.orientation.quarters % 2 else (width, height)


def more_than(context: CallContext, a: Length, b: Length) -> Quantity:
    """By how much the first length is longer than the second; a difference the other way round is refused."""
    if a.below(b):
        context.refuse("length-negative",
                       f"{context.format_length(a)} is not more than {context.format_length(b)}",
                   "change their places, or the lengths of the edition")
    return a - b


def fits(context: CallContext, piece: PieceArg, *, width: Length | None = None, depth: Length | None = None,
         height: Length | None = None,
         diameter: Length | None = None) -> SolidSize:
    """The size of a thing that goes into the folded piece; refused where it does not go in.

    A box has width, depth and height, a tin diameter and height, a ball its
    diameter. Without any of them it is the thing that the front matter names under holds:.
    """
    found = deferred_value(context, "fits", piece, width=width, depth=depth, height=height, diameter=diameter)
    assert isinstance(found, SolidSize)
    return found


def per_sheet(context: CallContext, piece: PieceArg, sheet: TextArg) -> Quantity:
    """How many blanks of a piece come out of one sheet.

    As in per_sheet(strip, "a4").
    """
    found = deferred_value(context, "per_sheet", piece, sheet=sheet)
    assert isinstance(found, Quantity)
    return found


def why(context: CallContext, value: AnyQuantity) -> ProseWords:
    """How a measure is made up of named lengths: 8 × panel + tab."""
    return ProseWords(derivation_text(context, value))


def derivation_text(context: CallContext, value: Quantity) -> str:
    """The affine form of a length in words, else the names it depends on."""
    if value.form:
        return " + ".join(_term(name, factor, context) for name,
                          factor in sorted(value.form.items())).replace("+ −", "− ")
    if value.names:
        how, names = [DERIVATION_WORDS[n] for n in sorted(value.names)
                      if n in DERIVATION_WORDS], sorted(value.names - DERIVATION_WORDS.keys())
        return ", ".join([*how, *([f"from {', '.join(names)}"] if names else [])])
    return "a plain number"


def _term(name: str, factor: Fraction, _context: CallContext) -> str:
    sign = "−" if factor < 0 else ""
    size_ = abs(factor)
    return f"{sign}{name}" if size_ == 1 else f"{sign}{size_} × {name}"


def _plain_number(n: Quantity) -> int | Fraction | float:
    value = n.value
    return int(value) if isinstance(value, Fraction) and value.denominator == 1 else value


PROSE_FUNCTIONS = (words, plural, size, more_than, fits, per_sheet, why)


class WordedValue(NamedTuple):
    """One value in words; ``measure`` is True where a unit is involved, so that editions may differ."""

    text: str
    speech: str
    html: str
    measure: bool


class UnwordableValue(ValueError):
    """A value that has no words; ``hint`` says what to write instead."""

    def __init__(self, what: str, of: object):
        super().__init__(f"{what} has no words of its own")
        self.hint = next((hint for kind, hint in WORDING_HINTS if isinstance(of, kind)),
                         "quote a number or a measure, such as a .width or a .count")


WORDING_HINTS: tuple[tuple[type | tuple[type, ...], str], ...] = (
    ((Piece, Face), "quote its size(…), its .width or its .height"),
    (Mark, "quote its .marks, or how many they are with .count"),
    (Bay, "quote its .width"),
    (Edge, "quote its .length"),
    (PartResults, "quote one of its results, as in tube.panels.marks"),
    (ComparisonResult, "what must hold stands in a geometry fence, in expect(…)"),
)


def word_value(value: object, system: str, thickness: bool = False, locale: Locale = ENGLISH) -> WordedValue:
    """Word a value for one edition.

    Raises :class:`UnwordableValue` (or QuantityError) where it has no words.
    """
    if isinstance(value, Quantity | Angle):
        words = display_measure(value, system, thickness=thickness)
        return WordedValue(as_text(words, locale), as_speech(words, locale), as_html(words, locale),
                           _is_measure(value))
    if isinstance(value, Size):
        return _size_words(value, system, locale)
    if isinstance(value, SolidSize):
        sides = value.across, value.deep, value.high
        return WordedValue(dimensions_text(sides, system, locale), dimensions_speech(sides, system, locale),
                           dimensions_html(sides, system, locale), True)
    if isinstance(value, LargestContents):
        return _contents_words(value, system, locale)
    if isinstance(value, Group):
        return _group_words(value, system, locale)
    if isinstance(value, ProseWords | VocabularyWord | Fold):
        return _plain_words(_item_text(value, locale))
    if isinstance(value, str):
        return _plain_words(value)
    raise UnwordableValue(kind_of(value), value)


def _is_measure(value: object) -> bool:
    return isinstance(value, Quantity) and value.power > 0


def _plain_words(text: str) -> WordedValue:
    return WordedValue(text, text, escape(text, quote=False), False)


def _contents_words(value: LargestContents, system: str, locale: Locale) -> WordedValue:
    tin, box, ball = (word_value(each, system, locale=locale) for each in (value.tin, value.box, value.ball))
    return WordedValue(locale.say("box.goes_in", tin=tin.text, box=box.text, ball=ball.text),
                       locale.say("box.goes_in", tin=tin.speech, box=box.speech, ball=ball.speech),
                       locale.say("box.goes_in", tin=tin.html, box=box.html, ball=ball.html), True)


def _size_words(value: Size, system: str, locale: Locale) -> WordedValue:
    """With "about" in front of both sides where either is."""
    first, second = (display_measure(q, system) for q in (value.width, value.height))
    about = first.about or second.about
    parts = [replace(first, about=about), replace(second, about=False)]
    by = f" {locale.say('grammar.by')} "
    return WordedValue(" × ".join(as_text(part, locale) for part in parts),
                       by.join(as_speech(part, locale) for part in parts),
                " × ".join(as_html(part, locale) for part in parts), True)


def _group_words(value: Group[object], system: str, locale: Locale) -> WordedValue:
    items = value.items
    measures = [item for item in items if isinstance(item, Quantity | Angle)]
    if items and len(measures) == len(items):
        if len({getattr(item, "power", -1) for item in items}) > 1:
            raise QuantityError("units-mixed", "this group mixes lengths with numbers",
                                "word its parts one by one")
        return WordedValue(list_text(measures, system, locale=locale),
                           list_speech(measures, system, locale=locale),
                           list_html(measures, system, locale=locale), any(map(_is_measure, items)))
    plain = [item for item in items if isinstance(item, ProseWords | VocabularyWord | Fold)]
    if items and len(plain) == len(items):
        texts = [_item_text(item, locale) for item in plain]
        return _plain_words(texts[0] if len(set(texts)) == 1 else locale.say("grammar.comma").join(texts))
    raise UnwordableValue(f"a group of {_plural_kind(items[0])}" if items else "an empty group",
                          items[0] if items else None)


def _plural_kind(item: object) -> str:
    """Several of a kind: marks, groups, edges of a net."""
    if isinstance(item, Group):
        return "groups"
    first, _, rest = kind_of(item).partition(" ")[2].partition(" ")
    return f"{first}s {rest}".strip()


def _item_text(item: ProseWords | VocabularyWord | Fold, locale: Locale) -> str:
    if isinstance(item, ProseWords):
        return item.value if item.number is None else number_words(item.number, locale)
    name = item.direction.value if isinstance(item, Fold) else item.value
    key = f"language.{name}"
    return locale.say(key) if locale.has(key) else name
