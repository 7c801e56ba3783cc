"""The log of boxes really made, beside the source: who made one writes down what it measured.

It is read whole, with everything that is wrong with it, and is no page: that of the tutorial
says what it comes to.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Annotated, cast

from pydantic import BaseModel, BeforeValidator, ConfigDict, PlainValidator, ValidationError

from generator.dataclass import dataclass, field
from generator.findings import Finding, Span, finding
from generator.language.source.document import read_source
from generator.language.source.front_matter_checks import span_of, validation_findings
from generator.language.source.front_matter_models import (
    Length,
    MeasuredLength,
    SystemCode,
    Text,
    ToolModel,
    for_both_systems,
    read_day,
)
from generator.language.source.portable_names import holds_file
from generator.language.source.records import LOG_FILE, FrontMatterText
from generator.language.source.yaml_tree import KeyPath, YamlTree, read_tree
from generator.units import SYSTEMS, FrozenRecord, Quantity, length

MEASURED = ("height", "across", "gap")
USUAL_TOLERANCE = 2       # mm; what hands and folds are off (common practice, no source)
BOX_HINT = "write for example {on: 2026-05-09, edition: mm, height: 60 mm}"


class _LogGroup(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class BoxModel(_LogGroup):
    """A box that was made: the day, the edition and the mark on its print, the paper, what was measured."""

    on: Annotated[date, PlainValidator(read_day)] | None = None
    edition: SystemCode | None = None
    mark: Text = ""
    paper: Text = ""
    height: Length | None = None
    across: Length | None = None
    gap: Length | None = None
    words: Text = ""
    photo: Text = ""


class LogModel(_LogGroup):
    """All keys of the log; ``tolerance`` is how far what is measured may lie from what is computed."""

    tolerance: Annotated[ToolModel, BeforeValidator(for_both_systems)] | None = None
    boxes: list[BoxModel] = []


_MODELS: Mapping[KeyPath, type[BaseModel]] = {(): LogModel, ("boxes",): BoxModel, ("tolerance",): ToolModel}


@dataclass(frozen=True, slots=True)
class MadeBox(FrozenRecord):
    """One box of the log; ``measured`` by name (:data:`MEASURED`), ``spans`` where each of them stands.

    ``mark`` is the revision mark of the print it was made from, "" where nobody wrote it down.
    """

    on: date
    edition: str
    mark: str = ""
    paper: str = ""
    measured: Mapping[str, MeasuredLength] = field(default_factory=dict)
    spans: Mapping[str, Span] = field(default_factory=dict)
    words: str = ""
    photo: str = ""


@dataclass(frozen=True, slots=True)
class BuildLog(FrozenRecord):
    """The boxes, in the order of their days; ``tolerance`` by system."""

    boxes: tuple[MadeBox, ...] = ()
    tolerance: Mapping[str, Quantity] = field(
        default_factory=lambda: {system: length(USUAL_TOLERANCE) for system in SYSTEMS})


@dataclass(frozen=True, slots=True)
class LogSource(FrozenRecord):
    """A log as it was read: its file as shown, its text, and everything that is wrong with it."""

    log: BuildLog = BuildLog()
    file: str = ""
    text: str = ""
    findings: tuple[Finding, ...] = ()


WITHOUT_LOG = LogSource()


def log_beside(source: Path, shown: str) -> LogSource:
    """The log of a tutorial; an empty one where there is none."""
    path, file = source.with_name(LOG_FILE), shown.removesuffix(source.name) + LOG_FILE
    if source.name != "index.md" or not path.exists():
        return WITHOUT_LOG
    text, findings = read_source(path, file)
    if text is None:
        return LogSource(file=file, findings=findings)
    tree, wrong = read_tree(FrontMatterText(text, 1), file)
    if tree is None:
        return LogSource(file=file, text=text, findings=tuple(map(_of_log, wrong)))
    if not tree.values:
        tree.values[()] = Span(file, 1, 1, 2)
    try:
        model = LogModel.model_validate(tree.data)
    except ValidationError as errors:
        found = (*wrong, *validation_findings(errors, tree, _MODELS))
        return LogSource(file=file, text=text, findings=tuple(map(_of_log, found)))
    found = (*wrong, *_lacking(model, tree, path.parent))
    boxes = tuple(_made_box(box, k, tree) for k, box in enumerate(model.boxes) if box.on and box.edition)
    log = BuildLog(tuple(sorted(boxes, key=lambda box: box.on)))
    if (given := model.tolerance) is not None:
        log = replace(log, tolerance={"mm": given.mm.quantity, "in": given.inch.quantity})
    return LogSource(log, file, text, tuple(map(_of_log, found)))


def _of_log(found: Finding) -> Finding:
    """The reader of front matter speaks of that."""
    return replace(found, code="log-wrong", message=found.message.replace("the front matter", "this log"),
                   hint=found.hint.replace("begin with title: and a title",
                                           "begin with boxes: and a list below it"))


def _lacking(model: LogModel, tree: YamlTree, folder: Path) -> Iterator[Finding]:
    for k, box in enumerate(model.boxes):
        span = span_of(tree, ("boxes", k))
        for key, what in (("on", "day"), ("edition", "edition")):
            if getattr(box, key) is None:
                yield finding("log-wrong", span, f"this box has no {what}", BOX_HINT)
        if box.photo and not holds_file(folder, box.photo):
            yield finding("log-wrong", span_of(tree, ("boxes", k, "photo")),
                          f"there is no photo “{box.photo}” beside the source",
                          "put it there, or take it out")


def _made_box(box: BoxModel, place: int, tree: YamlTree) -> MadeBox:
    measured = {name: each for name in MEASURED if (each := getattr(box, name)) is not None}
    assert box.on is not None       # the caller has looked
    return MadeBox(box.on, cast(str, box.edition), box.mark.upper(), box.paper, measured,
                   {name: span_of(tree, ("boxes", place, name)) for name in measured}, box.words, box.photo)
