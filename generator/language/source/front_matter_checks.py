"""Validation errors as findings, each at its line and in the words of the trade.

What the keys of the front matter must keep between them.
"""
from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping
from typing import get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from generator.findings import Finding, Span, finding
from generator.language.source.front_matter_models import (
    MAX_ENTRIES,
    USES,
    CreditModel,
    EditionsModel,
    FrontModel,
    GrainDirection,
    GuideEdge,
    GuidesModel,
    HoldsModel,
    Level,
    MeasuredLength,
    PaperModel,
    SheetModel,
    SystemCode,
    ToolModel,
)
from generator.language.source.front_matter_values import HOLDS_HINT
from generator.language.source.yaml_tree import KeyPath, YamlTree
from generator.language.syntax.tokens import LOGIC_WORDS
from generator.units import SYSTEMS, QuantityError, other_system

_MODELS: Mapping[KeyPath, type[BaseModel]] = {
           (): FrontModel, ("editions",): EditionsModel, ("credit",): CreditModel,
           ("papers",): PaperModel, ("tools",): ToolModel, ("bought",): ToolModel, ("sheets",): SheetModel,
           ("holds",): HoldsModel, ("bow",): ToolModel, ("hand",): ToolModel, ("guides",): GuidesModel,
           ("guides", "stylus"): ToolModel, ("guides", "within"): ToolModel}
_CHOICES: Mapping[str, tuple[str, ...]] = {
    "grain": get_args(GrainDirection), "level": get_args(Level), "drawn_in": get_args(SystemCode),
    "uses": USES,
    "edge": get_args(GuideEdge), "edition": get_args(SystemCode)}
_TYPE_MESSAGES: Mapping[str, tuple[str, str]] = {
    "int_type": ("must be a whole number", "write a number without a point, as in 8"),
    "int_from_float": ("must be a whole number", "write a number without a point, as in 8"),
    "bool_type": ("must be true or false", "write true or false"),
    "dict_type": ("must have keys of its own", "write {name: value}, or indent a line name: value below it"),
    "model_type": ("must have keys of its own", "write {key: value}, or indent a line key: value below it"),
    "list_type": ("must be a list", "write [one, another]"),
    "too_long": ("lists more than anybody has", f"name {MAX_ENTRIES} at most"),
    "greater_than_equal": ("must be at least 1", "write a number from 1 to 1000"),
    "less_than_equal": ("must be at most 1000", "write a number from 1 to 1000"),
}
SHEET_HINT = "write {size: 12x12 in, trim: 1/2 in}, or the size alone"
_MISSING_HINTS = {"holds": HOLDS_HINT}
TOOL_HINT = "write {mm: 3 mm, in: 1/8 in}, each size as the tool has it"


def error_path(error: ErrorDetails) -> KeyPath:
    """The path of the value, or key, that an error is about."""
    return tuple(part for part in error["loc"] if part != "[key]")


def validation_findings(errors: ValidationError, tree: YamlTree,
                        models: Mapping[KeyPath, type[BaseModel]] = _MODELS) -> list[Finding]:
    """A finding for each error; of a wrong key the value is not looked at.

    ``models`` knows which keys may stand where.
    """
    listed = errors.errors(include_url=False)
    wrong_keys = {error_path(e) for e in listed if e["loc"][-1:] == ("[key]",)}
    return [_validation_finding(e, error_path(e), tree, models) for e in listed
            if e["loc"][-1:] == ("[key]",) or error_path(e) not in wrong_keys]


def span_of(tree: YamlTree, path: KeyPath, key: bool = False) -> Span:
    """Where a path stands.

    Its value (or its key, also when there is no value), else the nearest thing around it.
    """
    key = key or not tree.raw.get(path, "").strip()
    first, second = (tree.keys, tree.values) if key else (tree.values, tree.keys)
    for end in range(len(path), 0, -1):
        found = first.get(path[:end]) or second.get(path[:end])
        if found is not None:
            return found
    return tree.values[()]


def nearest_word(word: str, known: Iterable[str]) -> str | None:
    """The known word that was most likely meant."""
    return next(iter(difflib.get_close_matches(word[:60].lower(), tuple(known), 1, 0.6)), None)


def _key_hint(word: str, known: tuple[str, ...]) -> str:
    if word == "made":
        return "boxes that were made stand in made.yaml beside the source"
    near = nearest_word(word, known)
    return f"did you mean {near}?" if near else f"the keys here are {', '.join(known)}"


def known_keys(path: KeyPath, models: Mapping[KeyPath, type[BaseModel]] = _MODELS) -> tuple[str, ...]:
    """The keys that may stand where the unknown key ``path`` stands."""
    model = models.get(path[:-1]) or models[path[:1]]
    return tuple(f.alias or name for name, f in model.model_fields.items())


