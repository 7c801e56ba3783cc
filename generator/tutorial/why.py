"""Why a name is what it is: number → expression → named lengths → lines of the source."""
from __future__ import annotations

from generator.findings import Finding, Span, finding
from generator.language.application import did_you_mean
from generator.language.worded import Unsayable, said
from generator.paper.kinds import kind_of
from generator.paper.records import Mark
from generator.paper.values import Bay, Group, Piece, Place
from generator.tutorial.records import NameInfo, Tutorial
from generator.units import QuantityError


def chain(tutorial: Tutorial, name: str) -> tuple[str, tuple[Finding, ...]]:
    """The chain of one name as lines of text, what it rests on indented below it; a finding for an unknown name."""
    if name not in tutorial.names:
        hint = did_you_mean(name, tutorial.names, "names are made in the front matter and in fences")
        return "", (finding("name-unknown", Span(tutorial.file), f"this tutorial has no name '{name}'", hint),)
    lines: list[str] = []
    _tell(tutorial, tutorial.names[name], 0, set(), lines)
    return "\n".join(lines), ()


def _tell(tutorial: Tutorial, info: NameInfo, depth: int, told: set[str], lines: list[str]) -> None:
    pad = "  " * depth
    lines.append(f"{pad}{info.name} = {_values(info)}")
    lines.append(f"{pad}  {info.span}" + (f": {_one_line(info.text)}" if info.text else ": the front matter says so"))
    if info.name in told:
        return
    told.add(info.name)
    for inner in info.uses:
        if inner in tutorial.names and inner != info.name:
            if inner in told:
                lines.append(f"{pad}    {inner}: see above")
            else:
                _tell(tutorial, tutorial.names[inner], depth + 2, told, lines)


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
        where = f" at {said(marks, system).text}" if marks.items else ""
        return f"{len(value)} marks{where}"
    if isinstance(value, Mark) and value.position is not None:
        return f"a {value.verb} at {said(value.position, system).text} from the {value.measured_from}"
    if isinstance(value, Bay):
        return f"a bay {said(value.high - value.low, system).text} wide"
    if isinstance(value, Place):
        return f"the place at {said(value.at, system).text}"
    if isinstance(value, Piece):
        return "a piece of paper"
    try:
        return said(value, system).text
    except (Unsayable, QuantityError):
        return kind_of(value)


