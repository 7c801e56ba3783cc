"""Computed values in HTML, each with the figure for the eye and the words for the ear."""
from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from html import escape

from markupsafe import Markup

from generator.tutorial import Inlay, Wording

SYSTEMS = ("in", "mm")                      # the order in which they stand on the page
BETWEEN = '<span class="or" aria-hidden="true">\u00a0· </span>'

# While Markdown works on the prose, a value is a number between two characters of the private use
# area: no Markdown sign, no letter, and in no font.
OPEN, CLOSE = "\ue000", "\ue001"
_PRIVATE = {ord(OPEN): None, ord(CLOSE): None}
_TAG_OR_TOKEN = re.compile(rf"<[^>]*>|{OPEN}(\d+){CLOSE}")
_TOKEN = re.compile(rf"{OPEN}(\d+){CLOSE}")
_VOID = re.compile(r"^<(?:br|hr|img|input|wbr)\b.*?(\s*/)>$", re.S)


def voiced(wording: Wording) -> Markup:
    """One wording: the figure, hidden from speech where it would be read badly, and the words in its place."""
    if wording.speech == wording.text and "<" not in wording.html:
        return Markup(wording.html)
    return Markup(f'<span aria-hidden="true">{wording.html}</span>'
                  f'<span class="spoken">{escape(wording.speech, quote=False)}</span>')


def inlay_html(inlay: Inlay) -> Markup:
    """A value as it stands in the prose: once when both editions say the same, else once for each system."""
    if inlay.shared:
        return voiced(next(iter(inlay.wordings.values())))
    return measure_html(inlay.wordings.get(system) for system in SYSTEMS)


def measure_html(wordings: Iterable[Wording | None]) -> Markup:
    """The wordings of one measure, in the order of :data:`SYSTEMS`; None where a system has none."""
    shown = [f'<span class="{system}">{voiced(wording)}</span>'
             for system, wording in zip(SYSTEMS, wordings, strict=True) if wording is not None]
    return Markup(f'<span class="measure">{BETWEEN.join(shown)}</span>')


def inlay_text(inlay: Inlay) -> str:
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


def filled(html: str, inlays: Sequence[Inlay]) -> Markup:
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
