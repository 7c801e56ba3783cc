"""What the YAML reader complains of, in words that a person who writes tutorials can use.

Front matter as plain data, with the place of every key and value.

Only the plain part of YAML is read: mappings, lists and single values. What
could work for ever or make anything but data is refused before it is built.
"""
from __future__ import annotations

import re
from collections.abc import Iterator

import yaml

from generator.dataclass import dataclass, field
from generator.findings import Finding, Span, finding
from generator.language.source.records import FrontMatterText, TextPositions
from generator.language.source.text_limits import hidden_character, hidden_character_finding

_QUOTES_HINT = ("put quotes around text that holds a colon, or that begins with a sign other than a letter "
                "or digit")
# (in the reader's problem or context, what we say, what would mend it, is the place where it began the better
# one?)
_KNOWN_PROBLEMS = (
    ("mapping values are not allowed", "a colon too many, or a line that is indented too far", _QUOTES_HINT,
     False),
    ("could not find expected ':'", "a key without a colon",
     "write key: value, with a space behind the colon", True),
    ("unexpected end of stream", "quotes that are never closed",
     "put the second quote at the end of the text", True),
    ("unknown escape", "a \\ within double quotes", "use single quotes ' around text that holds a \\", False),
    ("expected ',' or '}'", "a { that is never closed, or a comma that is missing", "close it with }", True),
    ("expected ',' or ']'", "a [ that is never closed, or a comma that is missing", "close it with ]", True),
    ("expected <block end>", "a line that is not indented like those around it",
     "let all keys of one kind begin in one column", False),
    ("did not find expected key",
     "a line that is not indented like those around it, or words behind a closing quote",
     "let all keys of one kind begin in one column; quote the whole text or nothing of it", False),
    ("did not find expected '-'", "a line that does not belong to the list around it", _QUOTES_HINT, False),
    ("expected node content", "a bracket or comma where a value must stand", _QUOTES_HINT, False),
    ("depth", "this is nested more deeply than front matter can be", "take the inner brackets out", False),
    ("directive", "a line that begins with %", "take it out", False),
    ("incompatible YAML document", "a line that begins with %", "take it out", False),
)


def yaml_error_finding(error: yaml.YAMLError, text: str, where: TextPositions) -> Finding:
    """The finding for an error of the YAML reader; ``text`` is what it read."""
    problem = f"{getattr(error, 'problem', None) or ''} {getattr(error, 'context', None) or ''}"
    mark, begun = getattr(error, "problem_mark", None), getattr(error, "context_mark", None)
    message, hint, at_start = _problem_message(problem, mark, text)
    place = begun if at_start and begun is not None else mark
    index = min(place.index if place is not None else 0, max(len(text) - 1, 0))
    while index > 0 and text[index] == "\n" and not at_start:
        index -= 1      # the end of the text is no place to look at; its last sign is
    rows, at = text.split("\n"), text.count("\n", 0, index)
    if "mapping values are not allowed" in problem:
        message, hint = _colon_message(rows, at, message, hint)
    if "{{" in rows[at]:
        hint = "put quotes around text that holds {{ … }}"
    return finding("front-broken", where.span(index, index + 1), message, hint)


def _colon_message(rows: list[str], at: int, message: str, hint: str) -> tuple[str, str]:
    """Tell a second colon in one line from a line that is indented below a value."""
    if ": " in rows[at][:rows[at].rfind(":")]:
        return "a second colon in one line", "put quotes around text that holds a colon"
    above = next((row for row in reversed(rows[:at]) if row.strip()), "")
    if _indent(rows[at]) > _indent(above) and not above.rstrip().endswith(":"):
        return "this line is indented below one that has its value already", "let both begin in one column"
    return message, hint


def _indent(row: str) -> int:
    return len(row) - len(row.lstrip())


def _problem_message(problem: str, mark: yaml.Mark | None, text: str) -> tuple[str, str, bool]:
    """The message, the hint, and whether the place where the thing began is the better one."""
    if "cannot start any token" in problem and mark is not None:
        sign = text[mark.index:mark.index + 1]
        if sign == "\t":
            return "a tab stands here", "indent with spaces", False
        return f"“{sign}” cannot begin a value", "put quotes around the text", False
    if mark is not None and re.match(" *\t", text.split("\n")[text.count("\n", 0, mark.index)]):
        return "this line is indented with a tab", "indent with spaces", False
    for known, message, hint, at_start in _KNOWN_PROBLEMS:
        if known in problem:
            return message, hint, at_start
    return "the front matter does not read from here on", _QUOTES_HINT, False


MAX_LENGTH = 50_000    # signs of front matter; a long one has 2,000
MAX_DEPTH = 8         # levels; the deepest that means anything is 3
MAX_REFUSALS = 20     # things refused that are listed
LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_UNREADABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

KeyPath = tuple[str | int, ...]


@dataclass(slots=True)
class YamlTree:
    """``data`` is made of dict, list, str, int, float, bool and None; keys are always text.

    ``keys`` and ``values`` say where the key and the value of a path stand,
    ``raw`` how the value was typed.
    """

    data: dict[str, object] = field(default_factory=dict)
    keys: dict[KeyPath, Span] = field(default_factory=dict)
    values: dict[KeyPath, Span] = field(default_factory=dict)
    raw: dict[KeyPath, str] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)


