"""Parts: constructions that many boxes share, written in the language itself, one in a file.

A file begins with front matter: ``help`` (a sentence), ``takes`` (each
parameter with its kind, what stands in for it where it may be left out, and
words) and ``gives`` (each result, with words). Then come prose and geometry
fences. What it is read into is frozen, and read once.
"""
from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from generator.findings import Finding, Span, finding
from generator.language.document import read_document
from generator.language.front_errors import place
from generator.language.mentions import calls_in
from generator.language.parser import parse_expression, read_fence
from generator.language.part_kinds import PART_KINDS
from generator.language.records import Document, Fence
from generator.language.registry import REGISTRY, Entry, Parameter
from generator.language.stretches import Stretches
from generator.language.syntax import Expr, Statement
from generator.language.yaml_tree import Tree, read_tree
from generator.paper.calls import VOCABULARY

FAMILY = "parts"
NOTHING = "nothing"     # stands behind "or" where nothing stands in for what is left out
GOOD_NAME = re.compile(r"[a-z][a-z0-9_]{0,39}\Z")
_KEYS = ("help", "takes", "gives")
_TAKEN = re.compile(r"(?P<kind>[a-z]+)(?: or (?P<default>.+?))?(?: — (?P<words>.+))?\Z")
_OF_A_TUTORIAL = frozenset({"fence-stray", "step-missing"})
_WRITTEN = "write its kind, what stands in for it if it may be left out, and what it is: length or width/2 — how deep it is"


@dataclass(frozen=True, slots=True)
class Part:
    """``defaults`` are what stands in for a parameter that is left out (None: nothing); ``text`` is the whole file."""

    entry: Entry
    defaults: Mapping[str, Expr | None]
    statements: tuple[Statement, ...]
    file: str
    text: str

    @property
    def name(self) -> str:
        return self.entry.name

    @property
    def code(self) -> str:
        """Its statements as they are written."""
        return "\n".join(fence.statements_text for fence in _fences(read_document(self.file, self.text)))


Parts = Mapping[str, Part]


@cache
def library() -> Parts:
    """The parts that come along. Raises ValueError where one of them is wrong."""
    folder = files("generator").joinpath("parts")
    found, wrong = read_parts((each.name.removesuffix(".md"), f"parts/{each.name}", each.read_text(encoding="utf-8"))
                              for each in sorted(folder.iterdir(), key=lambda each: each.name) if each.name.endswith(".md"))
    if wrong:
        raise ValueError("; ".join(f"{f.span}: {f.message}" for f in wrong))
    return found


def read_parts(sources: Iterable[tuple[str, str, str]], known: Container[str] = ()) -> tuple[Parts, tuple[Finding, ...]]:
    """Parts from (name, file as findings name it, text) by their names, and what is wrong with them.

    ``known`` are parts that are there already.
    """
    found: dict[str, Part] = {}
    wrong: list[Finding] = []
    for name, file, text in sources:
        part, problems = read_part(name, file, text)
        wrong += problems
        if name in known:
            wrong.append(finding("name-twice", Span(file), f"there is a part '{name}' already", "give the file another name"))
        if part is not None:
            found[name] = part
    return found, tuple(wrong)


def read_part(name: str, file: str, text: str) -> tuple[Part | None, tuple[Finding, ...]]:
    """One part; None when something is wrong with it."""
    document = read_document(file, text)
    wrong = [f for f in document.findings if f.code not in _OF_A_TUTORIAL]
    if name in REGISTRY or name in VOCABULARY:
        wrong.append(finding("name-twice", Span(file), f"'{name}' means something else already", "give the file another name"))
    if not GOOD_NAME.match(name):
        wrong.append(finding("words-wrong", Span(file), f"'{name}' cannot be the name of a part",
                             "name the file in small letters, digits and _, such as wall_tabs.md"))
    tree, problems = read_tree(document.front, file) if document.front else (None, ())
    wrong += problems
    if tree is None:
        return None, tuple(wrong)
    wrong += _keys(tree)
    parameters, defaults, problems = _parameters(tree)
    wrong += problems
    statements, problems = _statements(document)
    wrong += problems
    gives = _texts(tree, "gives")
    wrong += _names(tree, parameters, statements, gives)
    if wrong:
        return None, tuple(wrong)
    entry = Entry(name, FAMILY, _use(statements, defaults), None, parameters, str(tree.data["help"]), gives)
    return Part(entry, defaults, statements, file, text), ()


