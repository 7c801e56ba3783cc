"""Which form of a plural a number asks for, in each language (the rules of the Unicode CLDR, "cardinal")."""
from __future__ import annotations

from collections.abc import Callable, Mapping


def one_or_other(n: float) -> str:
    """English and German: "one" for exactly one, "other" for all else, nothing and halves too."""
    return "one" if n == 1 else "other"


# A language without a line here counts as English does. One with more forms ("few", "many") gets a function of its own.
RULES: Mapping[str, Callable[[float], str]] = {"en": one_or_other, "de": one_or_other}

# The forms that every plural of a language must have in its catalogue.
NEEDED: Mapping[str, tuple[str, ...]] = {"en": ("one", "other"), "de": ("one", "other")}


def form(language: str, n: float) -> str:
    """The category of ``n``."""
    return RULES.get(language, one_or_other)(n)
