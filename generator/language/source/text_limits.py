"""What no text of a source may hold: hidden characters, and more than Markdown can bear.

Markdown's time grows with the square of a paragraph's signs, and its depth with the lists and quotes in each
other. So work is counted before anything is converted.
"""
from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from html import unescape

from generator.findings import Finding, Span, finding
from generator.language.source.records import TextPositions

MAX_LISTED = 3                  # findings of one kind; whoever pastes a page of them needs no more
MAX_NESTING = 30                # lists and quotes in each other; a tutorial has two
# signs of Markdown × signs of their paragraph: a second; a tutorial has a million
MAX_PROSE_WORK = 40_000_000
_HIDDEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]")
_REFERENCE = re.compile("&#(?:[0-9]{1,8}|[xX][0-9a-fA-F]{1,7});")
_NESTED = re.compile(r"(?:[ \t]|>|[-+*][ \t]|[0-9]{1,9}[.)][ \t])*")
_MARKER = re.compile(r">|[-+*]|[0-9]+[.)]")
_WORKED = re.compile(r"[\[\]()!<&*_`~=#\\\n|:]")
_OPEN_TAG = re.compile(r"<[a-zA-Z!/?][^<>]*(?=<|\Z)")


def hidden_characters(text: str, where: TextPositions) -> Iterator[Finding]:
    """A finding for each of the first characters that nobody sees: control, half a pair, turned writing."""
    for found, _ in zip(_HIDDEN.finditer(text), range(MAX_LISTED), strict=False):
        yield hidden_character_finding(found[0], where.span(*found.span()))


def hidden_character(text: str) -> str:
    """The first character of a decoded text that nobody sees; "" where there is none."""
    found = _HIDDEN.search(text)
    return found[0] if found else ""


def hidden_character_finding(character: str, span: Span) -> Finding:
    """What to say of one, at its place."""
    return finding("character-hidden", span, f"U+{ord(character):04X} stands here, which nobody sees",
                   "delete it and type the words again")


def prose_faults(text: str, where: TextPositions) -> Iterator[Finding]:
    """What of a stretch of prose cannot be converted: hidden characters by their numbers, lists too deep."""
    for reference in _REFERENCE.finditer(text):
        if hidden := hidden_character(unescape(reference[0])):
            yield hidden_character_finding(hidden, where.span(*reference.span()))
    at = 0
    for row in text.split("\n"):
        prefix = _NESTED.match(row)
        if prefix and len(prefix[0]) > MAX_NESTING and _depth(prefix[0]) > MAX_NESTING:
            yield finding("too-deep", where.span(at, at + len(prefix[0])),
                          "lists or quotes are nested more deeply here than a page can show",
                          "begin the line further left, or make steps of it")
            return
        at += len(row) + 1


def _depth(prefix: str) -> int:
    return len(_MARKER.findall(prefix)) + len(prefix.expandtabs(4)) // 4


def prose_work(texts: Iterable[str]) -> int:
    """How much work stretches of Markdown are, in signs of Markdown × signs of their paragraph.

    What is never closed is looked for to the end of all.
    """
    work = whole = open_tags = 0
    for text in texts:
        whole += len(text)
        open_tags += len(_OPEN_TAG.findall(text))
        for paragraph in re.split(r"\n[ \t]*\n", text):
            work += len(paragraph) * len(_WORKED.findall(paragraph))
    return work + whole * open_tags