def _validation_finding(error: ErrorDetails, path: KeyPath, tree: YamlTree,
                        models: Mapping[KeyPath, type[BaseModel]]) -> Finding:
    key = error["loc"][-1:] == ("[key]",) or error["type"] in ("extra_forbidden", "missing")
    span = span_of(tree, path, key)
    cause = error.get("ctx", {}).get("error")
    if isinstance(cause, QuantityError):
        return finding(cause.code, span, str(cause), cause.hint)
    what = f"“{path[-1] if isinstance(path[-1], str) else path[-2]}”" if path else "the front matter"
    if error["type"] == "extra_forbidden":
        return finding("front-key", span, f"{what} means nothing here",
                       _key_hint(str(path[-1]), known_keys(path, models)))
    if error["type"] == "missing" and path[0] == "sheets":
        return finding("front-value", span, "this sheet has no size", SHEET_HINT)
    if error["type"] == "missing":
        hint = _MISSING_HINTS.get(str(path[0]), TOOL_HINT)
        return finding("front-value", span, f"{what} is missing in “{path[-2]}”", hint)
    return finding("front-value", span, *_type_message(error["type"], what, path, tree))


def _type_message(kind: str, what: str, path: KeyPath, tree: YamlTree) -> tuple[str, str]:
    """The message and the hint for a value of the wrong kind."""
    raw = tree.raw.get(path, "").strip()
    if not raw:
        return f"{what} has no value", "write one, or take the key out"
    if kind == "string_type":
        if raw[0] in "[{-" and len(raw) > 1 and not raw[1].isdigit():
            return (f"{what} must be text",
                    "write words, and put quotes around them if they begin with a bracket")
        return (f"{what} must be text, and {raw[:40]} without quotes is not",
                f'put quotes around it: "{raw[:40]}"')
    if kind == "literal_error":
        choices = _CHOICES[next(p for p in reversed(path) if isinstance(p, str))]
        near = nearest_word(raw.replace("-", "_").replace(" ", "_"), choices)
        hint = f"did you mean {near}?" if near else f"write one of {', '.join(choices)}"
        return f"{what} cannot be “{raw[:40]}”", hint
    message, hint = _TYPE_MESSAGES.get(kind, ("cannot be this", "look it up in the list of keys"))
    if kind == "model_type" and path[0] == "tools":
        hint = TOOL_HINT
    return f"{what} {message}", hint


UNIT_WORDS = frozenset({"mm", "cm", "dm", "m", "in", "inch", "inches", "deg"})
MAX_NAMES = 100    # of one kind
MAX_LISTED = 12    # in one message
NAME_GROUPS = ("counts", "lengths", "tools", "bought", "papers")


def missing_keys(tree: YamlTree) -> Iterator[Finding]:
    """Keys without which there is no tutorial; one that was only spelt wrong is reported as such."""
    for key, hint in (("title", "add a line title: and what the tutorial makes"), ("drawn_in",
                       "add drawn_in: mm or drawn_in: in, the system in which the design was drawn")):
        if key not in tree.data and not any(nearest_word(other, (key,)) for other in tree.data):
            yield finding("front-value", Span(tree.values[()].file, 1, 1, 3),
                          f"the front matter has no {key}", hint)


def duplicate_names(model: FrontModel, tree: YamlTree, reserved: frozenset[str]) -> Iterator[Finding]:
    """Names that stand for two things, and more of them than anybody could keep apart."""
    first_groups: dict[str, str] = {}
    for group in NAME_GROUPS:
        for count, name in enumerate(getattr(model, group)):
            span = span_of(tree, (group, name), key=True)
            if count == MAX_NAMES:
                yield finding("too-much", span, f"more than {MAX_NAMES} {group} are named",
                              "a box needs some twenty")
            if name in first_groups:
                yield finding("name-twice", span, f"“{name}” is named in {first_groups[name]} already",
                              "give one of the two another name")
            elif name in UNIT_WORDS:
                yield finding("name-twice", span, f"“{name}” is a unit", "choose another name")
            elif name in LOGIC_WORDS or name in reserved:
                yield finding("name-twice", span, f"“{name}” means something else in the language already",
                              f"choose another name, such as {name}_1")
            first_groups.setdefault(name, group)


