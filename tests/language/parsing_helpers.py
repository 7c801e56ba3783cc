"""Short ways to read sources in tests."""
from __future__ import annotations

from pathlib import Path

from generator.findings import Finding
from generator.language.front_matter import FrontMatter, read_front_matter
from generator.language.source.document import read_document
from generator.language.source.records import Document
from generator.language.syntax import nodes
from generator.language.syntax.parser import parse_expression, parse_fence

CADDY = (Path(__file__).parent / "sources" / "caddy.md").read_text(encoding="utf-8")
START = nodes.Span("box.md", 1, 1)


def expression(text: str) -> nodes.Expr:
    """The tree of an expression in which nothing is wrong."""
    tree, findings = parse_expression(text, START)
    assert not findings, findings
    return tree


def statements(text: str) -> tuple[nodes.Statement, ...]:
    """The statements of a fence in which nothing is wrong."""
    found, findings = parse_fence(text, "box.md", 1)
    assert not findings, findings
    return found


def wrong(text: str) -> list[Finding]:
    """What is wrong with a fence."""
    return list(parse_fence(text, "box.md", 1)[1])


def source(front: str = "title: A box\ndrawn_in: mm", body: str = "## Cut\n") -> Document:
    """A document of front matter and a body."""
    return read_document("box.md", f"---\n{front}\n---\n{body}")


def front(text: str, reserved: frozenset[str] = frozenset()) -> tuple[FrontMatter | None, list[Finding]]:
    """Front matter and what is wrong with it."""
    read, findings = read_front_matter(source(text), reserved)
    return read, list(findings)


def told(findings: list[Finding] | tuple[Finding, ...]) -> list[tuple[str, int, int]]:
    """Code, line and column of each finding."""
    return [(f.code, f.line, f.column) for f in findings]


def shown(tree: nodes.Expr) -> str:  # noqa: C901 - one case for each kind of node
    """A tree with all its brackets, so that a test can say how an expression is read."""
    s = nodes
    match tree:
        case s.NumberLiteral(value=value):
            return str(value)
        case s.AngleLiteral(degrees=degrees):
            return f"{degrees}deg"
        case s.LengthLiteral(text=text):
            return f"<{text}>"
        case s.TextLiteral(value=value):
            return repr(value)
        case s.Name(name=name):
            return name
        case s.Call(name=name, args=args, keywords=keywords):
            named = (f"{k.name}={shown(k.value)}" for k in keywords)
            return f"{name}({', '.join([*map(shown, args), *named])})"
        case s.Attribute(of=of, name=name):
            return f"{shown(of)}.{name}"
        case s.Select(of=of, index=index):
            return f"{shown(of)}[{shown(index)}]"
        case s.SelectSpan(of=of, first=first, last=last):
            return f"{shown(of)}[{shown(first)}..{shown(last)}]"
        case s.SpanExpression(first=first, last=last):
            return f"({shown(first)}..{shown(last)})"
        case s.Negative(of=of):
            return f"(-{shown(of)})"
        case s.Not(of=of):
            return f"(not {shown(of)})"
        case s.Binary(op=op, left=left, right=right) | s.Logic(op=op, left=left, right=right):
            return f"({shown(left)} {op} {shown(right)})"
        case s.Comparison(first=first, rest=rest):
            return f"({shown(first)}{''.join(f' {op} {shown(e)}' for op, e in rest)})"
    raise AssertionError(tree)
