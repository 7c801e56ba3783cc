"""What a name stands for while statements are worked through.

The one registry of calls, made from the signatures and docstrings of their functions.
"""
from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping
from typing import get_args, get_type_hints

from generator.dataclass import dataclass, field
from generator.findings import Span
from generator.language.evaluation import arithmetic, prose_wording
from generator.paper import verbs
from generator.paper.parameter_kinds import ParameterKind
from generator.units import FrozenRecord

FAILED = object()       # what a name stands for when the statement that makes it is wrong
OMITTED = object()      # what a parameter of a part stands for when it may be left out, and was


class DependentFailure(Exception):
    """A value is missing because of a problem that is reported already; nothing more is said."""


@dataclass(frozen=True, slots=True)
class Binding:
    """What a name stands for, where it was made, and how it reads in the source."""

    name: str
    value: object
    span: Span
    text: str
    step: int       # 0 for the front matter


@dataclass(frozen=True, slots=True)
class Parameter:
    """``name`` as the source writes it.

    ``rest`` takes all further values; ``bare`` may stand without its name.

    Of a part, ``words`` say what it is, and ``default`` is the expression that stands in where it is left
    out.
    """

    name: str
    kind: ParameterKind
    required: bool
    bare: bool
    rest: bool = False
    words: str = ""
    default: str = ""


@dataclass(frozen=True, slots=True)
class CallEntry(FrozenRecord):
    """One call: ``use`` is "paper" (fences only), "value" (everywhere) or "prose" (between braces only).

    A part has no ``function``: it is worked by its statements; ``gives`` are
    its results, with words for each.
    """

    name: str
    family: str
    use: str
    function: Callable[..., object] | None
    parameters: tuple[Parameter, ...]
    help: str
    gives: Mapping[str, str] = field(default_factory=dict)

    @property
    def bare(self) -> tuple[Parameter, ...]:
        """The parameters that may stand without their names, in order."""
        return tuple(p for p in self.parameters if p.bare and not p.rest)

    @property
    def rest(self) -> Parameter | None:
        """The parameter that takes all further values, if there is one."""
        return next((p for p in self.parameters if p.rest), None)

    def signature(self) -> str:
        """How the call is written: ``score(piece, *shapes, x=…, y=…)``; what may be left out in ( )."""
        return f"{self.name}({', '.join(_parameter_text(p) for p in self.parameters)})"


def _parameter_text(p: Parameter) -> str:
    if p.rest:
        return f"{p.name}, …" if p.required else f"[{p.name}, …]"
    word = p.name if p.bare else f"{p.name}=…"
    return word if p.required else f"[{word}]"


def _kind_of_hint(hint: object) -> ParameterKind:
    """The kind of an annotation, also of one that may be None."""
    annotated = hint if hasattr(hint, "__metadata__") else get_args(hint)[0]
    return next(extra for extra in annotated.__metadata__ if isinstance(extra, ParameterKind))


def _parameter(p: inspect.Parameter, hints: Mapping[str, object]) -> Parameter:
    kind = _kind_of_hint(hints[p.name])
    rest = p.kind is inspect.Parameter.VAR_POSITIONAL
    return Parameter(p.name, kind, p.default is inspect.Parameter.empty and not rest,
                     p.kind is not inspect.Parameter.KEYWORD_ONLY, rest)


def entry_of(function: Callable[..., object], family: str, use: str) -> CallEntry:
    """Read one function; its first parameter is the plan builder and is not the source's business."""
    hints = get_type_hints(function, include_extras=True)
    parameters = list(inspect.signature(function).parameters.values())[1:]
    return CallEntry(function.__name__.rstrip("_"), family, use, function,
                 tuple(_parameter(p, hints) for p in parameters), inspect.getdoc(function) or "")


FAMILIES = (
    ("blanks", "paper", verbs.BLANKS), ("work", "paper", verbs.MARKS), ("nets", "paper", verbs.NETS),
    ("assembly", "paper", verbs.ASSEMBLY), ("decoration", "paper", verbs.DECORATION),
    ("what must hold", "paper", verbs.REQUIREMENTS),
    ("points and shapes", "value", verbs.SHAPES), ("panels and flaps", "value", verbs.OUTLINES),
    ("patterns", "value", verbs.PATTERNS), ("sums", "value", arithmetic.NUMBER_FUNCTIONS),
    ("prose", "prose", prose_wording.PROSE_FUNCTIONS),
)

REGISTRY: Mapping[str, CallEntry] = {
    each.name: each for family, use, functions in FAMILIES
    for each in (entry_of(f, family, use) for f in functions)}
