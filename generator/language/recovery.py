"""Where to go on reading after a statement that is wrong."""
from __future__ import annotations

from generator.language.tokens import Token

_GOES_ON = frozenset(", + - * / .. . < <= > >= == != = ( [ and or not".split())


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


def names_made(tokens: tuple[Token, ...], begin: int) -> set[str]:
    """The names that the line of a wrong statement seems to give: each plain name before a lone = outside of brackets."""
    found, depth, at = set(), 0, begin
    while tokens[at].kind not in ("newline", "end", "cut"):
        if tokens[at].kind == "sign":
            depth += (tokens[at].text in "([") - (tokens[at].text in ")]")
        elif tokens[at].kind == "name" and depth <= 0 and tokens[at + 1].text in ("=", "==", ":", ","):
            found.add(tokens[at].text)
        at += 1
    return found


def begins_statement(tokens: tuple[Token, ...], at: int, first: Token) -> bool:
    """Does the line whose first token is ``at`` look like a statement of its own, and not like a part of one?

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
    return depth > 0 or tokens[at - 1].text not in _GOES_ON
