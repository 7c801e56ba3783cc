"""What a verb does is asked of the table of marks and acts: nobody compares its name or lists verbs again."""
from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from generator.paper.work_kinds import ACT_KINDS, MARK_KINDS
from tests.house import imports as house

TABLE = house.ROOT / "generator/paper/work_kinds.py"
WORDS = frozenset((*MARK_KINDS, *ACT_KINDS))
FEW = 2         # of the words a list may hold by chance: a panel may be a face as well as a verb
LISTS = (ast.Tuple, ast.List, ast.Set, ast.Dict)


def _is_verb(node: ast.expr) -> bool:
    """A name or an attribute that holds a verb."""
    name = node.id if isinstance(node, ast.Name) else node.attr if isinstance(node, ast.Attribute) else ""
    return name == "verb" or name.endswith("_verb")


def _text(node: ast.expr | None) -> str | None:
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else None


def _members(node: ast.expr) -> list[ast.expr | None]:
    return list(node.keys) if isinstance(node, ast.Dict) else list(node.elts)


def offences(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """(line, what) of every comparison with a verb's name and of every list of verbs in a module."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare) and _compares_verb(node):
            yield node.lineno, "compares a verb with its name"
        elif isinstance(node, ast.Match) and _is_verb(node.subject):
            yield node.lineno, "matches a verb with its name"
        elif isinstance(node, LISTS):
            words = [_text(each) for each in _members(node)]
            if len(words) > FEW and set(words) <= WORDS:
                yield node.lineno, f"lists verbs: {', '.join(filter(None, words))}"


def _compares_verb(node: ast.Compare) -> bool:
    """Whether a verb stands on one side of ==, !=, in or not in, and words on the other."""
    sides = (node.left, *node.comparators)
    parts = [part for side in sides for part in (_members(side) if isinstance(side, LISTS) else [side])]
    return (any(isinstance(op, ast.Eq | ast.NotEq | ast.In | ast.NotIn) for op in node.ops)
            and any(map(_is_verb, sides)) and any(map(_text, parts)))


@pytest.mark.parametrize("text", [
    "if mark.verb == 'score': pass", "found = [m for m in marks if m.verb != 'cut']",
    "verb in ('cut', 'slit')",
    "first_verb not in {'tick'}", "'cut' == act.verb", "LINES = ('score', 'cut', 'slit')",
    "WORDS = {'score': 1, 'tick': 2, 'cut': 3}", "match act.verb:\n    case 'cut': pass"])
def test_what_is_forbidden_is_seen(text):
    """Each way to go past the table."""
    assert list(offences(ast.parse(text)))


@pytest.mark.parametrize("text", [
    "a.verb == b.verb", "kind.cuts", "record('score', piece)", "PLACES = ('left', 'right', 'top')",
    "verb in MARK_KINDS"])
def test_what_is_allowed_is_not_seen(text):
    """Two marks of the same verb, the table itself, and other words."""
    assert not list(offences(ast.parse(text)))


@pytest.mark.parametrize("path", sorted((house.ROOT / "generator").rglob("*.py")), ids=lambda path: path.stem)
def test_verbs_are_asked_of_the_table(path: Path):
    """No module but the table compares or lists the names of verbs."""
    shown = path.relative_to(house.ROOT).as_posix()
    if path == TABLE:
        return
    found = [f"{shown}:{line} {what}" for line, what in offences(house.tree_of(path))]
    assert not found, found
