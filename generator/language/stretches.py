"""From a place in a text to its line and column in the file."""
from __future__ import annotations

from bisect import bisect_right

from generator.findings import Span


class Stretches:
    """Spans of a text that begins at ``line`` and ``column`` of ``file``; its other lines begin at column 1."""

    def __init__(self, text: str, file: str, line: int = 1, column: int = 1):
        self.text, self.file, self.line, self.column = text, file, line, column
        self._starts = [0]
        for row in text.split("\n"):
            self._starts.append(self._starts[-1] + len(row) + 1)

    def span(self, start: int, end: int) -> Span:
        """The stretch from ``start`` up to, not including, ``end``; cut at the end of its first line."""
        row = min(bisect_right(self._starts, start), len(self._starts) - 1) - 1
        end = min(end, self._starts[row + 1] - 1)
        column = start - self._starts[row] + (self.column if row == 0 else 1)
        return Span(self.file, self.line + row, column, max(1, end - start))
