"""What can be searched for: titles, steps and words as they are, and of the prose which words it has.

The words of all prose stand in the index once; a page or a step has their numbers. What makes them alike,
such as endings, umlauts and compounds, is the work of ``theme/js/search.js``.
"""
from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from typing import Any

from generator.dataclass import dataclass
from generator.locale import ENGLISH, Locale
from generator.website.finished import TutorialEntry
from generator.website.glossary import glossary_entries

SEARCH_INDEX = "search.json"
_WORD = re.compile(r"[^\W\d_]{2,}")
SAID = ("step", "count", "none", "close", "hint")   # what the script says, by the end of its keys
DIGIT_BITS = 5
LAST_DIGIT, OTHER_DIGIT = 35, 93        # characters from which the digits of a number are counted


def search_index_name(language: str) -> str:
    """"search.json", in another language "search.de.json"."""
    return SEARCH_INDEX if language == "en" else SEARCH_INDEX.replace(".", f".{language}.")


def words_of(*texts: str) -> str:
    """The words of a text in small letters, each once, in the order of the alphabet."""
    return " ".join(sorted({word.lower() for text in texts for word in _WORD.findall(text)}))


@dataclass(frozen=True, slots=True)
class SearchedPage:
    """A page as the search knows it; ``steps`` are (anchor, title).

    ``words`` are those of the page, then those of each step, as :func:`words_of` gives them; () for none.
    """

    url: str
    title: str
    summary: str
    steps: tuple[tuple[str, str], ...]
    words: tuple[str, ...] = ()


def searched_page(url: str, entry: TutorialEntry) -> SearchedPage:
    """A tutorial at an address below the site."""
    return SearchedPage(url, entry.title, entry.summary, entry.steps, entry.words)


def search_index(pages: Iterable[SearchedPage], glossary: str, locale: Locale = ENGLISH) -> str:
    """``{"pages": [[address, title, summary, [[anchor, title, numbers], …], numbers], …], "words": …, …}``.

    Addresses below the root of the site. A word of the glossary counts as a step of its page, which has no
    title. ``words`` are those that have numbers, ``stop`` those that nobody searches for, ``synonyms`` lists
    of words that mean the same, ``say`` what the search says.
    """
    all_pages = list(pages)
    if glossary:
        entries = glossary_entries(locale)
        meanings = (words_of(locale.say(f"glossary.{anchor}.means")) for anchor, _ in entries)
        all_pages.append(SearchedPage(glossary, "", "", entries, ("", *meanings)))
    stop = frozenset(locale.say("website.search_stop").split())
    known = sorted({word for page in all_pages for words in page.words for word in words.split()} - stop)
    numbers = {word: number for number, word in enumerate(known)}
    rows = [_row(page, numbers) for page in all_pages]
    synonyms = [group.split() for group in locale.say("website.search_synonyms").split(",")]
    said = {"word": locale.say("website.page_glossary"),
            **{key: locale.say(f"website.search_{key}") for key in SAID}}
    return json.dumps({"pages": rows, "words": " ".join(known), "stop": sorted(stop), "synonyms": synonyms,
                       "say": said}, ensure_ascii=False, separators=(",", ":")) + "\n"


def _row(page: SearchedPage, numbers: Mapping[str, int]) -> list[Any]:
    own, *steps = page.words or ("",) * (len(page.steps) + 1)
    return [page.url, page.title, page.summary,
            [[anchor, title, _numerals(words, numbers, title)] for (anchor, title), words
             in zip(page.steps, steps, strict=True)], _numerals(own, numbers, f"{page.title} {page.summary}")]


def _numerals(words: str, numbers: Mapping[str, int], said: str) -> str:
    """The numbers of words that are not ``said`` besides, each by how far it is from the one before.

    A number is written from its lowest digit of five bits on, the last one in other signs than those before.
    """
    made, last = [], -1
    own = set(words_of(said).split())
    for number in sorted(numbers[word] for word in words.split() if word in numbers and word not in own):
        step, last = number - last, number
        while step >= 1 << DIGIT_BITS:
            made.append(chr(OTHER_DIGIT + step % (1 << DIGIT_BITS)))
            step >>= DIGIT_BITS
        made.append(chr(LAST_DIGIT + step))
    return "".join(made)
