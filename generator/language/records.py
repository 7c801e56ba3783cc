"""What a tutorial source is made of, before any of it is worked out: frozen records."""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from generator.findings import Finding, Span


@dataclass(frozen=True, slots=True)
class FrontText:
    """The YAML between the two ``---`` lines; ``first_line`` is the line of its first row."""

    text: str
    first_line: int


@dataclass(frozen=True, slots=True)
class Text:
    """Words as the author wrote them, in Markdown; ``verbatim`` when they are code, which nothing may look into."""

    text: str
    line: int
    column: int = 1
    verbatim: bool = False


@dataclass(frozen=True, slots=True)
class Braces:
    """The expression of a ``{{ … }}``, without the braces; ``span`` is where its first sign stands."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Prose:
    """Markdown with expressions in it; its parts, set one behind the other, are the whole text."""

    parts: tuple[Text | Braces, ...] = ()


@dataclass(frozen=True, slots=True)
class Fence:
    """The statements of a geometry fence; ``first_line`` is the line of the first of them."""

    statements_text: str
    first_line: int


@dataclass(frozen=True, slots=True)
class Photo:
    """``![alt](src "title")``."""

    src: str
    alt: str
    title: str
    span: Span


Block = Prose | Fence | Photo


@dataclass(frozen=True, slots=True)
class SourceStep:
    """One ``##`` heading and what stands under it. ``title`` as typed, ``heading`` the same with its expressions."""

    number: int
    title: str
    line: int
    blocks: tuple[Block, ...] = ()
    heading: Prose = Prose()

    @property
    def fences(self) -> tuple[Fence, ...]:
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
    front: FrontText | None
    intro: Prose
    steps: tuple[SourceStep, ...]
    photos: tuple[Photo, ...] = ()
    findings: tuple[Finding, ...] = ()
    stray: tuple[Fence, ...] = ()
    parts: Mapping[str, object] = field(default_factory=dict)
