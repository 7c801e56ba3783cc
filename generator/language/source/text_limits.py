"""What no text of a source may hold: hidden characters, addresses that are none, more than Markdown can bear.

Markdown's time grows with the square of a paragraph's signs, and its depth with the lists and quotes in each
other. So work is counted before anything is converted.
"""
from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from html import unescape
from urllib.parse import urlsplit

from generator.findings import Finding, Span, finding
from generator.language.source.records import TextPositions

MAX_LISTED = 3                  # findings of one kind; whoever pastes a page of them needs no more
MAX_NESTING = 30                # lists and quotes in each other; a tutorial has two
# signs of Markdown × signs of their paragraph: a second; a tutorial has a million
MAX_PROSE_WORK = 40_000_000
_HIDDEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]")
_REFERENCE = re.compile("&#(?:[0-9]{1,8}|[xX][0-9a-fA-F]{1,7});")
_TARGET = re.compile(r"""(?:\]\(\s{0,9}<?|<|\]:\s{0,9}<?|(?:href|src)\s{0,9}=\s{0,9}["']?)"""
                     r"""([a-zA-Z][a-zA-Z0-9+.-]{0,20}:)?(//[^\s<>"']{0,2000})""")
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
    """What of a stretch of prose cannot be converted: addresses that do not read, lists too deep."""
    for found, _ in zip(_broken_targets(text), range(MAX_LISTED), strict=False):
        yield finding("link-wrong", where.span(*found.span(2)), "this address cannot be read",
                      "write it as the address bar of a browser shows it")
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


def _broken_targets(text: str) -> Iterator[re.Match[str]]:
    for found in _TARGET.finditer(text):
        try:
            urlsplit((found[1] or "") + found[2].rstrip(")"))
        except ValueError:
            yield found


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
