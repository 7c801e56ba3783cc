"""Read the fences and the braces of a document: statements, and everything in their words that is wrong."""
from __future__ import annotations

from collections.abc import Iterator

from generator.dataclass import dataclass
from generator.findings import Finding, Span, finding
from generator.language.source.records import Document, InlineExpression, Prose, SourceStep
from generator.language.source.typed_measures import typed_measures
from generator.language.syntax.nodes import Statement
from generator.language.syntax.parser import parse_expression, read_fence

ParsedStep = tuple[SourceStep, tuple[Statement, ...]]


@dataclass(frozen=True, slots=True)
class ParsedFences:
    """What the fences say.

    ``unread_names`` are the names that wrong statements were to make, ``steps_with_errors`` their steps.
    """

    steps: tuple[ParsedStep, ...]
    findings: tuple[Finding, ...]
    unread_names: frozenset[str]
    steps_with_errors: frozenset[int]

    @property
    def statements(self) -> tuple[tuple[int, tuple[Statement, ...]], ...]:
        """The statements of each step, by its number."""
        return tuple((step.number, statements) for step, statements in self.steps)


def read_fences(document: Document) -> ParsedFences:
    """All fences of a document; one before the first step belongs to none, but its names are known."""
    parsed: list[ParsedStep] = []
    findings: list[Finding] = []
    unread_names: set[str] = set()
    steps_with_errors: set[int] = set()
    for fence in document.stray:
        read = read_fence(fence.statements_text, document.file, fence.first_line)
        findings.extend(read.findings)
        unread_names |= read.unread_names | {s.name for s in read.statements if s.name}
    for step in document.steps:
        statements: tuple[Statement, ...] = ()
        for fence in step.fences:
            read = read_fence(fence.statements_text, document.file, fence.first_line)
            statements += read.statements
            findings.extend(read.findings)
            unread_names |= read.unread_names
            if read.findings:
                steps_with_errors.add(step.number)
        parsed.append((step, statements))
    return ParsedFences(tuple(parsed), tuple(findings), frozenset(unread_names), frozenset(steps_with_errors))


def prose_findings(document: Document) -> Iterator[Finding]:
    """What is wrong with the words of the prose, for a source whose names are not known."""
    for prose in all_prose(document):
        for part in prose.parts:
            if isinstance(part, InlineExpression):
                yield from parse_expression(part.text, part.span)[1]
    yield from typed_measures(document)


def all_prose(document: Document) -> Iterator[Prose]:
    """Every stretch of prose: the introduction, then each step's heading and blocks."""
    yield document.intro
    for step in document.steps:
        yield from step.words


def empty_steps(document: Document, read: ParsedFences) -> Iterator[Finding]:
    """A warning for each step that shows nothing: neither geometry nor a photo stands in it."""
    ends = [step.line for step, _ in read.steps[1:]] + [document.text.count("\n") + 2]
    # without a step there is an end too many
    for (step, statements), end in zip(read.steps, ends, strict=False):
        pictured = statements or step.number in read.steps_with_errors or any(
            step.line <= photo.span.line < end for photo in document.photos)
        if not pictured:
            yield finding("step-bare", Span(document.file, step.line, 1, len(step.title) + 3),
                          f"step {step.number} has no geometry, so it has no picture of its own",
                          "add what is scored, cut, folded or glued in it, or a photo")
