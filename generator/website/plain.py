"""Prose as plain words: for letters, for machines and for the search."""
from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import lru_cache
from html import unescape

import markdown

from generator.tutorial import Inlay, Photo, Prose
from generator.website.inlays import CLOSE, OPEN, inlay_text, without_tokens

_TAG = re.compile(r"<[^>]*>")
TOKEN = re.compile(rf"{OPEN}(\d+){CLOSE}")


def bare(prose: Prose) -> str:
    """The words without their Markdown; a value stays the token with its number among :func:`values`."""
    text, number = [], 0
    for part in prose:
        if isinstance(part, Inlay):
            text.append(f"{OPEN}{number}{CLOSE}")
            number += 1
        elif not isinstance(part, Photo):
            text.append(without_tokens(part))
    return _without_marks("".join(text))


@lru_cache(maxsize=1024)        # letters, machines and the search ask for the same words
def _without_marks(text: str) -> str:
    return unescape(_TAG.sub("", markdown.markdown(text)))


def values(prose: Prose) -> tuple[Inlay, ...]:
    """The values of a stretch of prose, in order."""
    return tuple(part for part in prose if isinstance(part, Inlay))


def filled_in(text: str, inlays: Sequence[Inlay], say: Callable[[Inlay], str]) -> str:
    """White space folded, and every value said."""
    return TOKEN.sub(lambda found: say(inlays[int(found[1])]), " ".join(text.split()))


def in_system(system: str) -> Callable[[Inlay], str]:
    """How a value is said in one system, where it has words there."""
    return lambda inlay: (inlay.wordings.get(system) or next(iter(inlay.wordings.values()))).text


def plain(prose: Prose, say: Callable[[Inlay], str] = inlay_text) -> str:
    """The whole stretch, with both editions unless told otherwise."""
    return filled_in(bare(prose), values(prose), say)
