"""Split the body of a source into headings, fences, code and prose, line by line."""
from __future__ import annotations

import re
from typing import NamedTuple

from generator.findings import Finding, Span, finding

_FENCE = re.compile(r"(?P<indent>[ \t]*)(?P<run>`{3,}|~{3,})(?P<info>[^`]*)\Z")
_HEADING = re.compile(r" {0,3}##(?!#)")
_COMMENT = re.compile(r" {0,3}<!--")


class Chunk(NamedTuple):
    """Lines that belong together. ``kind`` is "heading", "geometry", "verbatim" or "prose".

    ``line`` is the first one's number; the two fence lines are part of a
    verbatim chunk and not of a geometry one. A heading's row is its title,
    ``column`` where that begins.
    """

    kind: str
    rows: tuple[str, ...]
    line: int
    column: int = 1


def split(rows: list[str], first_line: int, file: str) -> tuple[list[Chunk], list[Finding]]:
    """All chunks of the body in order, and the fences that are never closed."""
    return _Splitter(rows, first_line, file).split()


class _Splitter:
    """Walks over the rows once."""

    def __init__(self, rows: list[str], first_line: int, file: str):
        self.rows, self.first_line, self.file = rows, first_line, file
        self.chunks: list[Chunk] = []
        self.findings: list[Finding] = []
        self.prose_from = 0     # rows from here to the present one are prose
        self.last_comment = max((i for i, row in enumerate(rows) if row.rstrip().endswith("-->")), default=-1)

    def split(self) -> tuple[list[Chunk], list[Finding]]:
        at = 0
        while at < len(self.rows):
            at = self._fence(at) or self._comment(at) or self._heading(at) or at + 1
        self._end_prose(at)
        return self.chunks, self.findings

    def _end_prose(self, at: int) -> None:
        if any(row.strip() for row in self.rows[self.prose_from:at]):
            self.chunks.append(Chunk("prose", tuple(self.rows[self.prose_from:at]), self.first_line + self.prose_from))

    def _set(self, kind: str, start: int, end: int, after: int, begin: int) -> int:
        """Add the rows from ``start`` to ``end`` as a chunk that stands where prose ends at ``begin``."""
        self._end_prose(begin)
        self.chunks.append(Chunk(kind, tuple(self.rows[start:end]), self.first_line + start))
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
                "fence-open", Span(self.file, self.first_line + at, indent + 1, len(opening.group()) - indent),
                "this fence is never ended", f"put a line {opening['run']} behind its last line"))
        after = end + 1 if closed else end
        if geometry:
            return self._set("geometry", at + 1, end, after, at)
        return self._set("verbatim", at, after, after, at)

    def _fence_end(self, at: int, run: str) -> tuple[int, bool]:
        """The row of the closing fence and True; for an open one, the row where it most likely was to end, and False.

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
        """Pass over a comment that has its lines for itself: what is commented out is not part of the tutorial."""
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
        self.chunks.append(Chunk("heading", (title,), self.first_line + at, column))
        self.prose_from = at + 1
        return at + 1
