"""Named lengths that nothing uses."""
from __future__ import annotations

from collections.abc import Sequence

from generator.findings import Finding, finding
from generator.language.front import Front
from generator.language.mentions import names_in
from generator.language.parser import parse_expression
from generator.language.records import Braces, Document, Prose
from generator.language.syntax import Statement


def unused_names(document: Document, front: Front, statements: Sequence[Statement]) -> list[Finding]:
    """A warning for each name of the front matter that neither a statement nor the prose mentions."""
    mentioned: set[str] = set()
    for statement in statements:
        mentioned.update(names_in(statement.value))
    for prose in _all_prose(document, front):
        for part in prose.parts:
            if isinstance(part, Braces):
                expr, _ = parse_expression(part.text, part.span)
                mentioned.update(names_in(expr) if expr is not None else ())
    names = (*front.counts, *front.lengths[front.drawn_in], *front.papers)
    given_twice = front.lengths[front.drawn_in].keys() - front.tools
    return [finding("length-unused", front.spans[name], f"nothing uses '{name}'", "use it in a fence, or leave it out"
                    + (" here and in the editions" if name in given_twice else ""))
            for name in names if name not in mentioned and name in front.spans]


def _all_prose(document: Document, front: Front) -> list[Prose]:
    found = [document.intro, *front.supplies]
    for step in document.steps:
        found.append(step.heading)
        found.extend(block for block in step.blocks if isinstance(block, Prose))
    return found
