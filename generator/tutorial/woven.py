"""Sentences of the catalogue with measures in their places."""
from __future__ import annotations

from collections.abc import Iterator
from string import Formatter

from generator.tutorial.records import Part, Prose


def woven(words: str, **values: Part | Prose) -> Iterator[Part]:
    """``words`` with a value, text or prose wherever they have a place for it. Raises KeyError where one is missing."""
    for text, name, _, _ in Formatter().parse(words):
        if text:
            yield text
        if name:
            value = values[name]
            yield from value if isinstance(value, tuple) else (value,)
