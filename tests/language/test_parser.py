"""How statements and expressions are read."""
from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.findings import Span
from generator.language.syntax import nodes
from generator.language.syntax.parser import parse_expression, parse_fence
from tests.language.parsing_helpers import CADDY, expression, shown, source, statements
from tests.time_limits import examples


@pytest.mark.parametrize(("text", "tree"), [
    ("a or b and not c", "(a or (b and (not c)))"),
    ("not a == b", "(not (a == b))"),
    ("a <= b < c", "(a <= b < c)"),
    ("bottom..foot + wall", "(bottom..(foot + wall))"),
    ("a..b == c..d", "((a..b) == (c..d))"),
    ("a - b - c", "((a - b) - c)"),
    ("a / b * c", "((a / b) * c)"),
    ("-a * b", "((-a) * b)"),
    ("a - -b", "(a - (-b))"),
    ("-a.first", "(-a.first)"),
    ("1/2", "(1 / 2)"),
    ("(a + b) * c", "((a + b) * c)"),
    ("panels[2].left", "panels[2].left"),
    ("panels[1..3].odd", "panels[1..3].odd"),
    ("panels[1..n - 1]", "panels[1..(n - 1)]"),
    ("midway(panels).last", "midway(panels).last"),
    ("arc(at(a, b), bulge=-c, up=plain,)", "arc(at(a, b), bulge=(-c), up=plain)"),
    ('"so, # and so"', "'so, # and so'"),
    ("60 deg", "60deg"),
    ("360 deg / sides", "(360deg / sides)"),
    ("90 deg - 45/2 deg", "(90deg - 45/2deg)"),
    ("22 1/2 deg", "45/2deg"),
    ("tab + tab(a)", "(tab + tab(a))"),
])
def test_precedence(text, tree):
    """Operators bind as the design says, from ``or`` to the call."""
    assert shown(expression(text)) == tree


@pytest.mark.parametrize(("text", "tree"),
                         [("0..b", "(0..b)"), ("1..3", "(1..3)"), ("0.5..1.5", "(1/2..3/2)"),
                                            ("a[2..3]", "a[2..3]"), ("a..-b", "(a..(-b))")])
def test_spans_are_not_taken_for_numbers(text, tree):
    """``0..b`` is a span from 0, not the number ``0.`` and a point."""
    assert shown(expression(text)) == tree


@pytest.mark.parametrize("text", ["30 mm", "5cm", "1 1/4 in", "1-1/4 in", "5/16 in", '2"', '1 1/4"', "1¼ in",
                                  "0.25 in",
                                  "2 inches", "3 m", "½ in", '1¼"'])
def test_typed_lengths_are_one_node(text):
    """A length typed in a fence is read whole, so that the finding can underline all of it."""
    tree = expression(f"a + {text}")
    assert tree.right == nodes.LengthLiteral(text, Span("box.md", 1, 5, len(text)))


def test_a_length_is_not_read_out_of_a_name():
    """Units count only behind a number."""
    assert shown(expression("mm + m * in_all")) == "(mm + (m * in_all))"


def test_statements():
    """A statement names something or is a bare call.

    A newline ends it unless a bracket is open; # begins a comment.
    """
    found = statements("# the strip\nstrip = sheet(width=a,   # wide\n   height=b)\n\nfold(strip)  # over\n")
    assert [(s.name, shown(s.value)) for s in found] == [("strip", "sheet(width=a, height=b)"),
                                                         (None, "fold(strip)")]
    assert found[0].text == "strip = sheet(width=a,   # wide\n   height=b)"
    assert found[1].text == "fold(strip)"


def test_spans_are_true():
    """Every node knows its line and column; what runs over lines is cut at the end of its first."""
    fence = "x = 1\n  top  = cut(strip, at=a +\n    -bb)"
    statement = parse_fence(fence, "box.md", 20)[0][1]
    assert statement.name_span == Span("box.md", 21, 3, 3)
    assert statement.span == Span("box.md", 21, 3, 3)
    call = statement.value
    assert (call.name_span, call.args[0].span) == (Span("box.md", 21, 10, 3), Span("box.md", 21, 14, 5))
    added = call.keywords[0].value
    assert call.keywords[0].span == Span("box.md", 21, 21, 2)
    assert (added.span, added.op_span) == (Span("box.md", 21, 24, 1), Span("box.md", 21, 26, 1))
    assert added.right.span == Span("box.md", 22, 5, 3)


