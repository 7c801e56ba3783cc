"""Families: sources to start from, made to a few dimensions; the search chooses the other edition.

A file of ``generator/families/`` begins with a block of its own: ``help`` (a
sentence), ``asks`` (the names that are asked for, with words) and ``follows``
(lengths that follow from them, each a sum of the language and the mark it is
put on: ``panel/2 — up on the board``). Below it stands a source that loads as
it is; what it says of lengths and counts are the dimensions unless others are
given.
"""
from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from importlib.resources import files
from types import MappingProxyType

from generator.dataclass import dataclass, field
from generator.findings import Finding, Span, has_errors
from generator.language.evaluation.evaluate import EditionValues, ProseContext, evaluate
from generator.language.front_matter import FrontMatter, read_front_matter
from generator.language.source.document import read_document
from generator.language.source.yaml_tree import read_tree
from generator.language.syntax.parser import parse_expression
from generator.paper.verbs import RESERVED_NAMES
from generator.regauge import (
    DrawnEdition,
    RegaugeOptions,
    RegaugeResult,
    find_lengths,
    read_drawn_edition,
    report_text,
)
from generator.regauge.rewriting import fill_dimensions, rewrite_edition, typed_length
from generator.regauge.solution import FoldedCheck
from generator.tutorial.folded_editions import check_folded
from generator.tutorial.load import load_text
from generator.units import (
    SYSTEMS,
    Bench,
    Quantity,
    QuantityError,
    length,
    number,
    other_system,
    parse_length,
    unit_of,
)

FOLDER = "families"
TITLE = "TITLE"
# windows for small boxes, whose lengths meet few marks
WIDER_WINDOWS = (Fraction(12, 100), Fraction(20, 100), Fraction(30, 100))
_DERIVATION = re.compile(r"(?P<sum>.+) — (?P<way>up|down|nearest) on the (?P<tool>board|trimmer|rule)\Z")
_SPLIT = re.compile(r"\A(---\n.*?\n---\n)\n*(---\n.*)\Z", re.DOTALL)


class UnsuitableDimensions(ValueError):
    """Dimensions of which no box comes; ``findings`` are of ``text``, the source that would be written."""

    def __init__(self, message: str, findings: tuple[Finding, ...] = (), text: str = ""):
        super().__init__(message)
        self.findings, self.text = findings, text


@dataclass(frozen=True, slots=True)
class Family:
    """``asks`` are words by name, ``follows`` sums by name; ``counts`` and ``lengths`` its own."""

    name: str
    help: str
    asks: Mapping[str, str]
    follows: Mapping[str, str]
    source: str
    counts: Mapping[str, int]
    lengths: Mapping[str, Mapping[str, Quantity]]

    @property
    def names(self) -> tuple[str, ...]:
        """All names that may be given, those that are asked for first."""
        return tuple(dict.fromkeys((*self.asks, *self.counts, *self.lengths["mm"])))

    def default(self, name: str, system: str) -> str:
        """What the family itself says, as it is typed."""
        return str(self.counts[name]) if name in self.counts else typed_length(
            Fraction(self.lengths[system][name].value), system)


@dataclass(frozen=True, slots=True)
class NewSource:
    """A source to be written, and the warnings about it."""

    text: str
    findings: tuple[Finding, ...] = field(default=())


def family_names() -> tuple[str, ...]:
    """The names of all families."""
    return tuple(sorted(each.name.removesuffix(".md")
                        for each in files("generator").joinpath(FOLDER).iterdir()
                        if each.name.endswith(".md")))


def family(name: str) -> Family:
    """A family. Raises KeyError for a name that is none, ValueError for a file that is wrong."""
    if name not in family_names():
        raise KeyError(name)
    text = files("generator").joinpath(FOLDER, f"{name}.md").read_text(encoding="utf-8")
    split = _SPLIT.match(text)
    own = read_document(f"{FOLDER}/{name}.md", split[1] + "\n") if split else None
    tree, _ = read_tree(own.front, own.file) if own and own.front else (None, ())
    front = _front_of(split[2]) if split else None
    if split is None or tree is None or front is None:
        raise ValueError(f"the family {name} cannot be read")
    given = {system: {n: q for n, q in front.lengths[system].items() if n not in front.tools}
             for system in SYSTEMS}
    return Family(name, str(tree.data["help"]), _texts(tree.data["asks"]), _texts(tree.data.get("follows")),
                  split[2],
                  front.counts, given)


def _texts(data: object) -> dict[str, str]:
    return {str(name): str(text) for name, text in data.items()} if isinstance(data, dict) else {}


def _front_of(text: str) -> FrontMatter | None:
    front, _ = read_front_matter(read_document("family.md", text), RESERVED_NAMES)
    return front


