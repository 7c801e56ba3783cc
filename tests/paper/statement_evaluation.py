"""Work a few statements on paper for a test, and look at what came of them.

How a piece is seen by the reader is worked out here once more from first
principles, with no help from the code under test: each turn is a rotation or a
mirroring of the picture on the table.
"""
from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction

from generator.findings import Finding, Span
from generator.geometry import Circle, Stroke
from generator.language.evaluation.evaluate import EditionValues, Evaluation, ProseContext, evaluate
from generator.language.syntax.parser import parse_expression, parse_fence
from generator.paper.records import Mark, Paper, PieceState
from generator.paper.values import Group, Piece
from generator.units import Quantity, length, number

CARD = Paper("card", 200, length(Fraction(26, 100)))


def evaluated(text: str, counts: Mapping[str, int] | None = None, system: str = "mm",
              **mm: object) -> Evaluation:
    """The statements worked in one step, with these named lengths (in mm); problems stay in ``findings``."""
    statements, findings = parse_fence(text, "box.md", 1)
    assert not findings, findings
    lengths = {name: length(Fraction(value), name) for name, value in mm.items()}
    numbers = {name: number(n, frozenset({name})) for name, n in (counts or {}).items()}
    return evaluate(system, EditionValues(lengths, numbers, {"card": CARD}, {}),
                    [(1, statements)])


def made(text: str, counts: Mapping[str, int] | None = None, **mm: object) -> Evaluation:
    """As :func:`evaluated`; nothing may be wrong."""
    done = evaluated(text, counts, **mm)
    assert not done.findings, done.findings
    return done


def wrong(text: str, counts: Mapping[str, int] | None = None, **mm: object) -> tuple[Finding, ...]:
    """What is found in these statements, in reading them or in working them."""
    found = parse_fence(text, "box.md", 1)[1]
    return found or evaluated(text, counts, **mm).findings


def codes(text: str, counts: Mapping[str, int] | None = None, **mm: object) -> list[str]:
    """The codes of what is found."""
    return [f.code for f in wrong(text, counts, **mm)]


def value(done: Evaluation | ProseContext, text: str) -> object:
    """What an expression comes to once all statements are worked."""
    expr, findings = parse_expression(text, Span("box.md", 1, 1, 1))
    assert expr is not None and not findings, findings
    return _context(done).value(expr)


def text_of(done: Evaluation | ProseContext, text: str, step: int | None = None) -> str:
    """An expression of the prose in words."""
    expr, findings = parse_expression(text, Span("box.md", 1, 1, 1))
    assert expr is not None and not findings, findings
    return replace(_context(done), step=step).word(expr).text


def _context(done: Evaluation | ProseContext) -> ProseContext:
    return done if isinstance(done, ProseContext) else ProseContext(done)


def numbers(values: object) -> list[object]:
    """The bare values (mm, or plain) of a quantity or of a group of them, in order."""
    if isinstance(values, Group):
        return [n for item in values.items for n in numbers(item)]
    assert isinstance(values, Quantity), values
    return [values.value]


def measures(done: Evaluation, text: str) -> list[object]:
    """The bare values of an expression."""
    return numbers(value(done, text))


def state(done: Evaluation, name: str) -> PieceState:
    """How a piece is in the end."""
    piece = value(done, name)
    assert isinstance(piece, Piece)
    return done.plan.state(piece.id)


def marks(done: Evaluation, name: str, piece: str | None = None) -> list[Mark]:
    """The marks of a group as they are in the end, later cuts taken off."""
    group = value(done, name)
    items = group.items if isinstance(group, Group) else (group,)
    now = {mark.id: mark for mark in done.plan.state(items[0].piece).marks}
    return [now[mark.id] for mark in items]


def ends(strokes: Iterable[Stroke]) -> list[tuple[object, object, object, object]]:
    """Start and end of each stroke as four numbers; a circle as its centre and radius."""
    return [(*s.center, s.radius, 0) if isinstance(s, Circle) else (*s.start, *s.end) for s in strokes]


def outline(done: Evaluation, name: str) -> list[tuple[object, object]]:
    """The corners of a piece, in order round it."""
    return [tuple(rim.stroke.start) for rim in state(done, name).outline]


def names_of(quantity: object) -> set[str]:
    """The names a quantity depends on."""
    assert isinstance(quantity, Quantity)
    return set(quantity.names)


def near(a: Iterable[object], b: Iterable[object], within: float = 1e-9) -> bool:
    """Whether two rows of numbers are equally long and as good as equal."""
    left, right = [float(x) for x in a], [float(x) for x in b]
    return len(left) == len(right) and all(math.isclose(x, y, abs_tol=within, rel_tol=0) for x,
                                           y in zip(left, right, strict=True))
