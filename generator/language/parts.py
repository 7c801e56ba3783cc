"""The kinds that the parameters of a part may be of, by the words that its front matter says.

Parts: constructions that many boxes share, written in the language itself, one in a file.

A file begins with front matter: ``help`` (a sentence), ``takes`` (each
parameter with its kind, what stands in for it where it may be left out, and
words) and ``gives`` (each result, with words). Then come prose and geometry
fences. What it is read into is frozen, and read once.

The parts of a site of one's own: files of the folder ``parts`` that lies beside its tutorials' folders.
"""
from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator, Mapping
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import get_args

from generator.dataclass import dataclass
from generator.findings import Finding, Span, finding
from generator.language.evaluation.registry import REGISTRY, CallEntry, Parameter
from generator.language.source.document import read_document, read_source
from generator.language.source.front_matter_checks import span_of
from generator.language.source.records import PARTS_FOLDER, Document, Fence, TextPositions
from generator.language.source.yaml_tree import KeyPath, YamlTree, read_tree
from generator.language.syntax.nodes import Expr, Statement, calls_in
from generator.language.syntax.parser import parse_expression, read_fence
from generator.paper import parameter_kinds
from generator.paper.parameter_kinds import ParameterKind
from generator.paper.records import Face, Mark
from generator.paper.values import Bay, Edge, PartResults
from generator.paper.verbs import RESERVED_NAMES
from generator.units import FrozenRecord

_SINGLE_KINDS = {
    "mark": ParameterKind("a mark", (Mark,)), "face": ParameterKind("a face", (Face,)),
    "bay": ParameterKind("a bay", (Bay,)),
    "edge": ParameterKind("an edge of a net", (Edge,)),
    "results": ParameterKind("what a part gives", (PartResults,)),
}
_SHARED_KINDS: Mapping[str, object] = {
    "piece": parameter_kinds.PieceArg, "paper": parameter_kinds.PaperArg, "length": parameter_kinds.Length,
    "lengths": parameter_kinds.Lengths,
    "number": parameter_kinds.Number, "angle": parameter_kinds.AngleArg, "place": parameter_kinds.PlaceArg,
    "places": parameter_kinds.Places,
    "span": parameter_kinds.Extent, "spans": parameter_kinds.Spans, "point": parameter_kinds.SpotArg,
    "shape": parameter_kinds.ShapeArg,
    "outline": parameter_kinds.OutlineArg, "marks": parameter_kinds.Marks, "faces": parameter_kinds.Faces,
    "edges": parameter_kinds.Edges,
    "holes": parameter_kinds.Holes, "folds": parameter_kinds.Folds, "side": parameter_kinds.SideArg,
    "up": parameter_kinds.UpArg, "tool": parameter_kinds.ToolArg,
    "direction": parameter_kinds.Directions, "order": parameter_kinds.OrderArg,
    "words": parameter_kinds.TextArg,
}


def _parameter_kind(annotation: object) -> ParameterKind:
    return next(extra for extra in get_args(annotation) if isinstance(extra, ParameterKind))


PART_KINDS: Mapping[str, ParameterKind] = {**{word: _parameter_kind(each) for word,
                                              each in _SHARED_KINDS.items()}, **_SINGLE_KINDS}


PART_FAMILY = "parts"
NO_DEFAULT = "nothing"     # stands behind "or" where nothing stands in for what is left out
GOOD_NAME = re.compile(r"[a-z][a-z0-9_]{0,39}\Z")
_PART_KEYS = ("help", "takes", "gives")
_PARAMETER_PATTERN = re.compile(r"(?P<kind>[a-z]+)(?: or (?P<default>.+?))?(?: — (?P<words>.+))?\Z")
_TUTORIAL_ONLY_CODES = frozenset({"fence-stray", "step-missing"})
_PARAMETER_HINT = ("write its kind, what stands in for it if it may be left out, and what it is: length or "
                   "width/2 — how deep it is")


@dataclass(frozen=True, slots=True)
class Part(FrozenRecord):
    """``defaults`` are what stands in for a parameter that is left out (None: nothing).

    ``text`` is the whole file.
    """

    entry: CallEntry
    defaults: Mapping[str, Expr | None]
    statements: tuple[Statement, ...]
    file: str
    text: str

    @property
    def name(self) -> str:
        """The name under which the part is called."""
        return self.entry.name

    @property
    def code(self) -> str:
        """Its statements as they are written."""
        return "\n".join(fence.statements_text for fence in _fences(read_document(self.file, self.text)))


