"""Front matter as plain data, with the place of every key and value.

Only the plain part of YAML is read: mappings, lists and single values. What
could work for ever or make anything but data is refused before it is built.
"""
from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

import yaml

from generator.findings import Finding, Span, finding
from generator.language.records import FrontText
from generator.language.stretches import Stretches
from generator.language.yaml_words import in_our_words

LONGEST = 50_000    # signs of front matter; a long one has 2,000
DEEPEST = 8         # levels; the deepest that means anything is 3
MOST_ALIKE = 20     # things refused that are listed
LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_UNREADABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

Path = tuple[str | int, ...]


@dataclass(slots=True)
class Tree:
    """``data`` is made of dict, list, str, int, float, bool and None; keys are always text.

    ``keys`` and ``values`` say where the key and the value of a path stand,
    ``raw`` how the value was typed.
    """

    data: dict[str, object] = field(default_factory=dict)
    keys: dict[Path, Span] = field(default_factory=dict)
    values: dict[Path, Span] = field(default_factory=dict)
    raw: dict[Path, str] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)


def read_tree(front: FrontText, file: str) -> tuple[Tree | None, tuple[Finding, ...]]:
    """The front matter as data; None when it is not YAML, or YAML of a kind that is not read."""
    where = Stretches(front.text, file, front.first_line)
    if len(front.text) > LONGEST:
        return None, (finding("too-much", where.span(0, 1), f"the front matter has {len(front.text)} signs",
                              f"{LONGEST} are the most"),)
    if unreadable := _UNREADABLE.search(front.text):
        return None, (finding("front-broken", where.span(*unreadable.span()), "an invisible sign stands here",
                              "delete it and type the line again"),)
    try:
        refused = tuple(_refused(front.text, where))
        node = None if refused else yaml.compose(front.text, Loader=LOADER)
    except yaml.YAMLError as error:
        return None, (in_our_words(error, front.text, where),)
    if refused:
        return None, refused[:MOST_ALIKE]
    return _grown(node, front.text, where)


def _refused(text: str, where: Stretches) -> Iterator[Finding]:
    """What is not read, found without building anything."""
    depth = documents = 0
    for event in yaml.parse(text, Loader=LOADER):
        span = where.span(event.start_mark.index, max(event.end_mark.index, event.start_mark.index + 1))
        documents += isinstance(event, yaml.DocumentStartEvent)
        if documents > 1:
            yield finding("front-broken", span, "a second document begins here", "take out the line ---")
            return
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > DEEPEST:
            yield finding("too-deep", span, "this is nested more deeply than front matter can be",
                          "take the inner brackets out")
            return
        yield from _refused_at(event, span)


def _refused_at(event: yaml.Event, span: Span) -> Iterator[Finding]:
    plain = "write the value itself, or put quotes around text that begins with this sign"
    if isinstance(event, yaml.AliasEvent):
        yield finding("front-broken", span, f"“*{event.anchor}” stands for another value", plain)
    elif getattr(event, "anchor", None):
        yield finding("front-broken", span, f"“&{event.anchor}” gives a value a name of its own", plain)
    if getattr(event, "tag", None) is not None:
        yield finding("front-broken", span, "“!” says what kind of value stands here", plain)


def _grown(node: yaml.Node | None, text: str, where: Stretches) -> tuple[Tree | None, tuple[Finding, ...]]:
    tree = Tree()
    if node is None:
        return tree, ()
    if not isinstance(node, yaml.MappingNode):
        return None, (finding("front-broken", where.span(node.start_mark.index, node.end_mark.index),
                              "the front matter is not made of keys and values", "begin with title: and a title"),)
    data = _Grower(tree, text, where).value(node, ())
    if not isinstance(data, dict):      # the whole of it is one expression without quotes
        return None, tuple(tree.findings)
    tree.data = data
    return tree, tuple(tree.findings)


class _Grower:
    """Turns nodes into data and notes their places."""

    def __init__(self, tree: Tree, text: str, where: Stretches):
        self.tree, self.text, self.where = tree, text, where

    def value(self, node: yaml.Node, path: Path) -> object:
        start, end = node.start_mark.index, node.end_mark.index
        self.tree.values[path] = self.where.span(start, end)
        self.tree.raw[path] = self.text[start:end]
        if isinstance(node, yaml.MappingNode):
            return self._unquoted(path) if self.text.startswith("{{", start) else self._mapping(node, path)
        if isinstance(node, yaml.SequenceNode):
            return [self.value(item, (*path, i)) for i, item in enumerate(node.value)]
        return plain_value(node.value, node.tag.rpartition(":")[2])

    def _mapping(self, node: yaml.MappingNode, path: Path) -> dict[str, object]:
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

    def _unquoted(self, path: Path) -> str:
        """An expression without quotes, which YAML takes for a mapping in a mapping."""
        self._add("front-broken", self.tree.values[path], "text that begins with {{ stands here without quotes",
                  "put quotes around the whole text")
        return self.tree.raw[path].strip("{} \n") or "…"

    def _add(self, code: str, span: Span, message: str, hint: str) -> None:
        if len(self.tree.findings) < MOST_ALIKE:
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
