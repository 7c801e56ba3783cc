"""Whole numbers in words, and the singular."""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.units import QuantityError, number_words, plural

SAID = {0: "zero", 1: "one", 8: "eight", 12: "twelve", 13: "thirteen", 15: "fifteen", 18: "eighteen",
        19: "nineteen",
        20: "twenty", 21: "twenty-one", 40: "forty", 44: "forty-four", 50: "fifty", 63: "sixty-three",
        80: "eighty",
        99: "ninety-nine", 100: "100", 1200: "1200", -3: "minus three", -100: "minus 100"}


@pytest.mark.parametrize(("n", "said"), SAID.items())
def test_a_whole_number_in_words(n, said):
    """Words below a hundred, figures from there on; as an int, an exact fraction or a float."""
    assert number_words(n) == number_words(Fraction(n)) == number_words(float(n)) == said


def test_every_number_below_a_hundred_has_words_of_its_own():
    """A hundred different names without a figure in them."""
    names = {number_words(n) for n in range(100)}
    assert len(names) == 100
    assert all(name.replace("-", "").isalpha() for name in names)


@pytest.mark.parametrize("n", [Fraction(3, 2), 0.5, -1.25])
def test_only_whole_numbers_have_words(n):
    """One and a half flaps are a mistake of the design."""
    with pytest.raises(QuantityError, match="is not a whole number") as caught:
        number_words(n)
    assert caught.value.code == "number-wrong"


@pytest.mark.parametrize(("n", "said"),
                         [(1, "flap"), (Fraction(1), "flap"), (1.0, "flap"), (0, "flaps"), (2, "flaps"),
                                         (-1, "flaps"), (Fraction(1, 2), "flaps")])
def test_only_exactly_one_is_singular(n, said):
    """Nothing, halves and negatives are plural in English."""
    assert plural(n, "flap", "flaps") == said
