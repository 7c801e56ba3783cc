"""Computed values in HTML, each with the figure for the eye and the words for the ear.

Prose as plain words: for letters, for machines and for the search.
"""
from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from html import escape, unescape

import markdown
from markupsafe import Markup

from generator.tutorial import ComputedValue, MeasureWording, Photo, Prose

SYSTEMS = ("in", "mm")                      # the order in which they stand on the page
BETWEEN = '<span class="or" aria-hidden="true">\u00a0· </span>'

# While Markdown works on the prose, a value is a number between two characters of the private use
# area: no Markdown sign, no letter, and in no font.
OPEN, CLOSE = "\ue000", "\ue001"
_PRIVATE = {ord(OPEN): None, ord(CLOSE): None}
_TAG_OR_TOKEN = re.compile(rf"<[^>]*>|{OPEN}(\d+){CLOSE}")
_TOKEN = re.compile(rf"{OPEN}(\d+){CLOSE}")
_VOID = re.compile(r"^<(?:br|hr|img|input|wbr)\b.*?(\s*/)>$", re.S)


def voiced(wording: MeasureWording) -> Markup:
    """One wording: the figure, hidden from speech where it would be read badly, and the words in its place."""
    if wording.speech == wording.text and "<" not in wording.html:
        return Markup(wording.html)
    return Markup(f'<span aria-hidden="true">{wording.html}</span>'
                  f'<span class="spoken">{escape(wording.speech, quote=False)}</span>')


def inlay_html(inlay: ComputedValue) -> Markup:
    """A value as it stands in the prose: once when both editions say the same, else once for each system."""
    if inlay.shared:
        return voiced(next(iter(inlay.wordings.values())))
    return measure_html(inlay.wordings.get(system) for system in SYSTEMS)


def measure_html(wordings: Iterable[MeasureWording | None]) -> Markup:
    """The wordings of one measure, in the order of :data:`SYSTEMS`; None where a system has none."""
    shown = [f'<span class="{system}">{voiced(wording)}</span>'
             for system, wording in zip(SYSTEMS, wordings, strict=True) if wording is not None]
    return Markup(f'<span class="measure">{BETWEEN.join(shown)}</span>')


def inlay_text(inlay: ComputedValue) -> str:
    """A value as plain text: "1 3/4 in · 45 mm"."""
    if inlay.shared:
        return next(iter(inlay.wordings.values())).text
    return " · ".join(inlay.wordings[system].text for system in SYSTEMS if system in inlay.wordings)


def without_tokens(text: str) -> str:
    """Prose of an author, freed of the two characters that would be mistaken for a token."""
    return text.translate(_PRIVATE)


def token(number: int) -> str:
    """What stands for value ``number`` while Markdown works."""
    return f"{OPEN}{number}{CLOSE}"


def filled(html: str, inlays: Sequence[ComputedValue]) -> Markup:
    """HTML from Markdown with its tokens turned into values; in an attribute a value is plain text."""
    def replace(found: re.Match[str]) -> str:
        if found[1]:
            return inlay_html(inlays[int(found[1])])
        return _tag(found[0], lambda number: escape(inlay_text(inlays[number])))
    return Markup(_TAG_OR_TOKEN.sub(replace, html))


def _tag(tag: str, text_of: Callable[[int], str]) -> str:
    """A tag with plain values in its attributes and without the slash that XHTML wanted."""
    tag = _TOKEN.sub(lambda found: text_of(int(found[1])), tag)
    void = _VOID.match(tag)
    return tag[:void.start(1)] + ">" if void else tag


_TAG = re.compile(r"<[^>]*>")
TOKEN = re.compile(rf"{OPEN}(\d+){CLOSE}")


def bare(prose: Prose) -> str:
    """The words without their Markdown; a value stays the token with its number among :func:`values`."""
    text, number = [], 0
    for part in prose:
        if isinstance(part, ComputedValue):
            text.append(f"{OPEN}{number}{CLOSE}")
            number += 1
        elif not isinstance(part, Photo):
            text.append(without_tokens(part))
    return _without_marks("".join(text))


@lru_cache(maxsize=1024)        # letters, machines and the search ask for the same words
def _without_marks(text: str) -> str:
    return unescape(_TAG.sub("", markdown.markdown(text)))


def values(prose: Prose) -> tuple[ComputedValue, ...]:
    """The values of a stretch of prose, in order."""
    return tuple(part for part in prose if isinstance(part, ComputedValue))


def filled_in(text: str, inlays: Sequence[ComputedValue], say: Callable[[ComputedValue], str]) -> str:
    """White space folded, and every value said."""
    return TOKEN.sub(lambda found: say(inlays[int(found[1])]), " ".join(text.split()))


def in_system(system: str) -> Callable[[ComputedValue], str]:
    """How a value is said in one system, where it has words there."""
    return lambda inlay: (inlay.wordings.get(system) or next(iter(inlay.wordings.values()))).text


def plain(prose: Prose, say: Callable[[ComputedValue], str] = inlay_text) -> str:
    """The whole stretch, with both editions unless told otherwise."""
    return filled_in(bare(prose), values(prose), say)
