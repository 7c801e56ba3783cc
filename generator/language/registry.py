"""The one registry of calls, made from the signatures and docstrings of their functions."""
from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import get_type_hints

from generator.language import functions, prose
from generator.paper import calls
from generator.paper.kinds import Kind


@dataclass(frozen=True, slots=True)
class Parameter:
    """``name`` as the source writes it; ``rest`` takes all further values; ``bare`` may stand without its name.

    Of a part, ``words`` say what it is, and ``default`` is the expression that stands in where it is left out.
    """

    name: str
    kind: Kind
    required: bool
    bare: bool
    rest: bool = False
    words: str = ""
    default: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """One call: ``use`` is "paper" (fences only), "value" (everywhere) or "prose" (between braces only).

    A part has no ``function``: it is worked by its statements; ``gives`` are
    its results, with words for each.
    """

    name: str
    family: str
    use: str
    function: Callable | None
    parameters: tuple[Parameter, ...]
    help: str
    gives: Mapping[str, str] = field(default_factory=dict)

    @property
    def bare(self) -> tuple[Parameter, ...]:
        return tuple(p for p in self.parameters if p.bare and not p.rest)

    @property
    def rest(self) -> Parameter | None:
        return next((p for p in self.parameters if p.rest), None)

    def signature(self) -> str:
        """How the call is written: ``score(piece, *shapes, x=…, y=…)``; what may be left out in ( )."""
        return f"{self.name}({', '.join(_shown(p) for p in self.parameters)})"


def _shown(p: Parameter) -> str:
    if p.rest:
        return f"{p.name}, …" if p.required else f"[{p.name}, …]"
    word = p.name if p.bare else f"{p.name}=…"
    return word if p.required else f"[{word}]"


def _parameter(p: inspect.Parameter, hints: Mapping[str, object]) -> Parameter:
    kind = next(extra for extra in hints[p.name].__metadata__ if isinstance(extra, Kind))
    rest = p.kind is inspect.Parameter.VAR_POSITIONAL
    return Parameter(p.name, kind, p.default is inspect.Parameter.empty and not rest,
                     p.kind is not inspect.Parameter.KEYWORD_ONLY, rest)


def entry(function: Callable, family: str, use: str) -> Entry:
    """Read one function; its first parameter is the job and is not the source's business."""
    hints = get_type_hints(function, include_extras=True)
    parameters = list(inspect.signature(function).parameters.values())[1:]
    return Entry(function.__name__.rstrip("_"), family, use, function,
                 tuple(_parameter(p, hints) for p in parameters), inspect.getdoc(function) or "")


FAMILIES = (
    ("blanks", "paper", calls.BLANKS), ("work", "paper", calls.WORK), ("nets", "paper", calls.NETS),
    ("assembly", "paper", calls.ASSEMBLY), ("decoration", "paper", calls.DECORATION),
    ("what must hold", "paper", calls.KEEP),
    ("points and shapes", "value", calls.SHAPES), ("panels and flaps", "value", calls.OUTLINES),
    ("patterns", "value", calls.PATTERNS), ("sums", "value", functions.FUNCTIONS), ("prose", "prose", prose.FUNCTIONS),
)

REGISTRY: Mapping[str, Entry] = {
    each.name: each for family, use, made in FAMILIES for each in (entry(f, family, use) for f in made)}