def read_tree(front: FrontMatterText, file: str) -> tuple[YamlTree | None, tuple[Finding, ...]]:
    """The front matter as data; None when it is not YAML, or YAML of a kind that is not read."""
    where = TextPositions(front.text, file, front.first_line)
    if len(front.text) > MAX_LENGTH:
        return None, (finding("too-much", where.span(0, 1), f"the front matter has {len(front.text)} signs",
                              f"{MAX_LENGTH} are the most"),)
    if unreadable := _UNREADABLE.search(front.text):
        return None, (finding("front-broken", where.span(*unreadable.span()), "an invisible sign stands here",
                              "delete it and type the line again"),)
    try:
        refused = tuple(_refusals(front.text, where))
        node = None if refused else yaml.compose(front.text, Loader=LOADER)
    except yaml.YAMLError as error:
        return None, (yaml_error_finding(error, front.text, where),)
    if refused:
        return None, refused[:MAX_REFUSALS]
    return _build_tree(node, front.text, where)


def _refusals(text: str, where: TextPositions) -> Iterator[Finding]:
    """What is not read, found without building anything."""
    depth = documents = 0
    for event in yaml.parse(text, Loader=LOADER):
        begin, end = event.start_mark, event.end_mark
        assert begin is not None and end is not None      # the loader marks every event
        span = where.span(begin.index, max(end.index, begin.index + 1))
        documents += isinstance(event, yaml.DocumentStartEvent)
        if documents > 1:
            yield finding("front-broken", span, "a second document begins here", "take out the line ---")
            return
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > MAX_DEPTH:
            yield finding("too-deep", span, "this is nested more deeply than front matter can be",
                          "take the inner brackets out")
            return
        yield from _event_refusals(event, span)


def _event_refusals(event: yaml.Event, span: Span) -> Iterator[Finding]:
    plain = "write the value itself, or put quotes around text that begins with this sign"
    anchor = getattr(event, "anchor", None)
    if isinstance(event, yaml.AliasEvent):
        yield finding("front-broken", span, f"“*{anchor}” stands for another value", plain)
    elif anchor:
        yield finding("front-broken", span, f"“&{anchor}” gives a value a name of its own", plain)
    if getattr(event, "tag", None) is not None:
        yield finding("front-broken", span, "“!” says what kind of value stands here", plain)


def _build_tree(node: yaml.Node | None, text: str,
                where: TextPositions) -> tuple[YamlTree | None, tuple[Finding, ...]]:
    tree = YamlTree()
    if node is None:
        tree.values[()] = where.span(0, 1)
        return tree, ()
    if not isinstance(node, yaml.MappingNode):
        return None, (finding("front-broken", where.span(node.start_mark.index, node.end_mark.index),
                              "the front matter is not made of keys and values",
                              "begin with title: and a title"),)
    data = _TreeBuilder(tree, text, where).value(node, ())
    if not isinstance(data, dict):      # the whole of it is one expression without quotes
        return None, tuple(tree.findings)
    tree.data = data
    return tree, tuple(tree.findings)


class _TreeBuilder:
    """Turns nodes into data and notes their places."""

    def __init__(self, tree: YamlTree, text: str, where: TextPositions):
        self.tree, self.text, self.where = tree, text, where

    def value(self, node: yaml.Node, path: KeyPath) -> object:
        start, end = node.start_mark.index, node.end_mark.index
        self.tree.values[path] = self.where.span(start, end)
        self.tree.raw[path] = self.text[start:end]
        if isinstance(node, yaml.MappingNode):
            return self._unquoted(path) if self.text.startswith("{{", start) else self._mapping(node, path)
        if isinstance(node, yaml.SequenceNode):
            return [self.value(item, (*path, i)) for i, item in enumerate(node.value)]
        if hidden := hidden_character(node.value):
            self.tree.findings.append(hidden_character_finding(hidden, self.tree.values[path]))
        return plain_value(node.value, node.tag.rpartition(":")[2])

    def _mapping(self, node: yaml.MappingNode, path: KeyPath) -> dict[str, object]:
        found: dict[str, object] = {}
        for key, value in node.value:
            span = self.where.span(key.start_mark.index, key.end_mark.index)
            if not isinstance(key, yaml.ScalarNode):
                self._add("front-broken", span, "brackets stand where a key must stand",
                          "put quotes around text that begins with { or [")
            elif key.value in found:
                self._add("name-twice", span, f"“{key.value[:40]}” is given twice", "keep one of the two")
            else:
                self.tree.keys[(*path, key.value)] = span
                found[key.value] = self.value(value, (*path, key.value))
        return found

    def _unquoted(self, path: KeyPath) -> str:
        """An expression without quotes, which YAML takes for a mapping in a mapping."""
        self._add("front-broken", self.tree.values[path],
                  "text that begins with {{ stands here without quotes", "put quotes around the whole text")
        return self.tree.raw[path].strip("{} \n") or "…"

    def _add(self, code: str, span: Span, message: str, hint: str) -> None:
        if len(self.tree.findings) < MAX_REFUSALS:
            self.tree.findings.append(finding(code, span, message, hint))


def plain_value(text: str, kind: str) -> object:
    """A single value of YAML's ``kind``; what is neither number, truth value nor nothing stays text."""
    if kind == "bool":
        return text.lower() in ("true", "yes", "on")
    if kind == "null":
        return None
    if kind == "int":
        return int(text) if re.fullmatch(r"[-+]?[0-9]{1,15}", text) else text
    if kind == "float":
        try:
            return float(text.replace("_", ""))
        except ValueError:
            return text
    return text
