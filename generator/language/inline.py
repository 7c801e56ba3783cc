"""Find expressions, code and photos in a stretch of prose.

Nothing reaches over a blank line: braces or a code span that are not closed
in their paragraph are not closed at all.
"""
from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from generator.findings import Finding, finding
from generator.language.records import Braces, Photo, Prose, Text
from generator.language.stretches import Stretches

MOST_FINDINGS = 40      # of one stretch of prose
_MARK = re.compile(r"\\.|`+|\{\{|\}\}|!\[|\]\(", re.DOTALL)
# Each part has an upper length, so that a wall of brackets is not read again and again.
_TARGET = re.compile(r"""\]\(\s{0,9}
                         (?:<(?P<angled>[^<>\n]{0,400})>|(?P<plain>[^\n()<>]{0,400}?(?:\([^\n()]{0,99}\)[^\n()]{0,99}?)?))
                         (?:\s{1,9}(?:"(?P<double>[^"]{0,400})"|'(?P<single>[^']{0,400})'))?\s{0,9}\)""", re.VERBOSE)


@dataclass(slots=True)
class Inline:
    """A stretch of prose, read: its parts, the photos in it, and what is wrong."""

    parts: list[Text | Braces] = field(default_factory=list)
    photos: list[Photo] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    @property
    def prose(self) -> Prose:
        return Prose(tuple(self.parts))


def read_inline(text: str, file: str, line: int = 1, column: int = 1) -> Inline:
    """Read prose that begins at ``line`` and ``column`` of ``file``."""
    found = Inline()
    where = Stretches(text, file, line, column)
    done = 0
    for start, end in _paragraphs(text):
        done = _Reader(text, where, found, done).read(start, end)
    _Reader(text, where, found, done).plain(len(text))
    return found


def _paragraphs(text: str) -> Iterator[tuple[int, int]]:
    """Where each run of rows begins and ends that are not blank."""
    start = at = 0
    for row in text.split("\n"):
        if not row.strip():
            if at > start:
                yield start, at
            start = at + len(row) + 1
        at += len(row) + 1
    if len(text) > start:
        yield start, len(text)


class _Reader:
    """Reads one paragraph; ``done`` is the place up to which the text is in the parts already."""

    def __init__(self, text: str, where: Stretches, found: Inline, done: int):
        self.text, self.where, self.found, self.done = text, where, found, done

    def read(self, start: int, end: int) -> int:
        """Read ``text[start:end]``; the place up to which the parts now reach."""
        self.marks = list(_MARK.finditer(self.text, start, end))
        closers = self._closing_ticks()
        at = 0
        while at < len(self.marks):
            sign = self.marks[at].group()
            if sign[0] == "`" and closers[at] is not None:
                at = self._code(at, closers[at])
            elif sign == "{{":
                at = self._braces(at)
            else:
                self._other(at, sign)
                at += 1
        return self.done

    def plain(self, end: int) -> None:
        """Add what has been passed over as plain words."""
        if end > self.done:
            self._add(self.done, end, verbatim=False)

    def _add(self, start: int, end: int, verbatim: bool) -> None:
        at = self.where.span(start, end)
        self.found.parts.append(Text(self.text[start:end], at.line, at.column, verbatim))
        self.done = end

    def _closing_ticks(self) -> list[int | None]:
        """For each run of ` the next run of the same length, which ends the code it begins."""
        seen: dict[str, int] = {}
        closers: list[int | None] = [None] * len(self.marks)
        for at in range(len(self.marks) - 1, -1, -1):
            sign = self.marks[at].group()
            if sign[0] == "`":
                closers[at], seen[sign] = seen.get(sign), at
        return closers

    def _code(self, at: int, closer: int) -> int:
        self.plain(self.marks[at].start())
        self._add(self.marks[at].start(), self.marks[closer].end(), verbatim=True)
        return closer + 1

    def _braces(self, at: int) -> int:
        """Read the expression of the {{ at mark ``at``; the mark to go on from."""
        start, closer = self.marks[at], self._next(at, "{{", "}}")
        if closer is None or self.marks[closer].group() == "{{":
            self._report(start, "this {{ is never ended", "put }} behind the expression, in the same paragraph")
            return at + 1
        inner = self.text[start.end():self.marks[closer].start()]
        if not inner.strip():
            self._report(start, "these braces hold nothing", "put an expression between {{ and }}, or take them out")
            return closer + 1
        self.plain(start.start())
        begin = start.end() + len(inner) - len(inner.lstrip())
        span = self.where.span(begin, begin + len(inner.strip()))
        self.found.parts.append(Braces(inner.strip(), span))
        self.done = self.marks[closer].end()
        return closer + 1

    def _other(self, at: int, sign: str) -> None:
        if sign == "}}":
            self._report(self.marks[at], "this }} ends nothing", "put {{ before the expression, or take it out")
        elif sign == "![":
            self._photo(at)

    def _photo(self, at: int) -> None:
        closer = self._next(at, "![", "](")
        if closer is None or self.marks[closer].group() == "![":
            return
        alt = self.text[self.marks[at].end():self.marks[closer].start()]
        target = _TARGET.match(self.text, self.marks[closer].start())
        if "]" in alt or target is None:
            return
        span = self.where.span(self.marks[at].start(), target.end())
        photo = Photo((target["angled"] or target["plain"] or "").strip(), " ".join(alt.split()),
                      target["double"] or target["single"] or "", span)
        self.found.photos.append(photo)
        self.found.findings += photo_findings(photo)

    def _next(self, at: int, *signs: str) -> int | None:
        """The next mark behind ``at`` that is one of ``signs``."""
        return next((k for k in range(at + 1, len(self.marks)) if self.marks[k].group() in signs), None)

    def _report(self, mark: re.Match[str], message: str, hint: str) -> None:
        if len(self.found.findings) < MOST_FINDINGS:
            self.found.findings.append(finding("braces-open", self.where.span(*mark.span()), message, hint))


def photo_findings(photo: Photo) -> list[Finding]:
    """What is wrong with a photo as it is written; whether its file exists is another question."""
    found = []
    if not photo.alt:
        found.append(finding("photo-unworded", photo.span, "this photo has no words for those who cannot see it",
                             "say between [ and ] what it shows"))
    if not photo.src:
        found.append(finding("photo-missing", photo.span, "this photo names no file",
                             "put the name of a file that lies beside the source between ( and )"))
    return found
