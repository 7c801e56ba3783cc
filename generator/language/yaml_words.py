"""What the YAML reader complains of, in words that a person who writes tutorials can use."""
from __future__ import annotations

import re

import yaml

from generator.findings import Finding, finding
from generator.language.stretches import Stretches

_QUOTES = "put quotes around text that holds a colon, or that begins with a sign other than a letter or digit"
# (in the reader's problem or context, what we say, what would mend it, is the place where it began the better one?)
_KNOWN = (
    ("mapping values are not allowed", "a colon too many, or a line that is indented too far", _QUOTES, False),
    ("could not find expected ':'", "a key without a colon", "write key: value, with a space behind the colon", True),
    ("unexpected end of stream", "quotes that are never closed", "put the second quote at the end of the text", True),
    ("unknown escape", "a \\ within double quotes", "use single quotes ' around text that holds a \\", False),
    ("expected ',' or '}'", "a { that is never closed, or a comma that is missing", "close it with }", True),
    ("expected ',' or ']'", "a [ that is never closed, or a comma that is missing", "close it with ]", True),
    ("expected <block end>", "a line that is not indented like those around it", "let all keys of one kind begin in one column", False),
    ("did not find expected key", "a line that is not indented like those around it, or words behind a closing quote",
     "let all keys of one kind begin in one column; quote the whole text or nothing of it", False),
    ("did not find expected '-'", "a line that does not belong to the list around it", _QUOTES, False),
    ("expected node content", "a bracket or comma where a value must stand", _QUOTES, False),
    ("depth", "this is nested more deeply than front matter can be", "take the inner brackets out", False),
    ("directive", "a line that begins with %", "take it out", False),
    ("incompatible YAML document", "a line that begins with %", "take it out", False),
)


def in_our_words(error: yaml.YAMLError, text: str, where: Stretches) -> Finding:
    """The finding for an error of the YAML reader; ``text`` is what it read."""
    problem = f"{getattr(error, 'problem', None) or ''} {getattr(error, 'context', None) or ''}"
    mark, begun = getattr(error, "problem_mark", None), getattr(error, "context_mark", None)
    message, hint, at_start = _said(problem, mark, text)
    place = begun if at_start and begun is not None else mark
    index = min(place.index if place is not None else 0, max(len(text) - 1, 0))
    while index > 0 and text[index] == "\n" and not at_start:
        index -= 1      # the end of the text is no place to look at; its last sign is
    rows, at = text.split("\n"), text.count("\n", 0, index)
    if "mapping values are not allowed" in problem:
        message, hint = _colon(rows, at, message, hint)
    if "{{" in rows[at]:
        hint = "put quotes around text that holds {{ … }}"
    return finding("front-broken", where.span(index, index + 1), message, hint)


def _colon(rows: list[str], at: int, message: str, hint: str) -> tuple[str, str]:
    """Tell a second colon in one line from a line that is indented below a value."""
    if ": " in rows[at][:rows[at].rfind(":")]:
        return "a second colon in one line", "put quotes around text that holds a colon"
    above = next((row for row in reversed(rows[:at]) if row.strip()), "")
    if _indent(rows[at]) > _indent(above) and not above.rstrip().endswith(":"):
        return "this line is indented below one that has its value already", "let both begin in one column"
    return message, hint


def _indent(row: str) -> int:
    return len(row) - len(row.lstrip())


def _said(problem: str, mark: yaml.Mark | None, text: str) -> tuple[str, str, bool]:
    """The message, the hint, and whether the place where the thing began is the better one."""
    if "cannot start any token" in problem and mark is not None:
        sign = text[mark.index:mark.index + 1]
        if sign == "\t":
            return "a tab stands here", "indent with spaces", False
        return f"“{sign}” cannot begin a value", "put quotes around the text", False
    if mark is not None and re.match(" *\t", text.split("\n")[text.count("\n", 0, mark.index)]):
        return "this line is indented with a tab", "indent with spaces", False
    for known, message, hint, at_start in _KNOWN:
        if known in problem:
            return message, hint, at_start
    return "the front matter does not read from here on", _QUOTES, False
