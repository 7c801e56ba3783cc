"""Validation errors as findings, each at its line and in the words of the trade.

What the keys of the front matter must keep between them.
"""
from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping
from typing import get_args

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
from generator.language.source.key_groups import KeyGroup, WrongValue, WrongValues
from generator.language.source.yaml_tree import KeyPath, YamlTree
from generator.language.syntax.tokens import LOGIC_WORDS
from generator.units import SYSTEMS, QuantityError, other_system

_MODELS: Mapping[KeyPath, type[KeyGroup]] = {
           (): FrontModel, ("editions",): EditionsModel, ("credit",): CreditModel,
           ("papers",): PaperModel, ("tools",): ToolModel, ("bought",): ToolModel, ("sheets",): SheetModel,
           ("holds",): HoldsModel, ("bow",): ToolModel, ("hand",): ToolModel, ("guides",): GuidesModel,
           ("guides", "stylus"): ToolModel, ("guides", "within"): ToolModel}
_CHOICES: Mapping[str, tuple[str, ...]] = {
    "grain": get_args(GrainDirection), "level": get_args(Level), "drawn_in": get_args(SystemCode),
    "uses": USES,
    "edge": get_args(GuideEdge), "edition": get_args(SystemCode)}
_TYPE_MESSAGES: Mapping[str, tuple[str, str]] = {
    "type int": ("must be a whole number", "write a number without a point, as in 8"),
    "type bool": ("must be true or false", "write true or false"),
    "type dict": ("must have keys of its own", "write {name: value}, or indent a line name: value below it"),
    "type group": ("must have keys of its own", "write {key: value}, or indent a line key: value below it"),
    "type list": ("must be a list", "write [one, another]"),
    "long": ("lists more than anybody has", f"name {MAX_ENTRIES} at most"),
    "low": ("must be at least 1", "write a number from 1 to 1000"),
    "high": ("must be at most 1000", "write a number from 1 to 1000"),
}
SHEET_HINT = "write {size: 12x12 in, trim: 1/2 in}, or the size alone"
_MISSING_HINTS = {"holds": HOLDS_HINT}
TOOL_HINT = "write {mm: 3 mm, in: 1/8 in}, each size as the tool has it"


def validation_findings(errors: WrongValues, tree: YamlTree,
                        models: Mapping[KeyPath, type[KeyGroup]] = _MODELS) -> list[Finding]:
    """A finding for each error; of a wrong key the value is not looked at.

    ``models`` knows which keys may stand where.
    """
    wrong_keys = {each.path for each in errors.errors if each.on_key}
    return [_validation_finding(each, each.path, tree, models) for each in errors.errors
            if each.on_key or each.path not in wrong_keys]


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


def known_keys(path: KeyPath, models: Mapping[KeyPath, type[KeyGroup]] = _MODELS) -> tuple[str, ...]:
    """The keys that may stand where the unknown key ``path`` stands."""
    model = models.get(path[:-1]) or models[path[:1]]
    return model.known_keys()


def _validation_finding(error: WrongValue, path: KeyPath, tree: YamlTree,
                        models: Mapping[KeyPath, type[KeyGroup]]) -> Finding:
    span = span_of(tree, path, error.on_key or error.kind == "missing")
    if isinstance(error.cause, QuantityError):
        return finding(error.cause.code, span, str(error.cause), error.cause.hint)
    what = f"“{path[-1] if isinstance(path[-1], str) else path[-2]}”" if path else "the front matter"
    if error.kind == "unknown":
        return finding("front-key", span, f"{what} means nothing here",
                       _key_hint(str(path[-1]), known_keys(path, models)))
    if error.kind == "missing" and path[0] == "sheets":
        return finding("front-value", span, "this sheet has no size", SHEET_HINT)
    if error.kind == "missing":
        hint = _MISSING_HINTS.get(str(path[0]), TOOL_HINT)
        return finding("front-value", span, f"{what} is missing in “{path[-2]}”", hint)
    return finding("front-value", span, *_type_message(error.kind, what, path, tree))


def _type_message(kind: str, what: str, path: KeyPath, tree: YamlTree) -> tuple[str, str]:
    """The message and the hint for a value of the wrong kind."""
    raw = tree.raw.get(path, "").strip()
    if not raw:
        return f"{what} has no value", "write one, or take the key out"
    if kind == "type str":
        if raw[0] in "[{-" and len(raw) > 1 and not raw[1].isdigit():
            return (f"{what} must be text",
                    "write words, and put quotes around them if they begin with a bracket")
        return (f"{what} must be text, and {raw[:40]} without quotes is not",
                f'put quotes around it: "{raw[:40]}"')
    if kind == "choice":
        choices = _CHOICES[next(p for p in reversed(path) if isinstance(p, str))]
        near = nearest_word(raw.replace("-", "_").replace(" ", "_"), choices)
        hint = f"did you mean {near}?" if near else f"write one of {', '.join(choices)}"
        return f"{what} cannot be “{raw[:40]}”", hint
    message, hint = _TYPE_MESSAGES.get(kind, ("cannot be this", "look it up in the list of keys"))
    if kind == "type group" and path[0] == "tools":
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
