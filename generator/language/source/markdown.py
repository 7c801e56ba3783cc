"""Split the body of a source into headings, fences, code and prose, line by line.

Find expressions, code and photos in a stretch of prose.

Nothing reaches over a blank line: braces or a code span that are not closed
in their paragraph are not closed at all.
"""
from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from generator.dataclass import dataclass, field, replace
from generator.findings import Finding, Span, finding
from generator.language.source.markup import markup_findings
from generator.language.source.records import (
    InlineExpression,
    MarkdownText,
    Prose,
    SourcePhoto,
    TextPositions,
)
from generator.language.source.text_limits import prose_faults

_FENCE = re.compile(r"(?P<indent>[ \t]*)(?P<run>`{3,}|~{3,})(?P<info>[^`]*)\Z")
_HEADING = re.compile(r" {0,3}##(?!#)")
SHORT_LINE = "short:"       # begins what project sheets say of a step
_COMMENT = re.compile(r" {0,3}<!--")


class LineBlock(NamedTuple):
    """Lines that belong together. ``kind`` is "heading", "geometry", "verbatim" or "prose".

    ``line`` is the first one's number; the two fence lines are part of a
    verbatim chunk and not of a geometry one. A heading's row is its title,
    ``column`` where that begins.
    """

    kind: str
    rows: tuple[str, ...]
    line: int
    column: int = 1


def split_body(rows: list[str], first_line: int, file: str) -> tuple[list[LineBlock], list[Finding]]:
    """All chunks of the body in order, and the fences that are never closed."""
    return _Splitter(rows, first_line, file).split()


def split_short_line(blocks: list[LineBlock]) -> tuple[LineBlock, list[LineBlock]]:
    """The paragraph ``short: …`` right below a heading, without that word, and the blocks without it."""
    rows = blocks[0].rows if blocks and blocks[0].kind == "prose" else ()
    first = next((at for at, row in enumerate(rows) if row.strip()), len(rows))
    if first == len(rows) or not rows[first].startswith(SHORT_LINE):
        return LineBlock("prose", (), 1), blocks
    end = next((at for at in range(first, len(rows)) if not rows[at].strip()), len(rows))
    text = rows[first].removeprefix(SHORT_LINE).lstrip()
    line = blocks[0].line
    return (LineBlock("prose", (text, *rows[first + 1:end]), line + first, len(rows[first]) - len(text) + 1),
            [LineBlock("prose", rows[end:], line + end), *blocks[1:]])


def stray_short_lines(blocks: list[LineBlock]) -> list[int]:
    """The lines at which a paragraph of prose begins with ``short:``, where it would be read as prose."""
    found = []
    for block in blocks:
        before = ""
        for at, row in enumerate(block.rows if block.kind == "prose" else ()):
            if row.startswith(SHORT_LINE) and not before.strip():
                found.append(block.line + at)
            before = row
    return found