def wrong_systems(model: FrontModel, tree: YamlTree) -> Iterator[Finding]:
    """Lengths typed in the system that has no place there."""
    for name, measure in model.lengths.items() if model.drawn_in else ():
        yield from _wrong_system(measure, str(model.drawn_in), ("lengths", name), tree)
    fixed: dict[KeyPath, ToolModel | None] = {
        **{("tools", name): tool for name, tool in model.tools.items()},
        **{("bought", name): size for name, size in model.bought.items() if size.mm.text != size.inch.text},
        **{("guides", key): guide for key, guide in (("stylus", model.guides.stylus),
                                                     ("within", model.guides.within))
           if guide is not None and guide.mm is not None and guide.mm.text != guide.inch.text}}
    for path, size in fixed.items():
        if size is not None:
            yield from _wrong_system(size.mm, "mm", (*path, "mm"), tree)
            yield from _wrong_system(size.inch, "in", (*path, "in"), tree)
    for system, lengths in (("mm", model.editions.mm), ("in", model.editions.inch)):
        for name, measure in (lengths or {}).items():
            yield from _wrong_system(measure, system, ("editions", system, name), tree)
            if measure.chosen_for is not None:
                yield from _wrong_system(measure.chosen_for, other_system(system), ("editions", system, name),
                                         tree)


def _wrong_system(measure: MeasuredLength, system: str, path: KeyPath, tree: YamlTree) -> Iterator[Finding]:
    if measure.system == system:
        return
    hint = f"write it in {SYSTEMS[system].plural}"
    if path[0] == "lengths":
        hint += f", in which this design is drawn, and put {measure.text} under editions: {measure.system}:"
    yield finding("length-wrong", span_of(tree, path),
                  f"“{path[1] if path[0] != 'editions' else path[2]}” must be in "
                  f"{SYSTEMS[system].plural} here, and {measure.text} is in {SYSTEMS[measure.system].plural}",
                  hint)


def edition_differences(model: FrontModel, tree: YamlTree, unread: frozenset[str]) -> Iterator[Finding]:
    """Named lengths that the other edition lacks, and what it has beyond them.

    Names in ``unread`` are passed over.
    """
    assert model.drawn_in is not None       # else nobody asks
    other = other_system(model.drawn_in)
    drawn, given = ((model.editions.mm, model.editions.inch) if other == "in" else
                    (model.editions.inch, model.editions.mm))
    if drawn is not None:
        yield finding("edition-extra", span_of(tree, ("editions", str(model.drawn_in)), key=True),
                      "the edition in which the design is drawn has its lengths under lengths: already",
                      f"keep {other}: only")
    extra = [name for name in given or {} if name not in model.lengths and name not in unread]
    meant = {near for name in extra if (near := nearest_word(name, model.lengths))}
    absent = [name for name in model.lengths if name not in (given or {}) and name not in unread
              and name not in meant]
    if absent:
        path = ("editions",
                other) if given is not None else ("editions",) if "editions" in tree.data else ("lengths",)
        first, more = absent[:MAX_LISTED], len(absent) - MAX_LISTED
        yield finding("edition-missing", span_of(tree, path, key=True),
                      f"the edition in {SYSTEMS[other].plural} lacks {', '.join(first)}"
                      + (f" and {more} more" if more > 0 else ""),
                      f"add under editions: a line {other}: {{{', '.join(f'{n}: …' for n in first)}}}")
    for name in extra:
        yield finding("edition-extra", span_of(tree, ("editions", other, name), key=True),
                      *_extra_length_text(name, model))


def _extra_length_text(name: str, model: FrontModel) -> tuple[str, str]:
    if name in model.tools:
        return f"“{name}” is a size of a tool, which has both its values under tools:", "take it out here"
    if name in model.bought:
        return f"“{name}” is something bought, which has its size under bought:", "take it out here"
    if name in model.counts:
        return f"“{name}” is a count, which is the same in both editions", "take it out here"
    near = nearest_word(name, model.lengths)
    return (f"“{name[:40]}” is not a length of this design",
            f"did you mean {near}?" if near else "name it under lengths: too, or take it out")


def missing_permission(model: FrontModel, tree: YamlTree) -> Iterator[Finding]:
    """A design taken from somewhere, and nothing that allows it."""
    credit = model.credit
    if credit.source and not (credit.licence or credit.permission):
        yield finding("credit-permission", span_of(tree, ("credit", "source")),
                      "this design comes from somebody, and nothing says that it may be published",
                      "add licence: with its licence, or permission: with what its designer has allowed")


def wrong_dates(model: FrontModel, tree: YamlTree) -> Iterator[Finding]:
    """A change before the beginning."""
    if model.published and model.updated and model.updated < model.published:
        yield finding("front-value", span_of(tree, ("updated",)),
                      "the last change is earlier than the day of publishing",
                      f"it was published on {model.published}: one of the two days is wrong")
