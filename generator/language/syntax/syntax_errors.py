"""What the parser says about words that do not read, and what would mend them.

Where to go on reading after a statement that is wrong.
"""
from __future__ import annotations

import re

from generator.findings import Finding, FindingError, Span, finding, finding_error
from generator.language.syntax.nodes import Comparison, Expr, Logic, Name, Not
from generator.language.syntax.tokens import MAX_TOKEN_LENGTH, Token

_NAME_PATTERN = re.compile(r"[a-z][a-z0-9_]*\Z")
_VALUE_KINDS = ("number", "name", "text", "angle", "length")


def quoted_token(token: Token) -> str:
    """A token as a message quotes it."""
    if token.kind in ("newline", "end"):
        return "the end of the line"
    text = f'"{token.text}"' if token.kind == "text" else token.text
    return f"“{text if len(text) <= MAX_TOKEN_LENGTH else text[:MAX_TOKEN_LENGTH] + '…'}”"


def expected(what: str, before: Token | None, token: Token, file: str) -> FindingError:
    """Something else stands where ``what`` must stand."""
    if (reported := _reported_already(token, file)) is not None:
        return reported
    if token.kind in ("newline", "end"):
        place = (before or token).span(file)
        behind = f" behind {quoted_token(before)}" if before else ""
        return finding_error("words-wrong", place, f"{what} is missing{behind}",
                             "finish the line, or take it out")
    if before is not None and before.text == token.text == "*":
        return finding_error("words-wrong", token.span(file), "“**” is not a sign of this language",
                       "write a*a for a square")
    if before is not None and before.text == "=" and token.text in ("<", ">"):
        return turned_comparison(before, token, file)
    hint = {"=": "write == to compare; a name is given once, at the start of a statement",
            "+": "take the + out; a value without a sign is above nothing already",
            ".": "a number below one begins with 0, as in 0.5; a span is written a..b with two full stops",
            ",": "take one comma out, or write what is missing before it",
            "*": "write what is multiplied before it", "/": "write what is divided before it",
            "[": "write group(…) with what belongs together; [ ] stand behind a name and select from "
                 "it"}.get(token.text, "")
    return finding_error("words-wrong", token.span(file), f"{what} is missing before {quoted_token(token)}",
                         hint)


def stray_token(before: Token, token: Token, file: str, named: bool,
                opening: Token | None = None) -> FindingError:
    """``token`` stands behind an expression that is complete.

    ``named`` when a name or a bracket stands before it.
    """
    if (reported := _reported_already(token, file)) is not None:
        return reported
    place = token.span(file)
    if token.text == "=" and token.kind == "sign":
        return _second_equals(place, named and opening is None)
    if token.kind == "sign" and token.text in (")", "]"):
        return _mismatched_bracket(place, token, opening)
    if token.text == ":":
        return finding_error("words-wrong", place, "“:” has no meaning here",
                       "write = between a name and what it stands for")
    if token.text == "," and before.kind == "number":
        return finding_error("words-wrong", place, "a comma stands behind a number, outside of brackets",
                       "numbers are written with a point, as in 0.5")
    if token.text == ",":
        return finding_error("words-wrong", place, "a comma stands outside of brackets",
                       "a statement makes one thing: write each on a line of its own")
    if before.kind == "number" and token.kind == "name":
        return _number_then_name(before, token, file)
    if token.kind in _VALUE_KINDS and before.kind in _VALUE_KINDS or opening is not None:
        between = "a comma or a sign" if opening is not None and opening.text == "(" else "a sign"
        return finding_error("words-wrong", place,
                       f"{between} is missing between {quoted_token(before)} and {quoted_token(token)}",
                       "" if opening is None else f"if the “{opening.text}” ends here, close it")
    return finding_error("words-wrong", place, f"{quoted_token(token)} is one too many here", "take it out")


def _reported_already(token: Token, file: str) -> FindingError | None:
    if token.kind == "wrong":
        return FindingError()
    return FindingError(too_much(token.span(file))) if token.kind == "cut" else None