class _Splitter:
    """Walks over the rows once."""

    def __init__(self, rows: list[str], first_line: int, file: str):
        self.rows, self.first_line, self.file = rows, first_line, file
        self.chunks: list[LineBlock] = []
        self.findings: list[Finding] = []
        self.prose_from = 0     # rows from here to the present one are prose
        self.last_comment = max((i for i, row in enumerate(rows) if row.rstrip().endswith("-->")), default=-1)

    def split(self) -> tuple[list[LineBlock], list[Finding]]:
        at = 0
        while at < len(self.rows):
            at = self._fence(at) or self._comment(at) or self._heading(at) or at + 1
        self._end_prose(at)
        return self.chunks, self.findings

    def _end_prose(self, at: int) -> None:
        if any(row.strip() for row in self.rows[self.prose_from:at]):
            self.chunks.append(LineBlock("prose", tuple(self.rows[self.prose_from:at]),
                                         self.first_line + self.prose_from))

    def _set(self, kind: str, start: int, end: int, after: int, begin: int) -> int:
        """Add the rows from ``start`` to ``end`` as a chunk that stands where prose ends at ``begin``."""
        self._end_prose(begin)
        self.chunks.append(LineBlock(kind, tuple(self.rows[start:end]), self.first_line + start))
        self.prose_from = after
        return after

    def _fence(self, at: int) -> int | None:
        """Read the fence that begins at row ``at``; the row behind it, None when none begins here."""
        opening = _FENCE.match(self.rows[at])
        if opening is None:
            return None
        geometry = (opening["info"].split() or [""])[0].lower() == "geometry"
        end, closed = self._fence_end(at, opening["run"])
        if not closed:
            indent = len(opening["indent"])
            self.findings.append(finding(
                "fence-open",
                Span(self.file, self.first_line + at, indent + 1, len(opening.group()) - indent),
                "this fence is never ended", f"put a line {opening['run']} behind its last line"))
        after = end + 1 if closed else end
        if geometry:
            return self._set("geometry", at + 1, end, after, at)
        return self._set("verbatim", at, after, after, at)

    def _fence_end(self, at: int, run: str) -> tuple[int, bool]:
        """The row of the closing fence and True.

        For an open one, the row where it most likely was to end, and False.

        A fence that begins another one shows that this one was left open.
        """
        guess = None
        for row in range(at + 1, len(self.rows)):
            found = _FENCE.match(self.rows[row])
            if found and found["run"].startswith(run):
                if not found["info"].strip():
                    return row, True
                return (row if guess is None else guess), False
            if guess is None and (not self.rows[row].strip() or _HEADING.match(self.rows[row])):
                guess = row
        return (len(self.rows) if guess is None else guess), False

    def _comment(self, at: int) -> int | None:
        """Pass over a comment that has its lines for itself.

        What is commented out is not part of the tutorial.
        """
        if at > self.last_comment or not _COMMENT.match(self.rows[at]):
            return None
        end = next(row for row in range(at, self.last_comment + 1) if "-->" in self.rows[row])
        if not self.rows[end].rstrip().endswith("-->"):
            return None
        self._end_prose(at)
        self.prose_from = end + 1
        return end + 1

    def _heading(self, at: int) -> int | None:
        if not _HEADING.match(self.rows[at]):
            return None
        self._end_prose(at)
        behind = self.rows[at].lstrip()[2:]
        title = behind.strip()
        bare = title.rstrip("#")
        if bare != title and (not bare or bare[-1].isspace()):
            title = bare.rstrip()
        column = len(self.rows[at]) - len(behind.lstrip()) + 1
        self.chunks.append(LineBlock("heading", (title,), self.first_line + at, column))
        self.prose_from = at + 1
        return at + 1


MAX_INLINE_FINDINGS = 40      # of one stretch of prose
_INLINE_SIGN = re.compile(r"\\.|`+|\{\{|\}\}|!\[|\]\(", re.DOTALL)
# Each part has an upper length, so that a wall of brackets is not read again and again.
_LINK_TARGET = re.compile(r"""\]\(\s{0,9}
                         (?:<(?P<angled>[^<>\n]{0,400})>
                           |(?P<plain>[^\n()<>]{0,400}?(?:\([^\n()]{0,99}\)[^\n()]{0,99}?)?))
                         (?:\s{1,9}(?:"(?P<double>[^"]{0,400})"|'(?P<single>[^']{0,400})'))?\s{0,9}\)""",
                          re.VERBOSE)


@dataclass(slots=True)
class InlineContent:
    """A stretch of prose, read: its parts, the photos and the places of code in it, and what is wrong."""

    parts: list[MarkdownText | InlineExpression] = field(default_factory=list)
    photos: list[SourcePhoto] = field(default_factory=list)
    code: list[tuple[int, int]] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    @property
    def prose(self) -> Prose:
        """The parts read so far as one stretch of prose."""
        return Prose(tuple(self.parts))


def read_inline(text: str, file: str, line: int = 1, column: int = 1) -> InlineContent:
    """Read prose that begins at ``line`` and ``column`` of ``file``."""
    where = TextPositions(text, file, line, column)
    found = InlineContent(findings=list(prose_faults(text, where)))
    done = 0
    for start, end in _paragraphs(text):
        done = _InlineReader(text, where, found, done).read(start, end)
    _InlineReader(text, where, found, done).plain(len(text))
    found.findings += markup_findings(text, found.code, [photo.src for photo in found.photos], where)
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


