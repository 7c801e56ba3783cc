"""What the keys of the front matter must keep between them."""
from __future__ import annotations

from collections.abc import Iterator

from generator.findings import Finding, Span, finding
from generator.language.cursor import KEYWORDS
from generator.language.front_errors import nearest, place
from generator.language.front_models import FrontModel, Measured
from generator.language.yaml_tree import Path, Tree

UNITS = frozenset({"mm", "cm", "dm", "m", "in", "inch", "inches", "deg"})
MOST_NAMES = 100    # of one kind
MOST_LISTED = 12    # in one message
NAMING = ("counts", "lengths", "tools", "papers")
SYSTEM_WORDS = {"mm": "millimetres", "in": "inches"}


def needed(tree: Tree) -> Iterator[Finding]:
    """Keys without which there is no tutorial; one that was only spelt wrong is reported as such."""
    for key, hint in (("title", "add a line title: and what the tutorial makes"),
                      ("drawn_in", "add drawn_in: mm or drawn_in: in, the system in which the design was drawn")):
        if key not in tree.data and not any(nearest(other, (key,)) for other in tree.data):
            yield finding("front-value", Span(tree.values[()].file, 1, 1, 3), f"the front matter has no {key}", hint)


def names_once(model: FrontModel, tree: Tree, reserved: frozenset[str]) -> Iterator[Finding]:
    """Names that stand for two things, and more of them than anybody could keep apart."""
    made: dict[str, str] = {}
    for group in NAMING:
        for count, name in enumerate(getattr(model, group)):
            span = place(tree, (group, name), key=True)
            if count == MOST_NAMES:
                yield finding("too-much", span, f"more than {MOST_NAMES} {group} are named", "a box needs some twenty")
            if name in made:
                yield finding("name-twice", span, f"“{name}” is named in {made[name]} already",
                              "give one of the two another name")
            elif name in UNITS:
                yield finding("name-twice", span, f"“{name}” is a unit", "choose another name")
            elif name in KEYWORDS or name in reserved:
                yield finding("name-twice", span, f"“{name}” means something else in the language already",
                              f"choose another name, such as {name}_1")
            made.setdefault(name, group)


def systems(model: FrontModel, tree: Tree) -> Iterator[Finding]:
    """Lengths typed in the system that has no place there."""
    for name, measure in model.lengths.items():
        yield from _system(measure, model.drawn_in, ("lengths", name), tree)
    for name, tool in model.tools.items():
        yield from _system(tool.mm, "mm", ("tools", name, "mm"), tree)
        yield from _system(tool.inch, "in", ("tools", name, "in"), tree)
    for key, tool in (("stylus", model.guides.stylus), ("within", model.guides.within)):
        if tool is not None and tool.mm is not None and tool.mm.text != tool.inch.text:
            yield from _system(tool.mm, "mm", ("guides", key, "mm"), tree)
            yield from _system(tool.inch, "in", ("guides", key, "in"), tree)
    for system, lengths in (("mm", model.editions.mm), ("in", model.editions.inch)):
        for name, measure in (lengths or {}).items():
            yield from _system(measure, system, ("editions", system, name), tree)


def _system(measure: Measured, system: str, path: Path, tree: Tree) -> Iterator[Finding]:
    if measure.system == system:
        return
    hint = f"write it in {SYSTEM_WORDS[system]}"
    if path[0] == "lengths":
        hint += f", in which this design is drawn, and put {measure.text} under editions: {measure.system}:"
    yield finding("length-wrong", place(tree, path), f"“{path[1] if path[0] != 'editions' else path[2]}” must be in "
                  f"{SYSTEM_WORDS[system]} here, and {measure.text} is in {SYSTEM_WORDS[measure.system]}", hint)


def editions(model: FrontModel, tree: Tree, unread: frozenset[str]) -> Iterator[Finding]:
    """Named lengths that the other edition lacks, and what it has beyond them. Names in ``unread`` are passed over."""
    other = "in" if model.drawn_in == "mm" else "mm"
    drawn, given = ((model.editions.mm, model.editions.inch) if other == "in" else
                    (model.editions.inch, model.editions.mm))
    if drawn is not None:
        yield finding("edition-extra", place(tree, ("editions", model.drawn_in), key=True),
                      "the edition in which the design is drawn has its lengths under lengths: already",
                      f"keep {other}: only")
    extra = [name for name in given or {} if name not in model.lengths and name not in unread]
    meant = {near for name in extra if (near := nearest(name, model.lengths))}
    absent = [name for name in model.lengths if name not in (given or {}) and name not in unread and name not in meant]
    if absent:
        path = ("editions", other) if given is not None else ("editions",) if "editions" in tree.data else ("lengths",)
        first, more = absent[:MOST_LISTED], len(absent) - MOST_LISTED
        yield finding("edition-missing", place(tree, path, key=True),
                      f"the edition in {SYSTEM_WORDS[other]} lacks {', '.join(first)}" + (f" and {more} more" if more > 0 else ""),
                      f"add under editions: a line {other}: {{{', '.join(f'{n}: …' for n in first)}}}")
    for name in extra:
        yield finding("edition-extra", place(tree, ("editions", other, name), key=True), *_extra(name, model))


def _extra(name: str, model: FrontModel) -> tuple[str, str]:
    if name in model.tools:
        return f"“{name}” is a size of a tool, which has both its values under tools:", "take it out here"
    if name in model.counts:
        return f"“{name}” is a count, which is the same in both editions", "take it out here"
    near = nearest(name, model.lengths)
    return (f"“{name[:40]}” is not a length of this design",
            f"did you mean {near}?" if near else "name it under lengths: too, or take it out")


def permission(model: FrontModel, tree: Tree) -> Iterator[Finding]:
    """A design taken from somewhere, and nothing that allows it."""
    credit = model.credit
    if credit.source and not (credit.licence or credit.permission):
        yield finding("credit-permission", place(tree, ("credit", "source")),
                      "this design comes from somebody, and nothing says that it may be published",
                      "add licence: with its licence, or permission: with what its designer has allowed")


def days(model: FrontModel, tree: Tree) -> Iterator[Finding]:
    """A change before the beginning."""
    if model.published and model.updated and model.updated < model.published:
        yield finding("front-value", place(tree, ("updated",)), "the last change is earlier than the day of publishing",
                      f"it was published on {model.published}: one of the two days is wrong")
