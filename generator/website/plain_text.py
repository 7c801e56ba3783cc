"""The measures of a tutorial as plain text, to copy into a letter: one list for each system, each whole."""
from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator

from generator.locale import capital
from generator.tutorial import Prose, Tutorial
from generator.tutorial.prose_evaluation import sentences
from generator.website.prose import (
    TOKEN_PATTERN,
    fill_text,
    plain_prose,
    text_in_system,
    text_with_tokens,
    values_in,
)

LINE_WIDTH = 72                  # signs in a line, as letters have them
BYTE_ORDER_MARK = "\ufeff"             # says that it is UTF-8 where a server does not

NO_BREAK_SPACE = "\u00a0"         # within a measure, while lines are broken

_SPACE_IN_MEASURE = re.compile(r"(?<=\d) (?=\d|mm\b|cm\b|in\b|Zoll\b|×)|(?<=×) ")


def measures_text(tutorial: Tutorial) -> str:
    """The whole text; each system's list can be copied without the other."""
    front, words = tutorial.front, tutorial.locale
    lines = [front.title, "=" * len(front.title)]
    for system in ("in", "mm"):
        name = capital(words.say(f"website.units_{system}"))
        lines += ["", name, "-" * len(name),
                  f"{words.say('website.revision')} {tutorial.revisions[system]}",
                  *_fact_lines(tutorial, system)]
        for step in tutorial.steps:
            sentences = tuple(sentences_with_measures(step.prose, system))
            if sentences:
                title = prose_text(step.heading or (step.title,), system)
                lines += ["", f"{step.number}. {title}", *_wrapped_lines(sentences, "   ")]
        lines += ["", *_wrapped_lines([prose_text(tutorial.differ, system)])]
    return BYTE_ORDER_MARK + "\n".join(lines).replace(NO_BREAK_SPACE, " ") + "\n"


def _fact_lines(tutorial: Tutorial, system: str) -> Iterator[str]:
    for fact in tutorial.facts:
        yield from _wrapped_lines([f"{fact.label}: {prose_text(fact.value, system)}"])
    if tutorial.supplies:
        yield from ("", f"{tutorial.locale.say('website.supplies')}:")
    for supply in tutorial.supplies:
        yield from _wrapped_lines([prose_text(supply, system)], "", "- ")


def _wrapped_lines(texts: Iterable[str], indent: str = "", first: str | None = None) -> Iterator[str]:
    for text in texts:
        yield from textwrap.wrap(text, LINE_WIDTH, initial_indent=indent if first is None else first,
                                 subsequent_indent=indent if first is None else " " * len(first),
                                 break_long_words=False, break_on_hyphens=False)


def sentences_with_measures(prose: Prose, system: str) -> Iterator[str]:
    """The sentences of a stretch of prose that say a measure, in plain words."""
    inlays = values_in(prose)
    for sentence in sentences(text_with_tokens(prose)):
        if any(not inlays[int(n)].shared for n in TOKEN_PATTERN.findall(sentence)):
            yield _SPACE_IN_MEASURE.sub(NO_BREAK_SPACE, fill_text(sentence, inlays, text_in_system(system)))


def prose_text(prose: Prose, system: str) -> str:
    """Prose in one system as plain text, with no break within a measure."""
    return _SPACE_IN_MEASURE.sub(NO_BREAK_SPACE, plain_prose(prose, text_in_system(system)))