class _InlineReader:
    """Reads one paragraph; ``done`` is the place up to which the text is in the parts already."""

    def __init__(self, text: str, where: TextPositions, found: InlineContent, done: int):
        self.text, self.where, self.found, self.done = text, where, found, done

    def read(self, start: int, end: int) -> int:
        """Read ``text[start:end]``; the place up to which the parts now reach."""
        self.marks = list(_INLINE_SIGN.finditer(self.text, start, end))
        closers = self._closing_ticks()
        at = 0
        while at < len(self.marks):
            sign = self.marks[at].group()
            closer = closers[at]
            if sign[0] == "`" and closer is not None:
                at = self._code(at, closer)
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
        self.found.parts.append(MarkdownText(self.text[start:end], at.line, at.column, verbatim))
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
        self.found.code.append((self.marks[at].start(), self.marks[closer].end()))
        return closer + 1

    def _braces(self, at: int) -> int:
        """Read the expression of the {{ at mark ``at``; the mark to go on from."""
        start, closer = self.marks[at], self._next(at, "{{", "}}")
        if closer is None or self.marks[closer].group() == "{{":
            self._report(start, "this {{ is never ended",
                         "put }} behind the expression, in the same paragraph")
            return at + 1
        inner = self.text[start.end():self.marks[closer].start()]
        if not inner.strip():
            self._report(start, "these braces hold nothing",
                         "put an expression between {{ and }}, or take them out")
            return closer + 1
        self.plain(start.start())
        begin = start.end() + len(inner) - len(inner.lstrip())
        span = self.where.span(begin, begin + len(inner.strip()))
        self.found.parts.append(InlineExpression(inner.strip(), span))
        self.done = self.marks[closer].end()
        return closer + 1

    def _other(self, at: int, sign: str) -> None:
        if sign == "}}":
            self._report(self.marks[at], "this }} ends nothing",
                         "put {{ before the expression, or take it out")
        elif sign == "![":
            self._photo(at)

    def _photo(self, at: int) -> None:
        closer = self._next(at, "![", "](")
        if closer is None or self.marks[closer].group() == "![":
            return
        alt = self.text[self.marks[at].end():self.marks[closer].start()]
        target = _LINK_TARGET.match(self.text, self.marks[closer].start())
        if "]" in alt or target is None:
            return
        span = self.where.span(self.marks[at].start(), target.end())
        photo = SourcePhoto((target["angled"] or target["plain"] or "").strip(), " ".join(alt.split()),
                      target["double"] or target["single"] or "", span)
        self.found.photos.append(photo)
        self.found.findings += photo_findings(photo)

    def _next(self, at: int, *signs: str) -> int | None:
        """The next mark behind ``at`` that is one of ``signs``."""
        return next((k for k in range(at + 1, len(self.marks)) if self.marks[k].group() in signs), None)

    def _report(self, mark: re.Match[str], message: str, hint: str) -> None:
        if len(self.found.findings) < MAX_INLINE_FINDINGS:
            self.found.findings.append(finding("braces-open", self.where.span(*mark.span()), message, hint))


def photo_findings(photo: SourcePhoto) -> list[Finding]:
    """What is wrong with a photo as it is written; whether its file exists is another question."""
    found = []
    if not photo.alt:
        found.append(finding("photo-unworded", photo.span,
                             "this photo has no words for those who cannot see it",
                             "say between [ and ] what it shows"))
    if not photo.src:
        found.append(finding("photo-missing", photo.span, "this photo names no file",
                             "put the name of a file that lies beside the source between ( and )"))
    return found


def relocated_prose(prose: Prose, raw: str, span: Span) -> tuple[Prose, list[Finding]]:
    """The prose of a text that YAML has folded or unescaped, its expressions at their places in ``raw``.

    Of its words no more is known than where the text begins. An expression
    that was itself changed has no place that a finding could point to.
    """
    where, at = TextPositions(raw, span.file, span.line, span.column), 0
    parts: list[MarkdownText | InlineExpression] = []
    lost: list[Finding] = []
    for part in prose.parts:
        if isinstance(part, MarkdownText):
            parts.append(replace(part, line=span.line, column=span.column))
        elif again := re.compile(r"\{\{\s*(" + re.escape(part.text) + ")").search(raw, at):
            at = again.end()
            parts.append(InlineExpression(part.text, where.span(*again.span(1))))
        else:
            lost.append(finding("front-value", span,
                                "an expression runs over the end of a line here, or holds a \\",
                                "write it in one line, in a text between single quotes '"))
    return Prose(tuple(parts)), lost