def dimension(family: Family, name: str, text: str, system: str) -> int | Quantity:
    """A dimension as it was typed. Raises Unsuitable."""
    if name not in family.names:
        raise UnsuitableDimensions(
            f"the family '{family.name}' has no '{name}'; its dimensions are {', '.join(family.names)}")
    if name in family.counts:
        if not re.fullmatch(r"[0-9]{1,4}", text.strip()):
            raise UnsuitableDimensions(
                f"{name}: “{text}” is not a whole number; write it without a unit, as in "
                f"{family.counts[name]}")
        return int(text)
    try:
        found, unit = parse_length(text), unit_of(text)
    except QuantityError as error:
        raise UnsuitableDimensions(f"{name}: {error}" + (f"; {error.hint}" if error.hint else "")) from None
    if unit != system:
        raise UnsuitableDimensions(
            f"{name}: “{text}” is not in the system the box is drawn in; write it in {system}, "
                         f"as in {family.default(name, system)}, or choose the other system with --drawn-in")
    return found


def new_source(family: Family, title: str, system: str, given: Mapping[str, int | Quantity],
               benches: Mapping[str, Bench],
          shown: str) -> NewSource:
    """The source of a box of the family with these dimensions.

    Raises Unsuitable where no sound box comes of them.
    """
    counts, lengths = dimensions(family, given, benches[system])
    text = fill_dimensions(family.source.replace(TITLE, title), system, counts, lengths)
    text = source_with_other_edition(text, system, benches, shown)
    findings = load_text(text, shown, benches).findings
    if has_errors(findings):
        raise UnsuitableDimensions("no sound box comes of these dimensions", findings, text)
    return NewSource(text, findings)


def source_with_other_edition(text: str, system: str, benches: Mapping[str, Bench], shown: str,
                              check: FoldedCheck = check_folded,
                              pinned: Mapping[str, Fraction] = MappingProxyType({})) -> str:
    """A source drawn in ``system`` with an edition in the other one, in which ``check`` finds nothing wrong.

    ``pinned`` are lengths (mm) of that edition. Raises Unsuitable where no sound box comes of it.
    """
    drawn, wrong = read_drawn_edition(text, shown)
    if drawn is None:
        raise UnsuitableDimensions("no box comes of these dimensions", wrong, text)
    other = other_system(system)
    answer, within = _regauge(drawn, benches, check, pinned)
    if answer.best is None:
        raise UnsuitableDimensions(
            f"no lengths in the other system ({other}) go with these dimensions\n\n{report_text(answer)}")
    return rewrite_edition(text, other, answer.best.values, answer.problem.drawn, within)


def dimensions(family: Family, given: Mapping[str, int | Quantity],
               bench: Bench) -> tuple[dict[str, int], dict[str, Fraction]]:
    """All counts and lengths (mm) of the drawn edition: given ones, what follows, and the family's own."""
    counts = {**family.counts, **{n: v for n, v in given.items() if isinstance(v, int)}}
    lengths = {n: Fraction(v.value) for n, v in family.lengths[bench.system].items()}
    lengths |= {n: Fraction(v.value) for n, v in given.items() if isinstance(v, Quantity)}
    return counts, lengths | {n: v for n, v in _derived_lengths(family, counts, lengths, bench).items()
                              if n not in given}


def _regauge(drawn: DrawnEdition, benches: Mapping[str, Bench], check: FoldedCheck,
             pinned: Mapping[str, Fraction]) -> tuple[RegaugeResult, Fraction | None]:
    """The answer with the narrowest window in which something fits, and that window if it is unusual."""
    usual = find_lengths(drawn, benches, check, RegaugeOptions(pinned))
    if usual.best is None:
        for within in WIDER_WINDOWS:
            answer = find_lengths(drawn, benches, check, RegaugeOptions(pinned, within))
            if answer.best is not None:
                return answer, within
    return usual, None


def _derived_lengths(family: Family, counts: Mapping[str, int], lengths: Mapping[str, Fraction],
                     bench: Bench) -> dict[str, Fraction]:
    """What follows from the dimensions, each on a mark of its tool."""
    found: dict[str, Fraction] = {}
    for name, text in family.follows.items():
        read = _DERIVATION.match(text)
        expr, wrong = parse_expression(read["sum"] if read else "", Span(f"{FOLDER}/{family.name}.md"))
        if read is None or expr is None or wrong:
            raise ValueError(f"the family {family.name} does not say well what '{name}' is")
        names = {n: length(v, n) for n, v in {**lengths, **found}.items()}
        numbers = {n: number(v) for n, v in counts.items()}
        value = ProseContext(evaluate(bench.system, EditionValues(names, numbers, {}, {}), ())).value(expr)
        assert isinstance(value, Quantity), name
        found[name] = _nearest_mark(value, read["way"], bench.grid(read["tool"]))
    return found


def _nearest_mark(value: Quantity, way: str, step: Fraction) -> Fraction:
    """A measure on the marks of a tool, never at nothing."""
    marks = Fraction(value.value) / step
    whole = {"up": -(-marks // 1), "down": marks // 1}.get(way, round(marks))
    return max(Fraction(whole), Fraction(1)) * step