Parts = Mapping[str, Part]


@cache
def built_in_parts() -> Parts:
    """The parts that come along, each read when it is asked for.

    To ask for one that is wrong raises ValueError.
    """
    folder = files("generator").joinpath("parts")
    return _PartFiles({each.name.removesuffix(".md"): each
                       for each in sorted(folder.iterdir(), key=lambda each: each.name)
                       if each.name.endswith(".md")})


class _PartFiles(Mapping[str, Part]):
    """Parts by their names, of which most tutorials use none: each is read once, when it is used."""

    def __init__(self, files: Mapping[str, Traversable]) -> None:
        self._files = files
        self._read: dict[str, Part] = {}

    def __getitem__(self, name: str) -> Part:
        if name not in self._read:
            part, wrong = read_part(name, f"parts/{name}.md", self._files[name].read_text(encoding="utf-8"))
            if part is None:
                raise ValueError("; ".join(f"{f.span}: {f.message}" for f in wrong))
            self._read[name] = part
        return self._read[name]

    def __contains__(self, name: object) -> bool:
        return name in self._files

    def __iter__(self) -> Iterator[str]:
        return iter(self._files)

    def __len__(self) -> int:
        return len(self._files)


def read_parts(sources: Iterable[tuple[str, str, str]],
               known: Container[str] = ()) -> tuple[Parts, tuple[Finding, ...]]:
    """Parts from (name, file as findings name it, text) by their names, and what is wrong with them.

    ``known`` are parts that are there already.
    """
    found: dict[str, Part] = {}
    wrong: list[Finding] = []
    for name, file, text in sources:
        part, problems = read_part(name, file, text)
        wrong += problems
        if name in known:
            wrong.append(finding("name-twice", Span(file), f"there is a part '{name}' already",
                                 "give the file another name"))
        if part is not None:
            found[name] = part
    return found, tuple(wrong)


def read_part(name: str, file: str, text: str) -> tuple[Part | None, tuple[Finding, ...]]:
    """One part; None when something is wrong with it."""
    document = read_document(file, text)
    wrong = [f for f in document.findings if f.code not in _TUTORIAL_ONLY_CODES]
    if name in REGISTRY or name in RESERVED_NAMES:
        wrong.append(finding("name-twice", Span(file), f"'{name}' means something else already",
                             "give the file another name"))
    if not GOOD_NAME.match(name):
        wrong.append(finding("words-wrong", Span(file), f"'{name}' cannot be the name of a part",
                             "name the file in small letters, digits and _, such as wall_tabs.md"))
    tree, problems = read_tree(document.front, file) if document.front else (None, ())
    wrong += problems
    if tree is None:
        return None, tuple(wrong)
    wrong += _key_findings(tree)
    parameters, defaults, in_parameters = _parameters(tree)
    statements, in_statements = _statements(document)
    wrong += [*in_parameters, *in_statements]
    gives = _texts(tree, "gives")
    wrong += _name_findings(tree, parameters, statements, gives)
    if wrong:
        return None, tuple(wrong)
    entry = CallEntry(name, PART_FAMILY, _call_use(statements, defaults), None, parameters,
                      str(tree.data["help"]), gives)
    return Part(entry, defaults, statements, file, text), ()


def _key_findings(tree: YamlTree) -> Iterator[Finding]:
    for key in tree.data:
        if key not in _PART_KEYS:
            yield finding("front-key", span_of(tree, (key,), key=True), f"“{key}” means nothing here",
                          f"the keys of a part are {', '.join(_PART_KEYS)}")
    for key, kind in zip(_PART_KEYS, (str, dict, dict), strict=True):
        if not isinstance(tree.data.get(key), kind) or not tree.data[key]:
            yield finding("front-value", span_of(tree, (key,), key=True),
                          f"“{key}” is missing, or not what it must be",
                          "a part says its help in a sentence, what it takes and what it gives, each by its "
                          "name")


def _texts(tree: YamlTree, key: str) -> dict[str, str]:
    value = tree.data.get(key)
    return {name: str(text) for name, text in value.items()} if isinstance(value, dict) else {}