def _second_equals(place: Span, twice: bool) -> FindingError:
    if not twice:
        return finding_error("words-wrong", place, "“=” stands behind something that is not a plain name",
                       "write ==, <= or >= to compare; only a plain name can be given a meaning with =")
    return finding_error("words-wrong", place, "“=” is used twice in one statement",
                   "write ==, <= or >= to compare, or give each name a line of its own")


def _mismatched_bracket(place: Span, token: Token, opening: Token | None) -> FindingError:
    if opening is None:
        return finding_error("words-wrong", place, f"this {quoted_token(token)} closes nothing",
                       "take it out, or open it before")
    closing = ")" if opening.text == "(" else "]"
    return finding_error("words-wrong", place, f"{quoted_token(token)} cannot close {quoted_token(opening)}",
                   f"write {closing} here")


def _number_then_name(before: Token, token: Token, file: str) -> FindingError:
    if token.text in ("degree", "degrees", "rad"):
        return finding_error("words-wrong", token.span(file),
                       f"{quoted_token(token)} is not a unit of this language", f"write {before.text} deg")
    return finding_error("words-wrong", token.span(file),
                   f"a sign is missing between {quoted_token(before)} and {quoted_token(token)}",
                   f"write {before.text}*{token.text} if you mean so many times")


def never_closed(opening: Token, last: Token, file: str) -> FindingError:
    """A bracket that is opened and not closed."""
    closing = ")" if opening.text == "(" else "]"
    end = f"behind {quoted_token(last)} in line" if last.kind in _VALUE_KINDS else "at the end of line"
    return finding_error("words-wrong", opening.span(file), f"this {quoted_token(opening)} is never closed",
                   f"put a {closing} {end} {last.line}, if that is where it ends")


def not_callable(before: Token, token: Token, file: str) -> FindingError:
    """A bracket behind something that cannot be called."""
    hint = "only a plain name can be called, as in words(n)"
    if before.kind == "number":
        hint = f"write {before.text}*( … if you mean so many times"
    elif before.text in (")", "]"):
        hint = f"write * before the ( if you mean so many times; {hint}"
    return finding_error("words-wrong", token.span(file), f"{quoted_token(before)} cannot be called", hint)


def checked_name(token: Token, file: str, taken: frozenset[str]) -> str:
    """The name a statement gives; raises Trouble unless it is small letters, digits and _."""
    if token.text in taken:
        raise finding_error("words-wrong", token.span(file),
                      f"“{token.text}” joins conditions and cannot be a name", "choose another name")
    if not _NAME_PATTERN.match(token.text):
        raise finding_error("words-wrong", token.span(file), f"{quoted_token(token)} cannot be a name",
                      f"names are written in small letters and begin with one: {suggested_name(token.text)}")
    return token.text


def suggested_name(name: str) -> str:
    """The nearest good name to a bad one."""
    return re.sub(r"[^a-z0-9_]", "_", name.lower())[:MAX_TOKEN_LENGTH].lstrip("_0123456789") or "a_name"


def colon_after_name(token: Token, file: str) -> FindingError:
    """A colon where a statement needs an equals sign."""
    return finding_error("words-wrong", token.span(file), f"“:” stands behind {quoted_token(token)}",
                   f"write {token.text} = …; the colon belongs to the front matter")


def turned_comparison(op: Token, token: Token, file: str) -> FindingError:
    """A comparison sign that is written the wrong way round."""
    meant = {"=<": "<=", "=>": ">=", "<>": "!=", "===": "=="}.get(op.text + token.text,
                                                                  "one of < <= > >= == !=")
    return finding_error("words-wrong", op.span(file).to(token.span(file)),
                   f"“{op.text}{token.text}” does not compare", f"write {meant}")


def not_a_statement(value: Expr) -> FindingError:
    """A line that is a value and does nothing with it."""
    hint = "write name = … to name it, or take it out"
    if isinstance(value, Comparison) and isinstance(value.first, Name) and value.rest[0][0] == "==":
        hint = (f"write {value.first.name} = … with one = to name something; "
                "what must hold stands in expect(…)")
    elif isinstance(value, Comparison | Logic | Not):
        hint = "put what must hold into expect(…), or take it out"
    return finding_error("words-wrong", value.span, "this line neither names something nor works on paper",
                         hint)


