"""Why a name is what it is: number → expression → named lengths → lines of the source."""
from __future__ import annotations

from dataclasses import replace

from generator.findings import Finding, Span, finding
from generator.language.evaluation.application import did_you_mean
from generator.language.evaluation.prose_wording import UnwordableValue, word_value
from generator.paper.parameter_kinds import kind_of
from generator.paper.records import Mark
from generator.paper.values import Bay, Group, PartResults, Piece, PiecePlace
from generator.tutorial.records import NameInfo, Tutorial
from generator.units import QuantityError


def derivation_text(tutorial: Tutorial, name: str) -> tuple[str, tuple[Finding, ...]]:
    """The chain of one name as lines, what it rests on indented below; a finding for an unknown name."""
    if (result := _part_result(tutorial, name)) is not None:
        return _lines_text(tutorial, result), ()
    if name not in tutorial.names:
        hint = did_you_mean(name, tutorial.names, "names are made in the front matter and in fences")
        return "", (finding("name-unknown", Span(tutorial.file), f"this tutorial has no name '{name}'", hint),
                    )
    return _lines_text(tutorial, tutorial.names[name]), ()


def _lines_text(tutorial: Tutorial, info: NameInfo) -> str:
    lines: list[str] = []
    _add_lines(tutorial, info, 0, set(), lines)
    return "\n".join(lines)


def _part_result(tutorial: Tutorial, name: str) -> NameInfo | None:
    """One result of a part, such as ``tube.panels``, told like a name that the part's use makes."""
    use, dot, result = name.partition(".")
    info = tutorial.names.get(use)
    if not dot or info is None or not all(isinstance(v, PartResults) and result in v.names
                                          for v in info.values.values()):
        return None
    return replace(info, name=name, values={system: value[result] for system, value in info.values.items()
                                            if isinstance(value, PartResults)})


def _add_lines(tutorial: Tutorial, info: NameInfo, depth: int, listed: set[str], lines: list[str]) -> None:
    pad = "  " * depth
    lines.append(f"{pad}{info.name} = {_values(info)}")
    lines.append(f"{pad}  {info.span}"
                 + (f": {_one_line(info.text)}" if info.text else ": the front matter says so"))
    if info.name in listed:
        return
    listed.add(info.name)
    first = next(iter(info.values.values()))
    if isinstance(first, PartResults):
        results = {each: _part_result(tutorial, f"{info.name}.{each}") for each in first.names}
        lines.extend(f"{pad}    .{each} = {_values(result)}" for each, result in results.items() if result)
    for inner in info.uses:
        if inner in tutorial.names and inner != info.name:
            if inner in listed:
                lines.append(f"{pad}    {inner}: see above")
            else:
                _add_lines(tutorial, tutorial.names[inner], depth + 2, listed, lines)


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _values(info: NameInfo) -> str:
    texts = {system: _text(value, system) for system, value in info.values.items()}
    if len(set(texts.values())) == 1:
        return next(iter(texts.values()))
    return f"{texts['mm']} | {texts['in']}"


def _text(value: object, system: str) -> str:
    if isinstance(value, Group) and value.items and all(isinstance(v, Mark) for v in value.items):
        marks = Group(tuple(v.position for v in value.items if v.position is not None))
        where = f" at {word_value(marks, system).text}" if marks.items else ""
        return f"{len(value)} marks{where}"
    if isinstance(value, Mark) and value.position is not None:
        return f"a {value.verb} at {word_value(value.position, system).text} from the {value.measured_from}"
    if isinstance(value, Bay):
        return f"a bay {word_value(value.high - value.low, system).text} wide"
    if isinstance(value, PiecePlace):
        return f"the place at {word_value(value.at, system).text}"
    if isinstance(value, Piece):
        return "a piece of paper"
    if isinstance(value, PartResults):
        return f"what the part '{value.part}' gives"
    if isinstance(value, Group) and value.items and all(isinstance(v, Bay) for v in value.items):
        return f"{len(value)} bays " + word_value(Group(tuple(v.high - v.low for v in value.items)),
                                                  system).text + " wide"
    try:
        return word_value(value, system).text
    except (UnwordableValue, QuantityError):
        return kind_of(value)
