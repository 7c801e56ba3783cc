"""Which words of a tutorial a translation was made from, and what of it is stale since they have changed.

Measures are not among them: each language computes its own. So an expression counts by its text.
"""
from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence

from generator.findings import Finding, Span, finding
from generator.language.front_matter import FrontMatter
from generator.language.source.records import Document, InlineExpression, Prose

DIGITS = 6        # hexadecimal, of each digest: a step is compared with itself alone
HEAD = 0          # the place of title, summary, supplies and introduction; steps stand at their numbers


def words_digests(document: Document, front: FrontMatter) -> tuple[str, ...]:
    """Of the head, then of each step."""
    head = (front.title, front.summary, *map(_text, front.supplies), _text(document.intro))
    return (_digest(head), *(_digest(map(_text, step.words)) for step in document.steps))


def _text(prose: Prose) -> str:
    return "".join(f"{{{{{part.text}}}}}" if isinstance(part, InlineExpression) else part.text
                   for part in prose.parts)


def _digest(texts: Iterable[str]) -> str:
    said = "\n".join(" ".join(text.split()) for text in texts)
    return hashlib.sha256(said.encode("utf-8", "surrogatepass")).hexdigest()[:DIGITS]


def stale_places(follows: Sequence[str], digests: Sequence[str]) -> frozenset[int]:
    """The head and the steps that have changed; none where nobody wrote down what was followed.

    Of a tutorial that had another number of steps the head and all steps whose words are new.
    """
    if not follows:
        return frozenset()
    if len(follows) == len(digests):
        return frozenset(k for k, (old, new) in enumerate(zip(follows, digests, strict=True)) if old != new)
    return frozenset(k for k, new in enumerate(digests) if new not in follows)


def stale_findings(places: Iterable[int], source: Document, translation: Document,
                   slug: str) -> Iterator[Finding]:
    """A warning for each of these places, at the words that were made from older ones."""
    for place in sorted(places):
        if place == HEAD:
            span, what = Span(translation.file, 1, 1, 3), "title, summary, supplies or introduction"
        else:
            own = translation.steps[min(place, len(translation.steps)) - 1]
            span = Span(translation.file, own.line, 1, len(own.title) + 3)
            what = f"step {place} “{source.steps[place - 1].title}”"
        yield finding("translation-stale", span,
                      f"{what} of the tutorial has changed since this was translated",
                      f"look through it, then say that it is done: foldgauge translated {slug}")
