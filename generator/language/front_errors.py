"""Validation errors as findings, each at its line and in the words of the trade."""
from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping

from pydantic import BaseModel, ValidationError

from generator.findings import Finding, Span, finding
from generator.language.front_models import (
    MOST_GUIDES,
    USES,
    CreditModel,
    EditionsModel,
    FrontModel,
    GuidesModel,
    HoldsModel,
    MadeModel,
    PaperModel,
    SheetModel,
    ToolModel,
)
from generator.language.front_things import HOLDS_HINT, MADE_HINT
from generator.language.yaml_tree import Path, Tree

_MODELS = {(): FrontModel, ("editions",): EditionsModel, ("credit",): CreditModel,
           ("papers",): PaperModel, ("tools",): ToolModel, ("sheets",): SheetModel,
           ("holds",): HoldsModel, ("made",): MadeModel, ("bow",): ToolModel, ("guides",): GuidesModel, ("guides", "stylus"): ToolModel, ("guides", "within"): ToolModel}
_CHOICES = {"grain": ("across", "along", "any"), "level": ("easy", "medium", "hard"), "drawn_in": ("mm", "in"),
            "uses": USES, "edge": ("outside", "inside"), "edition": ("mm", "in")}
_KINDS: Mapping[str, tuple[str, str]] = {
    "int_type": ("must be a whole number", "write a number without a point, as in 8"),
    "int_from_float": ("must be a whole number", "write a number without a point, as in 8"),
    "bool_type": ("must be true or false", "write true or false"),
    "dict_type": ("must have keys of its own", "write {name: value}, or indent a line name: value below it"),
    "model_type": ("must have keys of its own", "write {key: value}, or indent a line key: value below it"),
    "list_type": ("must be a list", "write [one, another]"),
    "too_long": ("lists more than anybody has", f"name {MOST_GUIDES} at most"),
    "greater_than_equal": ("must be at least 1", "write a number from 1 to 1000"),
    "less_than_equal": ("must be at most 1000", "write a number from 1 to 1000"),
}
SHEET_HINT = "write {size: 12x12 in, trim: 1/2 in}, or the size alone"
_MISSING = {"holds": HOLDS_HINT, "made": MADE_HINT}
TOOL_HINT = "write {mm: 3 mm, in: 1/8 in}, each size as the tool has it"


def path_of(error: Mapping) -> Path:
    """The path of the value, or key, that an error is about."""
    return tuple(part for part in error["loc"] if part != "[key]")


def as_findings(errors: ValidationError, tree: Tree, models: Mapping[Path, type[BaseModel]] = _MODELS) -> list[Finding]:
    """A finding for each error; of a wrong key the value is not looked at. ``models`` knows which keys may stand where."""
    listed = errors.errors(include_url=False)
    wrong_keys = {path_of(e) for e in listed if e["loc"][-1:] == ("[key]",)}
    return [_finding(e, path_of(e), tree, models) for e in listed if e["loc"][-1:] == ("[key]",) or path_of(e) not in wrong_keys]


def place(tree: Tree, path: Path, key: bool = False) -> Span:
    """Where a path stands: its value (or its key, also when there is no value), else the nearest thing around it."""
    key = key or not tree.raw.get(path, "").strip()
    first, second = (tree.keys, tree.values) if key else (tree.values, tree.keys)
    for end in range(len(path), 0, -1):
        found = first.get(path[:end]) or second.get(path[:end])
        if found is not None:
            return found
    return tree.values[()]


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that was most likely meant."""
    return next(iter(difflib.get_close_matches(word[:60].lower(), tuple(known), 1, 0.6)), None)


def _key_hint(word: str, known: tuple[str, ...]) -> str:
    near = nearest(word, known)
    return f"did you mean {near}?" if near else f"the keys here are {', '.join(known)}"


def known_keys(path: Path, models: Mapping[Path, type[BaseModel]] = _MODELS) -> tuple[str, ...]:
    """The keys that may stand where the unknown key ``path`` stands."""
    model = models.get(path[:-1]) or models[path[:1]]
    return tuple(f.alias or name for name, f in model.model_fields.items())


def _finding(error: Mapping, path: Path, tree: Tree, models: Mapping[Path, type[BaseModel]]) -> Finding:
    key = error["loc"][-1:] == ("[key]",) or error["type"] in ("extra_forbidden", "missing")
    span = place(tree, path, key)
    cause = error.get("ctx", {}).get("error")
    if hasattr(cause, "hint"):
        return finding(cause.code, span, str(cause), cause.hint)
    what = f"“{path[-1] if isinstance(path[-1], str) else path[-2]}”" if path else "the front matter"
    if error["type"] == "extra_forbidden":
        return finding("front-key", span, f"{what} means nothing here", _key_hint(str(path[-1]), known_keys(path, models)))
    if error["type"] == "missing" and path[0] == "sheets":
        return finding("front-value", span, "this sheet has no size", SHEET_HINT)
    if error["type"] == "missing":
        hint = _MISSING.get(path[0], TOOL_HINT)
        return finding("front-value", span, f"{what} is missing in “{path[-2]}”", hint)
    return finding("front-value", span, *_kind(error["type"], what, path, tree))


def _kind(kind: str, what: str, path: Path, tree: Tree) -> tuple[str, str]:
    """The message and the hint for a value of the wrong kind."""
    raw = tree.raw.get(path, "").strip()
    if not raw:
        return f"{what} has no value", "write one, or take the key out"
    if kind == "string_type":
        if raw[0] in "[{-" and len(raw) > 1 and not raw[1].isdigit():
            return f"{what} must be text", "write words, and put quotes around them if they begin with a bracket"
        return f"{what} must be text, and {raw[:40]} without quotes is not", f'put quotes around it: "{raw[:40]}"'
    if kind == "literal_error":
        choices = _CHOICES[next(p for p in reversed(path) if isinstance(p, str))]
        near = nearest(raw.replace("-", "_").replace(" ", "_"), choices)
        hint = f"did you mean {near}?" if near else f"write one of {', '.join(choices)}"
        return f"{what} cannot be “{raw[:40]}”", hint
    message, hint = _KINDS.get(kind, ("cannot be this", "look it up in the list of keys"))
    if kind == "model_type" and path[0] == "tools":
        hint = TOOL_HINT
    return f"{what} {message}", hint
