"""What an expression and a statement are, once read: a tree of frozen nodes, each with its place.

A node's ``span`` is its stretch of the source; where it runs over several
lines it is cut at the end of the first (see :class:`generator.findings.Span`).
No tree is higher than :data:`generator.language.parser.DEEPEST`.

Which names an expression mentions.
"""
from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from generator.dataclass import dataclass
from generator.findings import Span


@dataclass(frozen=True, slots=True)
class NumberLiteral:
    """A plain number: ``7``, ``0.5``."""

    value: Fraction
    span: Span


@dataclass(frozen=True, slots=True)
class AngleLiteral:
    """An angle typed with its unit: ``60 deg``, ``22 1/2 deg``."""

    degrees: Fraction
    span: Span


@dataclass(frozen=True, slots=True)
class LengthLiteral:
    """A length typed with its unit, kept as it was typed: ``1 1/4 in``, ``5cm``, ``2"``.

    Read so that evaluation can refuse it with the whole of its span.
    """

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class TextLiteral:
    """Words between double quotes, without the quotes."""

    value: str
    span: Span


@dataclass(frozen=True, slots=True)
class Name:
    """Something the front matter or a statement has named."""

    name: str
    span: Span


@dataclass(frozen=True, slots=True)
class Keyword:
    """``name=value`` in a call; ``span`` is that of the name."""

    name: str
    value: Expr
    span: Span


@dataclass(frozen=True, slots=True)
class Call:
    """``name(args, keyword=value)``; no keyword stands twice, and none before an argument without a name."""

    name: str
    name_span: Span
    args: tuple[Expr, ...]
    keywords: tuple[Keyword, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Attribute:
    """``of.name``."""

    of: Expr
    name: str
    name_span: Span
    span: Span


@dataclass(frozen=True, slots=True)
class Select:
    """``of[index]``, counted from 1."""

    of: Expr
    index: Expr
    span: Span


@dataclass(frozen=True, slots=True)
class SelectSpan:
    """``of[first..last]``, counted from 1, both ends taken."""

    of: Expr
    first: Expr
    last: Expr
    span: Span


@dataclass(frozen=True, slots=True)
class SpanExpression:
    """The span ``first..last``."""

    first: Expr
    last: Expr
    span: Span


@dataclass(frozen=True, slots=True)
class Negative:
    """``-of``."""

    of: Expr
    span: Span


@dataclass(frozen=True, slots=True)
class Binary:
    """``left op right`` with ``op`` one of ``+ - * /``."""

    op: str
    left: Expr
    right: Expr
    span: Span
    op_span: Span


@dataclass(frozen=True, slots=True)
class Comparison:
    """``first op second op third …``; ``rest`` holds (op, expression) with op one of ``< <= > >= == !=``."""

    first: Expr
    rest: tuple[tuple[str, Expr], ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Logic:
    """``left op right`` with ``op`` "and" or "or"."""

    op: str
    left: Expr
    right: Expr
    span: Span


@dataclass(frozen=True, slots=True)
class Not:
    """``not of``."""

    of: Expr
    span: Span


Expr = (NumberLiteral | AngleLiteral | LengthLiteral | TextLiteral | Name | Call | Attribute | Select
        | SelectSpan | SpanExpression | Negative | Binary | Comparison | Logic | Not)
Node = Expr | Keyword


@dataclass(frozen=True, slots=True)
class Statement:
    """``name = value``, or a bare call (then ``name`` and ``name_span`` are None).

    ``text`` as it stands in the source.
    """

    name: str | None
    name_span: Span | None
    value: Expr
    span: Span
    text: str

    @property
    def name_place(self) -> Span:
        """Where its name stands; of a bare call the whole of it."""
        return self.name_span or self.span


def names_in(expr: Expr) -> tuple[str, ...]:
    """The names that an expression uses, in order of their first use.

    Names of calls and parameters are none.
    """
    return tuple(dict.fromkeys(node.name for node in _walk(expr) if isinstance(node, Name)))


def calls_in(expr: Expr) -> tuple[str, ...]:
    """The names of the calls in an expression, in order of their first use."""
    return tuple(dict.fromkeys(node.name for node in _walk(expr) if isinstance(node, Call)))


def name_spans(expr: Expr) -> tuple[tuple[str, Span], ...]:
    """Each name that an expression uses, with where it stands."""
    return tuple((node.name, node.span) for node in _walk(expr) if isinstance(node, Name))


def _walk(expr: Expr) -> Iterator[object]:
    waiting: list[object] = [expr]
    while waiting:
        node = waiting.pop()
        if isinstance(node, tuple):
            waiting.extend(reversed(node))
        elif (names := getattr(node, "__dataclass_fields__", None)) is not None:
            yield node
            waiting.extend([getattr(node, name) for name in reversed(names)])
