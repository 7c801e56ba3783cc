"""The measures of a tutorial as plain text, to copy into a letter: one list for each system, each whole."""
from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator

from generator.locale import capital
from generator.tutorial import Prose, Tutorial
from generator.website.prose_values import TOKEN, bare, filled_in, in_system, plain, values

LETTER = "measures.txt"     # beside the page
WIDTH = 72                  # signs in a line, as letters have them
MARK = "\ufeff"             # says that it is UTF-8 where a server does not

UNBROKEN = "\u00a0"         # within a measure, while lines are broken

_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[^\s\da-z])|\n\s*\n")
_WITHIN = re.compile(r"(?<=\d) (?=\d|mm\b|cm\b|in\b|Zoll\b|×)|(?<=×) ")


def letter(tutorial: Tutorial) -> str:
    """The whole text; each system's list can be copied without the other."""
    front, words = tutorial.front, tutorial.locale
    lines = [front.title, "=" * len(front.title), f"{words.say('website.revision')} {tutorial.revision}"]
    for system in ("in", "mm"):
        name = capital(words.say(f"website.units_{system}"))
        lines += ["", name, "-" * len(name), *_facts(tutorial, system)]
        for step in tutorial.steps:
            said = tuple(measured(step.prose, system))
            if said:
                title = _prose(step.heading or (step.title,), system)
                lines += ["", f"{step.number}. {title}", *_wrapped(said, "   ")]
        lines += ["", *_wrapped([_prose(tutorial.differ, system)])]
    return MARK + "\n".join(lines).replace(UNBROKEN, " ") + "\n"


def _facts(tutorial: Tutorial, system: str) -> Iterator[str]:
    for fact in tutorial.facts:
        yield from _wrapped([f"{fact.label}: {_prose(fact.value, system)}"])
    for supply in tutorial.supplies:
        yield from _wrapped([_prose(supply, system)], "", "- ")


def _wrapped(texts: Iterable[str], indent: str = "", first: str | None = None) -> Iterator[str]:
    for text in texts:
        yield from textwrap.wrap(text, WIDTH, initial_indent=indent if first is None else first,
                                 subsequent_indent=indent if first is None else " " * len(first),
                                 break_long_words=False, break_on_hyphens=False)


def measured(prose: Prose, system: str) -> Iterator[str]:
    """The sentences of a stretch of prose that say a measure, in plain words."""
    inlays = values(prose)
    for sentence in _SENTENCE.split(bare(prose)):
        if any(not inlays[int(n)].shared for n in TOKEN.findall(sentence)):
            yield _WITHIN.sub(UNBROKEN, filled_in(sentence, inlays, in_system(system)))


def _prose(prose: Prose, system: str) -> str:
    return _WITHIN.sub(UNBROKEN, plain(prose, in_system(system)))
