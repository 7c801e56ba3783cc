"""The index of the search: titles, steps and words, as small static JSON."""
from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from generator.locale import ENGLISH, Locale
from generator.tutorial import Tutorial
from generator.website.glossary import words

INDEX = "search.json"


def index_name(language: str) -> str:
    """"search.json", in another language "search.de.json"."""
    return INDEX if language == "en" else INDEX.replace(".", f".{language}.")


def index(tutorials: Mapping[str, Tutorial], glossary: str, locale: Locale = ENGLISH) -> str:
    """``{"pages": [[address, title, summary, [[anchor, title], …]], …]}``; addresses below the root of the site.

    A word of the glossary counts as a step of the glossary's page.
    """
    pages = [[url, t.front.title, t.front.summary, [[s.anchor, s.title] for s in t.steps]] for url, t in tutorials.items()]
    if glossary:
        pages.append([glossary, "", "", _words(locale)])
    return json.dumps({"pages": pages}, ensure_ascii=False, separators=(",", ":")) + "\n"


def _words(locale: Locale) -> Iterable[list[str]]:
    return [[word.anchor, word.name] for word in words(locale)]
