"""From the front matter's text to everything it names, in both editions."""
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date
from fractions import Fraction
from typing import TypeVar, cast

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from generator.dataclass import dataclass, field, replace
from generator.findings import Finding, Span
from generator.language.parts import Parts, built_in_parts
from generator.language.source import front_matter_checks
from generator.language.source.front_matter_checks import (
    error_path,
    nearest_word,
    span_of,
    validation_findings,
)
from generator.language.source.front_matter_models import (
    FrontModel,
    GuidesModel,
    HoldsModel,
    MeasuredLength,
    PaperModel,
    ToolModel,
    read_edition_measure,
    read_share,
)
from generator.language.source.front_matter_values import BOW_RIBBON, Contents, ShownMeasure
from generator.language.source.markdown import read_inline, relocated_prose
from generator.language.source.records import Document, Prose
from generator.language.source.yaml_tree import KeyPath, YamlTree, read_tree
from generator.paper.records import Paper
from generator.paper.sheet_layouts import StockSheet
from generator.paper.values import SolidSize
from generator.units import SYSTEMS, FrozenRecord, Quantity, QuantityError, length, other_system

STYLUS_RADIUS = CURVE_DEVIATION = Fraction(1, 2)   # mm
_UNCHECKED_KEYS = frozenset({"editions"})


@dataclass(frozen=True, slots=True)
class Credit:
    """Whose design it is; what nobody said is empty."""

    title: str = ""
    author: str = ""
    source: str = ""
    licence: str = ""
    permission: str = ""
    changes: str = ""


