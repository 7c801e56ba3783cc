"""How languages count and list.

Plural forms: Unicode CLDR, Language Plural Rules (cardinal), *from memory*;
number words: French as France says them, German as Duden has them, English,
all *from memory*.
"""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.locale import ENGLISH, locale_for
from generator.locale.grammar import (
    decimal_sign,
    listed,
    number_in_words,
    plural_categories,
    plural_category,
)


@pytest.mark.parametrize(("language", "n", "words"), [
    ("fr", 71, "soixante et onze"), ("fr", 91, "quatre-vingt-onze"), ("fr", 80, "quatre-vingts"),
    ("fr", 21, "vingt et un"), ("fr", 99, "quatre-vingt-dix-neuf"),
    ("de", 1, "eins"), ("de", 16, "sechzehn"), ("de", 21, "einundzwanzig"), ("de", 30, "dreißig"),
    ("de", 77, "siebenundsiebzig"), ("en", 0, "zero"), ("en", 14, "fourteen"), ("en", 40, "forty"),
    ("en", 99, "ninety-nine"), ("en", -3, "minus three")])
def test_numbers_in_words(language, n, words):
    """Whatever a language does to its tens."""
    assert number_in_words(n, language) == words


def test_from_a_hundred_on_numbers_are_in_figures():
    """And negative ones have their sign in words."""
    assert [ENGLISH.number(n) for n in (99, 100, -100)] == ["ninety-nine", "100", "minus 100"]


@pytest.mark.parametrize(("language", "words"), [
    ("en", ["first", "second", "third", "fifth", "eighth", "ninth", "twelfth", "no. 13", "no. 0"]),
    ("de", ["erste", "zweite", "dritte", "fünfte", "achte", "neunte", "zwölfte", "Nr. 13", "Nr. 0"])])
def test_ordinals(language, words):
    """In words up to twelve."""
    assert [locale_for(language).ordinal(n) for n in (1, 2, 3, 5, 8, 9, 12, 13, 0)] == words


@pytest.mark.parametrize(("language", "n", "category"), [
    ("en", 1, "one"), ("en", 1.0, "one"), ("en", 0, "other"), ("en", 1.5, "other"),
    ("en", Fraction(1, 2), "other"),
    ("de", 1, "one"), ("de", 2, "other"), ("fr", 0, "one"), ("fr", 1.5, "one"), ("fr", 2, "other"),
    ("pl", 2, "few"), ("pl", 5, "many"), ("pl", 22, "few"), ("ru", 21, "one"), ("ar", 0, "zero"),
    ("ja", 1, "other")])
def test_plural_forms(language, n, category):
    """Each language by its own rule."""
    assert plural_category(language, n) == category
    assert category in plural_categories(language)


def test_lists_and_decimal_signs():
    """British English has no comma before “and”; German writes decimals with a comma."""
    assert listed(["a", "b", "c"], "en_GB") == "a, b and c"
    assert listed(["a", "b", "c"], "de") == "a, b und c"
    assert (decimal_sign("en_GB"), decimal_sign("de")) == (".", ",")
    assert ENGLISH.join([]) == "none" and ENGLISH.join(["{a}"]) == "{a}"
    assert locale_for("de").join(["30", "36,2", "90 mm"]) == "30; 36,2 und 90 mm"
    assert ENGLISH.join(["a", "b", "c"], " or ") == "a, b or c"


@pytest.mark.parametrize("ask", [lambda: plural_category("xx", 2),
                                 lambda: plural_categories("not a language"),
                                 lambda: listed(["a", "b"], "tlh"), lambda: number_in_words(3, "xx")])
def test_an_unknown_language_is_an_error(ask):
    """It is not taken for English."""
    with pytest.raises(KeyError):
        ask()