def test_first_column_moves_every_line():
    """A fence whose lines begin at another column gives columns of the file."""
    found, _ = parse_fence("a = f(b)\nc = f(d)", "box.md", 7, 5)
    assert [s.span for s in found] == [Span("box.md", 7, 5, 8), Span("box.md", 8, 5, 8)]


def test_an_expression_in_prose_may_run_over_lines():
    """The braces are a bracket; columns of the first line count from where the text begins."""
    tree, findings = parse_expression("plural(n,\n 'x')".replace("'", '"'), Span("box.md", 4, 10))
    assert not findings
    assert (tree.args[0].span, tree.args[1].span) == (Span("box.md", 4, 17, 1), Span("box.md", 5, 2, 3))


def test_the_caddy_reads():
    """All fences of the first tutorial read, and each statement gives back its own text."""
    from_source = source("", CADDY.partition("\n---\n")[2])
    texts = [fence.statements_text for step in from_source.steps for fence in step.fences]
    found = [s for text in texts for s in statements(text)]
    assert [s.name for s in found] == ["strip", "foot_line", "shoulder", "panels", "peaks", "curves", None]
    assert all(s.text in text for text in texts for s in statements(text))


# --- against a reader from outside: Python's own, whose rules for these operators are the same
# (The Python Language Reference, 6.17 "Operator precedence").

_numbers = st.integers(0, 9).map(str)
_sums = st.recursive(_numbers, lambda inner: st.one_of(
    st.tuples(inner, st.sampled_from("+-*"), inner).map(" ".join), inner.map("-{}".format),
    inner.map("({})".format)),
    max_leaves=12)
_conditions = st.recursive(st.tuples(_sums, st.sampled_from(["<", "<=", ">", ">=", "==", "!="]),
                                     _sums).map(" ".join),
                           lambda inner: st.one_of(st.tuples(inner, st.sampled_from(["and", "or"]),
                                                             inner).map(" ".join),
                                                   inner.map("not {}".format), inner.map("({})".format)),
                           max_leaves=6)
_ORDER = {"<": lambda a, b: a < b, "<=": lambda a, b: a <= b, ">": lambda a, b: a > b, ">=": lambda a,
          b: a >= b,
          "==": lambda a, b: a == b, "!=": lambda a, b: a != b}


def worked_out(tree):
    """The value of a tree of plain numbers."""
    match tree:
        case nodes.NumberLiteral(value=value):
            return value
        case nodes.Negative(of=of):
            return -worked_out(of)
        case nodes.Not(of=of):
            return not worked_out(of)
        case nodes.Binary(op=op, left=left, right=right):
            a, b = worked_out(left), worked_out(right)
            return {"+": a + b, "-": a - b, "*": a * b}[op]
        case nodes.Logic(op=op, left=left, right=right):
            return (worked_out(left) and worked_out(right) if op == "and" else worked_out(left)
                    or worked_out(right))
        case nodes.Comparison(first=first, rest=rest):
            values = [worked_out(first), *(worked_out(e) for _, e in rest)]
            return all(_ORDER[op](a, b) for (op, _), a, b in zip(rest, values, values[1:], strict=False))


@settings(deadline=None, max_examples=examples(150))
@given(st.one_of(_sums, _conditions))
def test_sums_and_conditions_agree_with_python(text):
    """Precedence, grouping to the left and chains of comparisons come out as Python works them out."""
    tree, findings = parse_expression(text, Span("box.md"))
    if findings:
        assert {f.code for f in findings} == {"too-deep"}
    else:
        assert worked_out(tree) == eval(text)   # only digits, signs and joining words can stand in it


@settings(deadline=None, max_examples=examples(60))
@given(st.integers(0, 999), st.integers(0, 999), st.integers(1, 64))
def test_numbers_are_exact(whole, top, bottom):
    """Decimals and fractions of degrees are kept as fractions."""
    assert expression(f"{whole}.{top:03}").value == Fraction(whole) + Fraction(top, 1000)
    assert expression(f"{whole} {top}/{bottom} deg").degrees == whole + Fraction(top, bottom)