def _keys(tree: Tree) -> Iterator[Finding]:
    for key in tree.data:
        if key not in _KEYS:
            yield finding("front-key", place(tree, (key,), key=True), f"“{key}” means nothing here",
                          f"the keys of a part are {', '.join(_KEYS)}")
    for key, kind in zip(_KEYS, (str, dict, dict), strict=True):
        if not isinstance(tree.data.get(key), kind) or not tree.data[key]:
            yield finding("front-value", place(tree, (key,), key=True), f"“{key}” is missing, or not what it must be",
                          "a part says its help in a sentence, what it takes and what it gives, each by its name")


def _texts(tree: Tree, key: str) -> dict[str, str]:
    value = tree.data.get(key)
    return {name: str(text) for name, text in value.items()} if isinstance(value, dict) else {}


def _parameters(tree: Tree) -> tuple[tuple[Parameter, ...], dict[str, Expr | None], list[Finding]]:
    made, defaults, wrong = [], {}, []
    for name, text in _texts(tree, "takes").items():
        path = ("takes", name)
        read = _TAKEN.match(text)
        if read is None or read["kind"] not in PART_KINDS:
            wrong.append(finding("front-value", place(tree, path), f"this does not say what '{name}' is",
                                 _WRITTEN if read is None else f"the kinds are {', '.join(sorted(PART_KINDS))}"))
            continue
        default = read["default"] or ""
        if default:
            expr, problems = (None, ()) if default == NOTHING else parse_expression(default, _behind_or(tree, path, default))
            defaults[name] = expr
            wrong += problems
        made.append(Parameter(name, PART_KINDS[read["kind"]], not default, True, False, read["words"] or "", default))
    return tuple(made), defaults, wrong


def _behind_or(tree: Tree, path: tuple, default: str) -> Span:
    """Where the expression stands that is the default."""
    raw, span = tree.raw.get(path, ""), place(tree, path)
    at = max(raw.find(default), 0)
    return Stretches(raw, span.file, span.line, span.column).span(at, at + len(default))


def _fences(document: Document) -> tuple[Fence, ...]:
    return (*document.stray, *(fence for step in document.steps for fence in step.fences))


def _statements(document: Document) -> tuple[tuple[Statement, ...], list[Finding]]:
    fences = _fences(document)
    found: list[Statement] = []
    wrong: list[Finding] = []
    for fence in fences:
        read = read_fence(fence.statements_text, document.file, fence.first_line)
        found += read.statements
        wrong += read.findings
    if not fences:
        wrong.append(finding("front-value", Span(document.file), "this part has no geometry fence", "say in one what it does"))
    return tuple(found), wrong


def _names(tree: Tree, parameters: tuple[Parameter, ...], statements: tuple[Statement, ...],
           gives: Mapping[str, str]) -> Iterator[Finding]:
    known = {p.name: place(tree, ("takes", p.name), key=True) for p in parameters}
    for name, span in [*known.items(), *((s.name, s.name_span) for s in statements if s.name)]:
        if name in VOCABULARY:
            yield finding("name-twice", span, f"'{name}' is a word of the language already", "choose another name")
        if not GOOD_NAME.match(name):
            yield finding("words-wrong", span, f"'{name}' cannot be a name", "use small letters, digits and _")
    for statement in statements:
        if statement.name in known:
            yield finding("name-twice", statement.name_span, f"'{statement.name}' is made twice", "choose another name")
        if statement.name:
            known[statement.name] = statement.name_span
    for name in gives:
        if name not in known:
            yield finding("name-unknown", place(tree, ("gives", name), key=True), f"this part makes no '{name}'",
                          "name it in a fence of the part")


def _use(statements: Iterable[Statement], defaults: Mapping[str, Expr | None]) -> str:
    """A part whose calls all give values only may stand wherever they may."""
    calls = {name for expr in (*(s.value for s in statements), *filter(None, defaults.values())) for name in calls_in(expr)}
    return "value" if all(name in REGISTRY and REGISTRY[name].use == "value" for name in calls) else "paper"
