"""Where something stands in a source file."""
from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of one source line.

    ``line`` and ``column`` count from 1; ``length`` is in characters and at
    least 1. A stretch that runs over several lines is cut at the end of its
    first line, which is where the caret goes.
    """

    file: str
    line: int = 1
    column: int = 1
    length: int = 1

    def to(self, other: "Span") -> "Span":
        """The stretch from the start of this one to the end of ``other``."""
        if other.line != self.line or other.column < self.column:
            return self
        return Span(self.file, self.line, self.column,
                    max(self.length, other.column + other.length - self.column))

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"