@dataclass(frozen=True, slots=True)
class Guides(FrozenRecord):
    """What curves are traced with, by system where tools differ.

    ``stylus`` is the radius of its tip in mm, ``edge`` the one that it follows
    ("outside" of a guide, or "inside" an opening), ``within`` how many mm a
    curve may be off. ``ovals`` (width, height) and ``circles`` (diameter) are
    the author's own. Defaults: a ball tip of 1 mm that runs round the outside,
    and half a millimetre (common practice, no source).
    """

    stylus: Mapping[str, Quantity] = field(default_factory=lambda: {s: length(STYLUS_RADIUS)
                                                                    for s in SYSTEMS})
    edge: str = "outside"
    within: Mapping[str, Quantity] = field(default_factory=lambda: {s: length(CURVE_DEVIATION)
                                                                    for s in SYSTEMS})
    ovals: Mapping[str, tuple[tuple[Quantity, Quantity], ...]] = field(default_factory=dict)
    circles: Mapping[str, tuple[Quantity, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class FrontMatter(FrozenRecord):
    """All that the front matter says.

    ``lengths[system][name]`` are the named lengths and the sizes of tools,
    each a Quantity that depends on itself; ``tools`` the names of the latter, and of what is bought.
    ``spans[name]`` is where a name of any kind stands, and
    ``edition_spans[system][name]`` where its value for a system does.
    ``level`` is None and ``minutes`` is None where nothing is said. ``within``
    is the window of the other edition's lengths, as a share of the drawn ones,
    where the author allows another than the usual. ``missing_lengths`` are named
    lengths of which the other edition says nothing that can be read; their
    drawn values stand in (only where the drawn side alone was asked for).
    ``parts`` are all that its fences may use.
    ``published`` and ``updated`` are the days the author gives, for feeds.
    ``holds`` is what is to go in, ``bow`` what a bow takes of a ribbon (by system), ``shown`` the lengths
    that photos show. ``hand`` is how far a hand is off (by system), where the author says it. ``chosen_for``
    are the drawn lengths that those of the other edition were chosen for, where that is said. ``names`` are
    what readers call names of the source, ``names_at`` where each of them stands, ``colours_at`` where papers
    get their colours, by paper and side. ``aliases`` are former names of its folder, the first one first.
    """

    file: str
    title: str
    summary: str
    drawn_in: str
    counts: Mapping[str, int]
    lengths: Mapping[str, Mapping[str, Quantity]]
    tools: frozenset[str]
    papers: Mapping[str, Paper]
    sheets: tuple[StockSheet, ...]
    level: str | None
    minutes: int | None
    supplies: tuple[Prose, ...]
    uses: tuple[str, ...]
    credit: Credit
    spans: Mapping[str, Span] = field(default_factory=dict)
    edition_spans: Mapping[str, Mapping[str, Span]] = field(default_factory=dict)
    within: Fraction | None = None
    missing_lengths: frozenset[str] = frozenset()
    published: date | None = None
    updated: date | None = None
    guides: Guides = Guides()
    holds: Contents | None = None
    bow: Mapping[str, Quantity] = field(default_factory=lambda: BOW_RIBBON)
    shown: tuple[ShownMeasure, ...] = ()
    parts: Parts = field(default_factory=built_in_parts)
    hand: Mapping[str, Quantity] = field(default_factory=dict)
    chosen_for: Mapping[str, Quantity] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    names_at: Mapping[str, Span] = field(default_factory=dict)
    colours_at: Mapping[tuple[str, str], Span] = field(default_factory=dict)
    aliases: tuple[str, ...] = ()

    @property
    def other(self) -> str:
        """The system in which the design was not drawn."""
        return other_system(self.drawn_in)


Parsed = TypeVar("Parsed")


def read_front_matter(document: Document, reserved: frozenset[str] = frozenset(),
               drawn_only: bool = False) -> tuple[FrontMatter | None, tuple[Finding, ...]]:
    """Everything the front matter says, and everything that is wrong with it.

    ``reserved`` are the words that no name may take. None when there is no
    front matter, or when something is wrong with what it names, so that
    working out the geometry would only repeat it. With ``drawn_only`` nothing
    under ``editions:`` is judged: what can be read there is taken.
    """
    if document.front is None:
        return None, ()
    tree, findings = read_tree(document.front, document.file)
    if tree is None:
        return None, findings
    if not tree.values:     # nothing stands between the two lines
        tree.values[()] = Span(document.file, 1, 1, 3)
    model, wrong, wrong_paths = _validated(tree, _UNCHECKED_KEYS if drawn_only else frozenset())
    crossed = [*front_matter_checks.missing_keys(tree)]
    if model is None:
        return None, (*findings, *wrong, *crossed)
    named = [*front_matter_checks.duplicate_names(model, tree, reserved)]
    if model.drawn_in is not None:
        named += front_matter_checks.wrong_systems(model, tree)
        if not drawn_only and not {("lengths",), ("editions",)} & wrong_paths:
            unread = frozenset(path[-1] for path in wrong_paths if isinstance(path[-1], str))
            named += front_matter_checks.edition_differences(model, tree, unread)
    supplies, in_supplies = _supplies(model, tree)
    problems = (*findings, *wrong, *crossed, *named, *front_matter_checks.missing_permission(model, tree),
                *front_matter_checks.wrong_dates(model, tree), *in_supplies)
    if wrong_paths or named or findings or model.drawn_in is None:
        return None, problems
    front = _front_matter(document.file, model, tree, supplies, drawn_only)
    if document.parts:
        front = replace(front, parts={**built_in_parts(), **cast(Parts, document.parts)})
    return front, problems


def _validated(tree: YamlTree, unjudged: frozenset[str]) -> tuple[FrontModel | None, list[Finding],
                                                                  set[KeyPath]]:
    """The model without what is wrong, the findings, and the paths (of names) that had to be left out."""
    findings: list[Finding] = []
    wrong_paths: set[KeyPath] = set()
    data = {key: value for key, value in tree.data.items() if key not in unjudged}
    for _ in range(4):      # what is left out may leave a group without what it needs
        try:
            return FrontModel.model_validate(data), findings, wrong_paths
        except ValidationError as errors:
            if not findings:
                findings += validation_findings(errors, tree)
            paths = {_removable(error) for error in errors.errors(include_url=False)}
            wrong_paths |= {named for path in paths if (named := _named_path(path)) is not None}
            data = _without(data, paths)
    return None, findings, wrong_paths


def _removable(error: ErrorDetails) -> KeyPath:
    path = error_path(error)
    if path[:1] == ("sheets",):     # a sheet goes whole: what was typed for it need not be a group of keys
        return path[:2]
    return path[:-1] if error["type"] == "missing" else path


def _named_path(path: KeyPath) -> KeyPath | None:
    """The name, or the group of names, which a wrong value leaves out; None for what names nothing."""
    if path[0] == "editions":
        return path[:3]
    if path[0] in front_matter_checks.NAME_GROUPS:
        return path[:2]
    if path[0] in FrontModel.model_fields:
        return None
    meant = nearest_word(str(path[0]), (*front_matter_checks.NAME_GROUPS, "editions"))
    return (meant,) if len(path) == 1 and meant else None


def _without(data: dict[str, object], paths: set[KeyPath]) -> dict[str, object]:
    """The data without what stands at ``paths``."""
    return {k: _pruned(v, paths, (k,)) for k, v in data.items() if (k,) not in paths}


def _pruned(value: object, paths: set[KeyPath], here: KeyPath) -> object:
    if isinstance(value, dict):
        return {k: _pruned(v, paths, (*here, k)) for k, v in value.items() if (*here, k) not in paths}
    if isinstance(value, list):
        return [_pruned(v, paths, (*here, i)) for i, v in enumerate(value) if (*here, i) not in paths]
    return value


def _supplies(model: FrontModel, tree: YamlTree) -> tuple[tuple[Prose, ...], list[Finding]]:
    read, findings = [], []
    for i, text in enumerate(model.supplies):
        span, raw = span_of(tree, ("supplies", i)), tree.raw.get(("supplies", i), "")
        quoted = len(raw) > 1 and raw[0] in "\"'" and raw[1:-1] == text
        found = read_inline(text, span.file, span.line, span.column + quoted)
        if quoted or raw == text:
            read.append(found.prose)
            findings += found.findings
        else:
            prose, lost = relocated_prose(found.prose, raw, span)
            read.append(prose)
            findings += (*(replace(f, span=span) for f in found.findings), *lost)
    return tuple(read), findings


def _front_matter(file: str, model: FrontModel, tree: YamlTree, supplies: tuple[Prose, ...],
                  drawn_only: bool) -> FrontMatter:
    drawn_in = model.drawn_in
    assert drawn_in is not None      # the caller has looked
    other = other_system(drawn_in)
    given, within = _readable_other_edition(tree, other) if drawn_only else _other_edition(model, other)
    paths: dict[str, dict[str, KeyPath]] = {
        drawn_in: {n: ("lengths", n) for n in model.lengths},
        other: {n: ("editions", other, n) for n in model.lengths}}
    for system in SYSTEMS:
        paths[system] |= {n: ("tools", n, system) for n in model.tools}
        paths[system] |= {n: ("bought", n) for n in model.bought}
    return FrontMatter(
        file, model.title or "", model.summary, drawn_in, dict(model.counts),
        _lengths(model, drawn_in, other, given), frozenset((*model.tools, *model.bought)),
        {name: _paper(name, paper) for name, paper in model.papers.items()},
        tuple(dict.fromkeys(each.sheet for each in model.sheets)), model.level, model.time, supplies,
        tuple(dict.fromkeys(model.uses)), Credit(**model.credit.model_dump()),
        {name: span_of(tree, (group, name), key=True) for group in front_matter_checks.NAME_GROUPS
         for name in getattr(model, group)},
        {system: {n: span_of(tree, path) for n, path in found.items()} for system, found in paths.items()},
        within, frozenset(model.lengths.keys() - given.keys()), published=model.published,
        updated=model.updated, guides=_guides(model.guides),
        holds=_contents(model.holds, span_of(tree, ("holds",), key=True)),
        bow=_bow_ribbon(model.bow),
        shown=tuple(_photo_lengths(model, tree)),
        hand={"mm": model.hand.mm.quantity, "in": model.hand.inch.quantity} if model.hand else {},
        chosen_for={name: length(measure.chosen_for.quantity.value, name) for name, measure in given.items()
                    if measure.chosen_for is not None},
        names=dict(model.names), aliases=tuple(dict.fromkeys(model.aliases)),
        names_at={name: span_of(tree, ("names", name), key=True) for name in model.names},
        colours_at={(name, side): span_of(tree, ("papers", name, side))
                    for name, paper in model.papers.items() for side in ("printed", "plain")
                    if getattr(paper, side)})


def _contents(model: HoldsModel | None, span: Span) -> Contents | None:
    if model is None:
        return None
    across = model.width or model.diameter
    assert across is not None      # the model refuses sides that make no box, no tin and no ball
    size = SolidSize(across.quantity, model.depth.quantity if model.depth else None,
                     model.height.quantity if model.height else None)
    return Contents(model.what, size, model.piece, model.soft, span)


def _photo_lengths(model: FrontModel, tree: YamlTree) -> Iterator[ShownMeasure]:
    for photo, shown in model.photos.items():
        for name, size in shown.items():
            span = span_of(tree, ("photos", photo, name))
            yield (ShownMeasure(photo, name, None, "", span, size) if isinstance(size, int)
                   else ShownMeasure(photo, name, size.quantity, size.system, span))


def _bow_ribbon(model: ToolModel | None) -> Mapping[str, Quantity]:
    return BOW_RIBBON if model is None else {"mm": model.mm.quantity, "in": model.inch.quantity}


def _guides(model: GuidesModel) -> Guides:
    given = {name: {"mm": tool.mm.quantity, "in": tool.inch.quantity}
             for name, tool in (("stylus", model.stylus), ("within", model.within)) if tool is not None}
    return Guides(edge=model.edge, **given,
                  ovals={s: tuple((o.width, o.height) for o in model.ovals if o.system == s)
                         for s in SYSTEMS},
                  circles={s: tuple(c.quantity for c in model.circles if c.system == s) for s in SYSTEMS})


def _other_edition(model: FrontModel, other: str) -> tuple[Mapping[str, MeasuredLength], Fraction | None]:
    """What the other edition says, and its window."""
    return (model.editions.inch if other == "in" else model.editions.mm) or {}, model.editions.within


def _readable_other_edition(tree: YamlTree, other: str) -> tuple[Mapping[str, MeasuredLength],
                                                                 Fraction | None]:
    """As :func:`_other_edition`, but only what can be read, whatever is wrong beside it."""
    editions = _mapping(tree.data.get("editions"))
    lengths = _mapping(editions.get(other))
    read = {name: measure for name, text in lengths.items()
            if (measure := _parsed_or_none(read_edition_measure, text)) is not None
            and measure.system == other}
    return read, _parsed_or_none(read_share, editions.get("within"))


def _mapping(value: object) -> Mapping[str, object]:
    return value if isinstance(value, dict) else {}


def _parsed_or_none(read: Callable[[object], Parsed], text: object) -> Parsed | None:
    try:
        return read(text)
    except QuantityError:
        return None


def _lengths(model: FrontModel, drawn_in: str, other: str,
             given: Mapping[str, MeasuredLength]) -> dict[str, dict[str, Quantity]]:
    """Every named length in both editions, in the order in which the source names them."""
    found = {drawn_in: {n: m.quantity for n, m in model.lengths.items()},
             other: {n: given.get(n, m).quantity for n, m in model.lengths.items()}}
    for name, tool in (model.tools | model.bought).items():
        found["mm"][name], found["in"][name] = tool.mm.quantity, tool.inch.quantity
    return {s: {n: length(q.value, n) for n, q in found[s].items()} for s in SYSTEMS}


def _paper(name: str, model: PaperModel) -> Paper:
    thickness = model.thickness.quantity if model.thickness else None
    return Paper(name, model.weight, thickness, model.grain, model.one_way, model.two_sided, model.printed,
                 model.plain)
