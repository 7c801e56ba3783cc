"""Named lengths that nothing uses."""
from __future__ import annotations

from collections.abc import Sequence

from generator.findings import Finding, finding
from generator.language.front_matter import FrontMatter
from generator.language.source.records import Document, InlineExpression, Prose
from generator.language.syntax.nodes import Statement, names_in
from generator.language.syntax.parser import parse_expression


def unused_names(document: Document, front: FrontMatter, statements: Sequence[Statement]) -> list[Finding]:
    """A warning for each name of the front matter that neither a statement nor the prose mentions."""
    mentioned: set[str] = set()
    for statement in statements:
        mentioned.update(names_in(statement.value))
    for prose in _all_prose(document, front):
        for part in prose.parts:
            if isinstance(part, InlineExpression):
                expr, _ = parse_expression(part.text, part.span)
                mentioned.update(names_in(expr) if expr is not None else ())
    names = (*front.counts, *front.lengths[front.drawn_in], *front.papers)
    given_twice = front.lengths[front.drawn_in].keys() - front.tools
    return [finding("length-unused", front.spans[name], f"nothing uses '{name}'", "use it in a fence, or leave it out"
                    + (" here and in the editions" if name in given_twice else ""))
            for name in names if name not in mentioned and name in front.spans]


def _all_prose(document: Document, front: FrontMatter) -> list[Prose]:
    found = [document.intro, *front.supplies]
    for step in document.steps:
        found.append(step.heading)
        found.extend(block for block in step.blocks if isinstance(block, Prose))
    return found
