"""The bench: the tools a reader is assumed to have, and the marks they carry."""
from __future__ import annotations

import difflib
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from generator.dataclass import dataclass
from generator.units.parsing import parse_length, unit_of
from generator.units.quantity import TOLERANCE, Quantity, QuantityError, length
from generator.units.systems import SYSTEMS


@dataclass(frozen=True, slots=True)
class ToolKind:
    """One kind of tool, by the key of its words; ``caution`` names what in its use can hurt.

    ``has_marks`` tools belong to a bench; ``follows`` names the tool with which
    the places of one without marks of its own are set out. A ``chosen`` one may
    be named by the source for a mark; ``grid`` is what messages call its marks.
    """

    word: str
    caution: str | None = None
    has_marks: bool = False
    follows: str | None = None
    chosen: bool = False
    grid: str = ""


_TOOLS = (      # in the order of a list of tools
    ToolKind("board", has_marks=True, chosen=True, grid="scoring board"),
    ToolKind("stylus"),
    ToolKind("trimmer", "blade", has_marks=True, chosen=True, grid="trimmer"),
    ToolKind("knife", "blade"),
    ToolKind("rule", has_marks=True, chosen=True, grid="rule"),
    ToolKind("template", has_marks=True, follows="rule", chosen=True, grid="template's grid"),
    ToolKind("fold"),
    ToolKind("punch", "punch", has_marks=True, follows="rule", grid="punch"),
    ToolKind("perforate", "blade"),
    ToolKind("glue"),
    ToolKind("thread", "ribbon"),
    ToolKind("pencil"),
)
TOOL_KINDS: Mapping[str, ToolKind] = MappingProxyType({kind.word: kind for kind in _TOOLS})
TOOLS = tuple(kind.word for kind in _TOOLS if kind.has_marks)


@dataclass(frozen=True, slots=True)
class Tool:
    """A tool with marks every ``step`` mm from its zero, up to ``reach`` mm (None: as far as needed)."""

    name: str
    system: str
    step: Fraction
    reach: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Bench:
    """The tools of one household, by name (:data:`TOOLS`); ``system`` is what it measures in."""

    system: str
    tools: Mapping[str, Tool]

    def grid(self, tool: str) -> Fraction:
        """How far apart the tool's marks are, in mm; KeyError for a tool that is not one of :data:`TOOLS`."""
        return self.tools[tool].step

    def on_grid(self, quantity: Quantity, tool: str) -> str:
        """"on" or "off" the tool's marks; "about" when the length is not exact.

        Raises :class:`QuantityError` for anything but a length.
        """
        _require_length(quantity)
        if not quantity.exact:
            return "about"
        return "off" if quantity.value % self.grid(tool) else "on"

    def nearest(self, quantity: Quantity, tool: str) -> tuple[Quantity, Quantity]:
        """The tool's marks below and above a length; the same mark twice for a length that lies on it."""
        _require_length(quantity)
        step, value = self.grid(tool), Fraction(quantity.value)
        at = round(value / step) * step
        if at == value or (not quantity.exact and abs(at - value) <= TOLERANCE):
            return length(at), length(at)
        below = value // step * step
        return length(below), length(below + step)


def default_bench(system: str) -> Bench:
    """The bench of a household of which nothing is said; ``system`` is "mm" or "in"."""
    return bench_from({}, system)


def bench_from(given: Mapping[str, str], system: str) -> Bench:
    """A bench from its settings, every length as text; what is not given is as in :func:`default_bench`.

    Keys are the names of tools, each with the distance of its marks
    (``board: 1/8 in``), and ``<tool>_length`` with how far it reaches.
    ``template`` and ``punch`` follow the rule unless given. Raises one
    :class:`QuantityError` ("bench-wrong") that names all that is wrong.
    """
    if system not in SYSTEMS:
        raise QuantityError("bench-wrong", f'there is no bench for "{system}"', f"use {' or '.join(SYSTEMS)}")
    read: dict[str, tuple[Fraction, str]] = {}
    problems = []
    for key, text in given.items():
        try:
            read[key] = _setting(key, text)
        except QuantityError as error:
            problems.append(error)
    if problems:
        raise QuantityError("bench-wrong", "; ".join(map(str, problems)),
                            "; ".join(dict.fromkeys(p.hint for p in problems if p.hint)))
    tools = {name: _tool(name, system, read) for name in TOOLS}
    return Bench(system, MappingProxyType(tools))


def _setting(key: str, text: object) -> tuple[Fraction, str]:
    known = (*TOOLS, *(f"{name}_length" for name in TOOLS))
    if key not in known:
        near = difflib.get_close_matches(str(key), known, 1)
        raise QuantityError("bench-wrong", f'a bench has no "{key}"',
                            f"did you mean {near[0]}?" if near else "its tools are " + ", ".join(TOOLS))
    if not isinstance(text, str):
        raise QuantityError("bench-wrong", f"{key}: {text} has no unit",
                            "write a length such as 1/8 in or 5 mm")
    try:
        return Fraction(parse_length(text).value), unit_of(text)
    except QuantityError as error:
        raise QuantityError("bench-wrong", f"{key}: {error}", error.hint) from error


def _tool(name: str, system: str, read: Mapping[str, tuple[Fraction, str]]) -> Tool:
    usual, is_board = SYSTEMS[system], name == "board"
    step, unit = (read.get(name) or read.get(TOOL_KINDS[name].follows or name)
                  or (usual.board_step if is_board else usual.rule_step, system))
    reach = read[f"{name}_length"][0] if f"{name}_length" in read else None
    if reach is None and is_board:
        reach = usual.board_length
    return Tool(name, unit, step, reach)


def _require_length(quantity: Quantity) -> None:
    if quantity.power != 1:
        raise QuantityError("units-mixed", f"{quantity.kind} does not lie on the marks of a tool",
                            "a mark needs a length")
