"""One language: its words by key, and how it counts, lists and writes numbers.

The catalogue is one folder a language below ``words/``, one YAML file for each room that says something.
"""
from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cache, lru_cache
from pathlib import Path
from types import MappingProxyType

import yaml

from generator.dataclass import dataclass, field, replace
from generator.locale.grammar import decimal_sign, listed, number_in_words, plural_category

WORDS = Path(__file__).parent / "words"
# plural categories (Unicode TR 35, part 3)
PLURAL_CATEGORIES = frozenset({"zero", "one", "two", "few", "many", "other"})

DECIMAL_COMMA = re.compile(r"\d,\d")
CatalogueEntry = str | Mapping[str, str]     # words, or the forms of a plural

# Everything is text: YAML would read "no" and "on" as truth values otherwise.
_Loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


def languages() -> tuple[str, ...]:
    """The codes (BCP 47) of all languages that have a folder, English first."""
    return tuple(sorted((path.name for path in WORDS.iterdir() if path.is_dir()),
                        key=lambda code: (code != "en", code)))


def catalogue_of(language: str) -> Mapping[str, CatalogueEntry]:
    """Everything a language says, by "room.key"; deeper keys are joined by dots too."""
    found: dict[str, CatalogueEntry] = {}
    for path in sorted((WORDS / language).glob("*.yaml")):
        tree = yaml.load(path.read_text(encoding="utf-8"), Loader=_Loader) or {}
        found.update(_flattened(path.stem, tree))
    return MappingProxyType(found)


def _flattened(name: str, node: object) -> Iterator[tuple[str, CatalogueEntry]]:
    if isinstance(node, Mapping) and not (node and node.keys() <= PLURAL_CATEGORIES):
        for key, below in node.items():
            yield from _flattened(f"{name}.{key}", below)
    elif isinstance(node, list):
        for place, below in enumerate(node):
            yield from _flattened(f"{name}.{place}", below)
    elif isinstance(node, Mapping):
        yield name, MappingProxyType({str(category): str(form) for category, form in node.items()})
    else:
        yield name, str(node)


LANGUAGES = languages()
FIRST_IN_FIGURES = 100       # from here on numbers are written in figures
LAST_ORDINAL_IN_WORDS = 12


@dataclass(frozen=True, slots=True, eq=False)
class Locale:
    """A language. Two are alike only when they are one; hence it may be part of a key.

    ``code`` is its BCP 47 tag, ``catalogue_of`` the catalogue, ``names`` what a
    tutorial calls the names of its source in this language.
    """

    code: str
    entries: Mapping[str, CatalogueEntry]
    names: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    def say(self, key: str, /, **values: object) -> str:
        """The words of "room.key" with ``values`` in their places.

        Without any values the words come as they stand in the catalogue.
        Raises KeyError for a key, or a place, that is not there.
        """
        words = self.entries[key]
        if not isinstance(words, str):
            raise KeyError(f"{key} has forms: ask with count()")
        return words.format(**values) if values else words

    @property
    def region(self) -> str:
        """The locale of the CLDR whose rules the catalogue follows: "en_GB" for English."""
        return self.say("grammar.region")

    def has(self, key: str) -> bool:
        """True when the catalogue has this key."""
        return key in self.entries

    def count(self, key: str, n: float | Fraction, /, **values: object) -> str:
        """The form that ``n`` asks for; {n} stands for the number in words, {figures} for its figures."""
        forms = self.entries[key]
        if isinstance(forms, str):
            raise KeyError(f"{key} has no forms: ask with say()")
        whole = n == int(n)
        return forms[plural_category(self.region, n)].format(n=self.number(int(n)) if whole else n,
                                                             figures=int(n) if whole else n, **values)

    @lru_cache(maxsize=16)      # noqa: B019 - the few languages live as long as the process
    def section(self, room: str) -> Mapping[str, str]:
        """All plain words of one room by their key without it, for templates."""
        start = f"{room}."
        return {key.removeprefix(start): words for key, words in self.entries.items()
                if key.startswith(start) and isinstance(words, str)}

    def number(self, n: int) -> str:
        """A whole number in words ("eight", "achtundzwanzig"), from a hundred on in figures."""
        if abs(n) < FIRST_IN_FIGURES:
            return number_in_words(n, self.code)
        return f"{self.say('grammar.minus')} {-n}" if n < 0 else str(n)

    def ordinal(self, n: int) -> str:
        """Which in a row, in words up to twelve ("third", "dritte"), then in figures."""
        in_words = 0 < n <= LAST_ORDINAL_IN_WORDS
        return number_in_words(n, self.code, "ordinal") if in_words else self.say("grammar.nth", n=n)

    def figures(self, text: str) -> str:
        """Decimal figures as the language writes them: "36.2" is "36,2" in German."""
        return text.replace(".", decimal_sign(self.region))

    def join(self, items: Sequence[str], last: str | None = None) -> str:
        """"a, b and c"; "none" for nothing. Items with a comma of their own are parted by semicolons.

        ``last`` stands before the last item instead of "and".
        """
        if not items:
            return self.say("grammar.none")
        own_comma = decimal_sign(self.region) == "," and any(map(DECIMAL_COMMA.search, items))
        if len(items) == 1 or not (own_comma or last):
            return listed(items, self.region)
        comma = "; " if own_comma else self.say("grammar.comma")
        return comma.join(items[:-1]) + (last or self.say("grammar.and")) + items[-1]

    def name(self, name: str | None) -> str:
        """A name of the source in words: as the tutorial's translation has it, else with spaces for its bars.

        Of "tube.panels", what a part made, the last name is said: the step says which tube is meant.
        """
        if name and name in self.names:
            return self.names[name]
        last = (name or "").rpartition(".")[2]
        return self.names.get(last, last.replace("_", " ").rstrip())

    def naming(self, names: Mapping[str, str]) -> Locale:
        """The same language, with words for the names of one tutorial."""
        return replace(self, names=MappingProxyType({**self.names, **names})) if names else self


def capital(text: str) -> str:
    """The same words with a capital at their beginning."""
    return text[:1].upper() + text[1:]


@cache
def locale_for(language: str) -> Locale:
    """The language with this code. Raises KeyError where it has no catalogue."""
    if language not in LANGUAGES:
        raise KeyError(language)
    return Locale(language, catalogue_of(language))


ENGLISH = locale_for("en")
