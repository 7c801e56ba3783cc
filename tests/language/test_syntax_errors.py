"""What is said of statements that do not read, and where the reading goes on."""
from __future__ import annotations

import pytest

from generator.findings import Span
from generator.language.syntax.parser import parse_expression, parse_fence
from tests.language.parsing_helpers import shown, statements, told, wrong


@pytest.mark.parametrize(("text", "column", "message", "hint"), [
    ("a = b = c", 7, "used twice", "write =="),
    ("a = (b", 5, "never closed", "put a ) behind “b” in line 1"),
    ("a = f(b))", 9, "closes nothing", "take it out"),
    ("a = f(b]", 8, "cannot close “(”", "write )"),
    ("a == b", 1, "neither names something nor works on paper", "write a = … with one ="),
    ("a", 1, "neither names", "write name ="),
    ("a = + b", 5, "a value is missing before “+”", "take the + out"),
    ("a = b +", 7, "a value is missing behind “+”", "finish the line"),
    ("a = * b", 5, "a value is missing before “*”", ""),
    ("a = b ** 2", 8, "“**” is not a sign", "write a*a"),
    ("a: b", 1, "“:” stands behind “a”", "write a = …"),
    ("a = f(b: c)", 8, "“:” has no meaning", "write ="),
    ("a = 2 panel", 7, "a sign is missing between “2” and “panel”", "write 2*panel"),
    ("a = 2(b)", 6, "“2” cannot be called", "write 2*("),
    ("a = b.c(d)", 8, "“c” cannot be called", "only a plain name"),
    ("a = f(b)(c)", 9, "cannot be called", "only a plain name"),
    ("a = 60 degrees", 8, "not a unit", "write 60 deg"),
    ("a = f(b c)", 9, "a comma or a sign is missing between “b” and “c”", "close it"),
    ("a = f(b, b=1, c)", 15, "what has no name stands behind", "put it first"),
    ("a, b = c", 2, "a comma stands outside of brackets", "a line of its own"),
    ("a = (b, c)", 7, "brackets that belong to no call", "as in max(a, b)"),
    ("a = b..c..d", 9, "a span has two ends", "write a..b"),
    ("a = f(b =< c)", 9, "“=<” does not compare", "write <="),
    ("expect(b => c)", 10, "“=>” does not compare", "write >="),
    ("a = b[]", 7, "which one is meant", ""),
    ("a = [b]", 5, "a value is missing before “[”", "write group("),
    ("a = .5", 5, "a value is missing", "0.5"),
    ("a = b.", 6, "the name of a property is missing", ""),
    ("a = b + not c", 9, "“not” stands in the middle", "brackets"),
    ("Panel = b", 1, "“Panel” cannot be a name", "small letters"),
    ("and = b", 1, "cannot be a name", "another name"),
    ("f(a.b = c)", 7, "not a plain name", "write =="),
    ("a = 1/0 deg", 5, "divides by nothing", ""),
])
def test_a_wrong_statement_says_where_and_what_to_do(text, column, message, hint):
    """One finding a mistake, at the sign that is wrong, with what would mend it."""
    found = wrong(text)
    assert [f.column for f in found] == [column], found
    assert message in found[0].message and hint in found[0].hint


@pytest.mark.parametrize(("text", "sign", "instead"), [
    ("a = b × c", "×", "*"), ("a = b − c", "−", "-"), ("a = b – c", "–", "-"), ("a = b ÷ c", "÷", "/"),
    ("expect(a ≤ b)", "≤", "<="), ("expect(a ≠ b)", "≠", "!="), ("a = b…c", "…", ".."),
])
def test_pasted_signs(text, sign, instead):
    """A sign from a word processor is named with the one to type, and the statement is read all the same."""
    found, findings = parse_fence(text, "box.md", 1)
    assert told(findings) == [("sign-unknown", 1, text.index(sign) + 1)]
    assert f"type {instead} instead" in findings[0].hint
    assert shown(found[0].value) == shown(statements(text.replace(sign, instead))[0].value)


@pytest.mark.parametrize("words", ["“so”", "„so“", "‘so’", "'so'", "«so»"])
def test_pasted_quotes(words):
    """Curly or single quotes are words all the same, and one finding says which sign to type."""
    found, findings = parse_fence(f"expect(a, because={words})", "box.md", 1)
    assert told(findings) == [("sign-unknown", 1, 19)]
    assert 'type "' in findings[0].hint
    assert found[0].value.keywords[0].value.value == "so"


@pytest.mark.parametrize(("text", "hint"),
                         [("a = f(b);", "one statement a line"), ("a = b^2", "a*a"), ("a = b²", "a*a"),
                                            ("a = 60°", "60 deg"), ("a = b & c", "the word and"),
                          ("a = b % 2", "100"),
                                            ("a = {{ b }}", "prose"), ("a = ½", "1/2"),
                          ("a = f(b\u200b)", "delete it"),
                                            ("a = fuß", "letters a to z")])
def test_signs_the_language_does_not_have(text, hint):
    """Each is named once in its line, with what to do instead."""
    found = wrong(text)
    assert {f.code for f in found} == {"sign-unknown"}
    assert hint in found[0].hint


def test_words_that_are_never_ended():
    """A quotation mark without its second one is one finding, and what stands below is read."""
    found, findings = parse_fence('a = f("b)\nc = g(d)', "box.md", 1)
    assert told(findings) == [("words-wrong", 1, 7)]
    assert [s.name for s in found] == ["c"]


def test_all_wrong_statements_are_reported():
    """The reading goes on with the next statement, and the good ones are kept."""
    found, findings = parse_fence("a = = b\nc = f(d)\ne = 2 g\nh = f(i)", "box.md", 1)
    assert [s.name for s in found] == ["c", "h"]
    assert [f.line for f in findings] == [1, 3]


@pytest.mark.parametrize("text", [
    "a = f(b, c=d\ne = f(g)\nh = f(i)",
    "a = f(b,\n      c=d\ne = f(g)\nh = f(i)",
    "a = f(b, c=d,\ne = f(g)\nh = f(i)",
    "a = (b + c\ne = f(g)\nh = f(i)",
])
def test_a_bracket_left_open_does_not_swallow_what_follows(text):
    """It is reported where it was opened, and the statements below it are read."""
    found, findings = parse_fence(text, "box.md", 1)
    assert [s.name for s in found] == ["e", "h"]
    assert [(f.code, f.line) for f in findings] == [("words-wrong", 1)]
    assert "never closed" in findings[0].message


def test_a_mistake_within_a_long_call_costs_one_finding():
    """The lines that belong to the wrong call are passed over."""
    found, findings = parse_fence("a = f(b,\n    c=d +* e,\n    g=h)\ni = f(j)", "box.md", 1)
    assert [s.name for s in found] == ["i"]
    assert [(f.line, f.column) for f in findings] == [(2, 10)]


def test_a_parameter_given_twice():
    """The second one is the finding."""
    assert told(wrong("a = f(b=c, b=d)")) == [("call-parameter", 1, 12)]


def test_prose_holds_no_statement():
    """A name is not given a meaning within braces."""
    tree, findings = parse_expression("a = 3", Span("box.md", 4, 10))
    assert tree is None
    assert told(findings) == [("words-wrong", 4, 10)]
    assert "fence" in findings[0].hint


def test_empty_fences_are_nothing():
    """Nothing, blank lines and comments make no statement and no finding."""
    assert statements("") == statements("\n  \n# a comment\n") == ()
