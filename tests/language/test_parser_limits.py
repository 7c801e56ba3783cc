"""A source that would work for ever is a finding within a second, and no tree is too high to walk."""
from __future__ import annotations

import dataclasses
import sys

import pytest

from generator.findings import Span, has_errors
from generator.language.syntax import parser, tokens
from generator.language.syntax.parser import MAX_TREE_HEIGHT, parse_expression, parse_fence
from tests.language.parsing_helpers import told
from tests.time_limits import within

pytestmark = pytest.mark.slow
MANY = 200_000


@pytest.mark.parametrize("text", [
    "-" * MANY, "a = " + "-" * MANY + "b", "(" * MANY, ")" * MANY, "a = f" + "(" * MANY, "a = " + "[" * MANY,
    "a = " + "f(" * MANY, "a = " + "not " * MANY + "b", "a = b" + ".c" * MANY, "a = b" + "[1]" * MANY,
    "a = 1" + "+1" * MANY, "a = 1" + "<1" * MANY, "a = 1" + "/(1" * MANY, "9" * MANY, "1." * MANY,
    "1/" * MANY,
    "a" * MANY + " = b", '"' * MANY, "{" * MANY, "{}" * MANY, "“" * MANY, "=\n" * MANY, "a = f(b,\n" * MANY,
    "a = f(\nb\n" * MANY, "1 " * MANY, "a\n" * MANY, "\u200b" * MANY,
], ids=lambda text: text[:12].encode("unicode_escape").decode())
def test_two_hundred_thousand_of_anything(text):
    """Reported within a second of work, whatever is repeated."""
    with within(1):
        found, findings = parse_fence(text, "box.md", 1)
    assert has_errors(findings)
    assert len(findings) < 200
    assert found == ()


@pytest.mark.parametrize("text", ["-" * MANY + "a", "(" * MANY, "f(" * MANY, "not " * MANY])
def test_prose_has_the_same_limits(text):
    """An expression in braces cannot run deeper than one in a fence."""
    tree, findings = parse_expression(text, Span("box.md", 3, 5))
    assert tree is None
    assert told(findings)[0][0] == "too-deep"


@pytest.mark.parametrize("part", ["-", "(", "f(", "not ", "1+(", "a[", "1 < f(b="])
def test_the_limit_is_what_it_says(part):
    """Half of the deepest nesting is well within reach of any plan, and twice of it is not."""
    closing = {"(": ")", "[": "]", "=": ")"}.get(part[-1], "")
    few, many = MAX_TREE_HEIGHT // 4, MAX_TREE_HEIGHT * 2
    assert parse_expression(part * few + "1" + closing * few, Span("box.md"))[0] is not None
    assert told(parse_expression(part * many + "1" + closing * many, Span("box.md"))[1])[0][0] == "too-deep"


def height(node) -> int:
    """Levels of a tree, counted over all fields without recursion."""
    deepest, left = 0, [(node, 1)]
    while left:
        at, level = left.pop()
        if isinstance(at, tuple):
            left += [(part, level) for part in at]
        elif dataclasses.is_dataclass(at) and not isinstance(at, Span):
            deepest = max(deepest, level)
            nested = 0 if type(at).__name__ == "Keyword" else 1
            left += [(getattr(at, f.name), level + nested) for f in dataclasses.fields(at)]
    return deepest


@pytest.mark.parametrize("text", ["+".join("1" * MAX_TREE_HEIGHT), "a" + ".b" * (MAX_TREE_HEIGHT - 1),
                                  "-" * (MAX_TREE_HEIGHT - 1) + "a"])
def test_no_tree_is_higher_than_the_limit(text):
    """A chain counts like a nest, since whatever walks the tree goes down it."""
    assert height(parse_expression(text, Span("box.md"))[0]) == MAX_TREE_HEIGHT
    assert told(parse_expression(text + (".b" if "b" in text else "+1+1"),
                                 Span("box.md"))[1])[0][0] == "too-deep"


def test_deep_sources_leave_the_stack_alone():
    """The deepest source that reads needs less than half of the stack that a program has by default."""
    before = sys.getrecursionlimit()
    text = "a = " + "1+(" * (MAX_TREE_HEIGHT // 2 - 1) + "1" + ")" * (MAX_TREE_HEIGHT // 2 - 1)
    frames, frame = 0, sys._getframe()
    while frame is not None:
        frames, frame = frames + 1, frame.f_back
    try:
        sys.setrecursionlimit(frames + 500)
        assert parse_fence(text, "box.md", 1)[1] == ()
    finally:
        sys.setrecursionlimit(before)


def test_a_fence_of_too_many_words_is_cut():
    """What was read before the limit is kept; the finding says where the rest begins."""
    line = "a = f(b)\n"
    lines = tokens.MAX_TOKENS // 7 + 10
    found, findings = parse_fence(line * lines, "box.md", 1)
    assert [f.code for f in findings] == ["too-much"]
    assert findings[0].line == len(found) + 1
    assert len(found) == tokens.MAX_TOKENS // 7


def test_a_fence_of_wrong_lines_is_cut():
    """After forty wrong statements the author knows."""
    findings = parse_fence("a = = b\n" * 100, "box.md", 1)[1]
    assert [f.code for f in findings] == ["words-wrong"] * parser.MAX_WRONG_STATEMENTS + ["too-much"]