def _parameters(tree: YamlTree) -> tuple[tuple[Parameter, ...], dict[str, Expr | None], list[Finding]]:
    result, defaults, wrong = [], {}, []
    for name, text in _texts(tree, "takes").items():
        path = ("takes", name)
        read = _PARAMETER_PATTERN.match(text)
        if read is None or read["kind"] not in PART_KINDS:
            wrong.append(finding("front-value", span_of(tree, path), f"this does not say what '{name}' is",
                                 _PARAMETER_HINT
                                 if read is None else f"the kinds are {', '.join(sorted(PART_KINDS))}"))
            continue
        default = read["default"] or ""
        if default:
            expr, problems = ((None, ()) if default == NO_DEFAULT
                              else parse_expression(default, _default_span(tree, path, default)))
            defaults[name] = expr
            wrong += problems
        result.append(Parameter(name, PART_KINDS[read["kind"]], not default, True, False, read["words"] or "",
                              default))
    return tuple(result), defaults, wrong


def _default_span(tree: YamlTree, path: KeyPath, default: str) -> Span:
    """Where the expression stands that is the default."""
    raw, span = tree.raw.get(path, ""), span_of(tree, path)
    at = max(raw.find(default), 0)
    return TextPositions(raw, span.file, span.line, span.column).span(at, at + len(default))


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
        wrong.append(finding("front-value", Span(document.file), "this part has no geometry fence",
                             "say in one what it does"))
    return tuple(found), wrong


def _name_findings(tree: YamlTree, parameters: tuple[Parameter, ...], statements: tuple[Statement, ...],
           gives: Mapping[str, str]) -> Iterator[Finding]:
    known = {p.name: span_of(tree, ("takes", p.name), key=True) for p in parameters}
    for name, span in [*known.items(), *((s.name, s.name_place) for s in statements if s.name)]:
        if name in RESERVED_NAMES:
            yield finding("name-twice", span, f"'{name}' is a word of the language already",
                          "choose another name")
        if not GOOD_NAME.match(name):
            yield finding("words-wrong", span, f"'{name}' cannot be a name",
                          "use small letters, digits and _")
    for statement in statements:
        if statement.name in known:
            yield finding("name-twice", statement.name_place, f"'{statement.name}' is made twice",
                          "choose another name")
        if statement.name:
            known[statement.name] = statement.name_place
    for name in gives:
        if name not in known:
            yield finding("name-unknown", span_of(tree, ("gives", name), key=True),
                          f"this part makes no '{name}'", "name it in a fence of the part")


def _call_use(statements: Iterable[Statement], defaults: Mapping[str, Expr | None]) -> str:
    """A part whose calls all give values only may stand wherever they may."""
    given = [expr for expr in defaults.values() if expr is not None]
    calls = {name for expr in (*(s.value for s in statements), *given)
             for name in calls_in(expr)}
    return "value" if all(name in REGISTRY and REGISTRY[name].use == "value" for name in calls) else "paper"


MAX_PART_FILES = 200


def site_parts(source: Path) -> tuple[Parts, tuple[Finding, ...]]:
    """The parts of the site that a tutorial's source belongs to, and what is wrong with them.

    Only a source that lies in a folder of its own, as ``<slug>/index.md``, belongs to a site.
    """
    if source.name != "index.md":
        return {}, ()
    folder = (source.parent.parent
              if len(source.parts) > 1 else source.absolute().parent.parent) / PARTS_FOLDER
    wrong: list[Finding] = []
    read = list(_read_folder(folder, wrong))
    found, problems = read_parts(read, built_in_parts())
    return found, (*wrong, *problems)


def _read_folder(folder: Path, wrong: list[Finding]) -> Iterator[tuple[str, str, str]]:
    try:
        paths = sorted(folder.glob("*.md"))
    except OSError:
        return
    for path in paths[:MAX_PART_FILES]:
        text, problems = read_source(path)
        wrong.extend(problems)
        if text is not None:
            yield path.stem, str(path), text
    if len(paths) > MAX_PART_FILES:
        wrong.append(finding("too-much", Span(str(folder)), f"this folder holds {len(paths)} parts",
                             f"{MAX_PART_FILES} are the most"))
