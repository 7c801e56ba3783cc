"""The catalogue is complete in every language, and the languages say the same things."""
from __future__ import annotations

import re
from string import Formatter

import pytest

from generator.locale import ENGLISH, LANGUAGES, locale_for
from generator.locale.grammar import plural_categories
from generator.locale.language import PLURAL_CATEGORIES, WORDS

OTHERS = [code for code in LANGUAGES if code != "en"]
# Words that are rightly the same in two languages: signs, units, names, and what both took from a third.
ALIKE = {"grammar.minus", "grammar.comma", "grammar.half", "grammar.unit", "website.feed_title"}
ALIKE_WORDS = re.compile(
    r"^(?:[^A-Za-zÄÖÜäöü]*|.{1,3}|(?:\{\w+\}|[\W\d_])*|minus|name|PDF|SVG|DXF|Symbol|Letter|A4|Designs?|Filter"
    r"|Link)$")


def _texts(entry):
    return [entry] if isinstance(entry, str) else list(entry.values())


def _places(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name}


def test_english_and_german_are_there():
    """The two languages that the site promises."""
    assert {"en", "de"} <= set(LANGUAGES) and len(ENGLISH.entries) > 100


@pytest.mark.parametrize("code", OTHERS)
def test_every_language_has_the_same_keys(code):
    """Nothing is missing, and nothing is left over."""
    english, other = set(ENGLISH.entries), set(locale_for(code).entries)
    assert english == other, f"missing: {sorted(english - other)}; left over: {sorted(other - english)}"


@pytest.mark.parametrize("code", OTHERS)
def test_every_language_has_the_same_files(code):
    """One file for each room, so that a translator finds her way."""
    assert {p.name for p in (WORDS / "en").iterdir()} == {p.name for p in (WORDS / code).iterdir()}


@pytest.mark.parametrize("code", OTHERS)
def test_places_for_values_are_the_same(code):
    """A value that is handed in has its place in every language; of a plural at least in its general form."""
    for key, english in ENGLISH.entries.items():
        other = locale_for(code).entries[key]
        assert isinstance(english, str) == isinstance(other, str), key
        if isinstance(english, str):
            assert _places(english) == _places(other), key
        else:
            assert _places(" ".join(_texts(english))) == _places(" ".join(_texts(other))), key


@pytest.mark.parametrize("code", LANGUAGES)
def test_no_words_are_empty(code):
    """An empty value would be a hole in a sentence."""
    assert not [key for key, entry in locale_for(code).entries.items()
                if not all(text.strip(" ") for text in _texts(entry))]


@pytest.mark.parametrize("code", LANGUAGES)
def test_plurals_have_the_forms_of_their_language(code):
    """Each form that the language's rule can ask for, and no other."""
    needed = plural_categories(locale_for(code).region)
    assert needed <= PLURAL_CATEGORIES
    assert not [key for key, entry in locale_for(code).entries.items() if not isinstance(entry, str)
                and set(entry) != needed]


@pytest.mark.parametrize("code", OTHERS)
def test_nothing_is_left_in_english(code):
    """Words of several letters that are the same in both languages were forgotten."""
    same = [key for key, entry in locale_for(code).entries.items() if entry == ENGLISH.entries[key]
            and not any(key == a or key.startswith(f"{a}.") for a in ALIKE)
            and not all(ALIKE_WORDS.match(text) for text in _texts(entry))]
    assert not same


def test_a_key_that_is_not_there_is_an_error():
    """No page is published with a hole where words should be."""
    with pytest.raises(KeyError):
        ENGLISH.say("website.nothing_of_this_name")
    with pytest.raises(KeyError):
        locale_for("tlh")
