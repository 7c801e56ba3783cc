"""From a place in a text to its line and column in the file.

What a tutorial source is made of, before any of it is worked out: frozen records.
"""
from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping

from generator.dataclass import dataclass, field
from generator.findings import Finding, Span

PARTS_FOLDER = "parts"      # beside the tutorials: statements of the site's own that they use
LOG_FILE = "made.yaml"       # beside a source: the boxes really made of it


class TextPositions:
    """Spans of a text that begins at ``line`` and ``column`` of ``file``.

    Its other lines begin at column 1.
    """

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


@dataclass(frozen=True, slots=True)
class FrontMatterText:
    """The YAML between the two ``---`` lines; ``first_line`` is the line of its first row."""

    text: str
    first_line: int


@dataclass(frozen=True, slots=True)
class MarkdownText:
    """Words as the author wrote them, in Markdown.

    ``verbatim`` when they are code, which nothing may look into.
    """

    text: str
    line: int
    column: int = 1
    verbatim: bool = False


@dataclass(frozen=True, slots=True)
class InlineExpression:
    """The expression of a ``{{ … }}``, without the braces; ``span`` is where its first sign stands."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Prose:
    """Markdown with expressions in it; its parts, set one behind the other, are the whole text."""

    parts: tuple[MarkdownText | InlineExpression, ...] = ()


@dataclass(frozen=True, slots=True)
class Fence:
    """The statements of a geometry fence; ``first_line`` is the line of the first of them."""

    statements_text: str
    first_line: int


@dataclass(frozen=True, slots=True)
class SourcePhoto:
    """``![alt](src "title")``."""

    src: str
    alt: str
    title: str
    span: Span


Block = Prose | Fence | SourcePhoto


@dataclass(frozen=True, slots=True)
class SourceStep:
    """One ``##`` heading and what stands under it.

    ``title`` as typed, ``heading`` the same with its expressions, ``short`` what project sheets say of it.
    """

    number: int
    title: str
    line: int
    blocks: tuple[Block, ...] = ()
    heading: Prose = Prose()
    short: Prose = Prose()

    @property
    def words(self) -> tuple[Prose, ...]:
        """Every stretch of its prose, in order."""
        return (self.heading, self.short, *(b for b in self.blocks if isinstance(b, Prose)))

    @property
    def fences(self) -> tuple[Fence, ...]:
        """The geometry fences of the step, in order."""
        return tuple(b for b in self.blocks if isinstance(b, Fence))


@dataclass(frozen=True, slots=True)
class Document:
    """A source, split up. ``photos`` are all photos, also those within a paragraph, which are no blocks.

    ``front`` is None when there is none; ``stray`` are fences before the first
    step; ``findings`` are what splitting met. ``parts`` are those of its own
    site, see :mod:`generator.language.parts`.
    """

    file: str
    text: str
    front: FrontMatterText | None
    intro: Prose
    steps: tuple[SourceStep, ...]
    photos: tuple[SourcePhoto, ...] = ()
    findings: tuple[Finding, ...] = ()
    stray: tuple[Fence, ...] = ()
    parts: Mapping[str, object] = field(default_factory=dict)