def statement_in_prose(span: Span) -> FindingError:
    """An assignment between the braces of prose."""
    return finding_error("words-wrong", span, "a name is given a meaning in prose",
                   "name it in a geometry fence and write the name alone here (== compares)")


def bracketed_not(span: Span) -> FindingError:
    """A ``not`` that needs brackets round what it negates."""
    return finding_error("words-wrong", span, "“not” stands in the middle of a sum or comparison",
                   "put it and what it denies in brackets")


def second_span(span: Span) -> FindingError:
    """A span with more than two ends."""
    return finding_error("words-wrong", span, "a span has two ends, and this has more", "write a..b")


def comma_in_brackets(span: Span) -> FindingError:
    """A comma in brackets that belong to no call."""
    return finding_error("words-wrong", span, "a comma stands in brackets that belong to no call",
                   "put the name of a call before the bracket, as in max(a, b)")


def late_argument(span: Span) -> FindingError:
    """A positional argument behind a named one."""
    return finding_error("words-wrong", span, "what has no name stands behind what has one",
                   "put it first in the brackets, or give it its name with =")


def too_deep(span: Span) -> FindingError:
    """An expression nested beyond the limit of depth."""
    return finding_error("too-deep", span, "this is nested, or goes on, more deeply than can be followed",
                   "give parts of it names in statements of their own")


def too_much(span: Span) -> Finding:
    """A source with more statements or findings than are read."""
    return finding("too-much", span, "the rest is not read: there is more here than a box can need",
                   "mend what is listed first, or make the fence shorter")


_CONTINUING_SIGNS = frozenset(
    [",", "+", "-", "*", "/", "..", ".", "<", "<=", ">", ">=", "==", "!=", "=", "(", "[", "and", "or", "not"])


def next_statement(tokens: tuple[Token, ...], begin: int, at: int, still_open: tuple[Token, ...]) -> int:
    """The place of the newline (or end) to go on from, always behind ``begin``.

    ``begin`` is the first token of the wrong statement, ``at`` the token where
    the reading stopped, ``still_open`` the brackets open there. A bracket that
    is never closed must not swallow the statements below it: from its line on,
    the first line that looks like a statement ends the wrong one.
    """
    depth = len(still_open)
    if depth and (tokens[at].kind == "end" or begins_statement(tokens, at, still_open[0])):
        at, depth = tokens.index(still_open[0]), 1
    at = max(at, begin)
    while tokens[at].kind not in ("end", "cut"):
        if tokens[at].kind == "newline" and (depth <= 0 or begins_statement(tokens, at + 1, tokens[begin])):
            return at
        if tokens[at].kind == "sign":
            depth += (tokens[at].text in "([") - (tokens[at].text in ")]")
        at += 1
    return at


def assigned_names(tokens: tuple[Token, ...], begin: int) -> set[str]:
    """The names that the line of a wrong statement seems to give.

    Each plain name before a lone = outside of brackets.
    """
    found, depth, at = set(), 0, begin
    while tokens[at].kind not in ("newline", "end", "cut"):
        if tokens[at].kind == "sign":
            depth += (tokens[at].text in "([") - (tokens[at].text in ")]")
        elif tokens[at].kind == "name" and depth <= 0 and tokens[at + 1].text in ("=", "==", ":", ","):
            found.add(tokens[at].text)
        at += 1
    return found


def begins_statement(tokens: tuple[Token, ...], at: int, first: Token) -> bool:
    """True where the line whose first token is ``at`` is a statement of its own, not a part of one.

    It must not be indented more than ``first`` is, must start like a
    statement, must not close brackets that it has not opened, and must not
    end as an argument ends.
    """
    head = tokens[at]
    if at == 0 or tokens[at - 1].kind != "newline" or head.kind != "name" or head.column > first.column:
        return False
    if tokens[at + 1].kind != "sign" or tokens[at + 1].text not in ("=", "("):
        return False
    depth = 0
    while tokens[at].kind not in ("newline", "end", "cut"):
        if tokens[at].kind == "sign":
            depth += (tokens[at].text in "([") - (tokens[at].text in ")]")
        if depth < 0:
            return False
        at += 1
    return depth > 0 or tokens[at - 1].text not in _CONTINUING_SIGNS
