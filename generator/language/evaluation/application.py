"""Apply a call of the registry: match its parameters, check their kinds, zip what is not taken whole."""
from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from generator.findings import Finding, FindingError, Span, finding, finding_error
from generator.language.evaluation.arithmetic import zip_groups
from generator.language.evaluation.registry import REGISTRY, CallEntry, Parameter
from generator.language.parts import Parts
from generator.language.syntax.nodes import Call
from generator.paper.parameter_kinds import kind_of
from generator.paper.plan_builder import CallContext
from generator.paper.values import ComparisonResult, Group, PartResults
from generator.units import Angle, Quantity

SpannedValue = tuple[object, Span]


def call_entry(call: Call, parts: Parts = MappingProxyType({})) -> CallEntry:
    """The registry's entry for a call, or that of a part. Raises Trouble for a call that does not exist."""
    found = REGISTRY.get(call.name)
    if found is None and call.name in parts:
        return parts[call.name].entry
    if found is None:
        raise finding_error("call-unknown", call.name_span, f"there is no call '{call.name}'",
                      did_you_mean(call.name, (*REGISTRY, *parts), "foldgauge calls lists them all"))
    return found


def did_you_mean(word: str, known: Iterable[str], otherwise: str = "") -> str:
    """A hint that names the nearest known word, or ``otherwise``."""
    near = difflib.get_close_matches(word, list(known), n=1, cutoff=0.7)
    return f"did you mean '{near[0]}'?" if near else otherwise


def match_arguments(entry: CallEntry, call: Call, args: Sequence[SpannedValue],
                    keywords: Mapping[str, SpannedValue]) -> tuple[dict[str, SpannedValue],
                                                                      tuple[SpannedValue, ...]]:
    """Values by parameter, and those of the parameter that takes all further ones.

    Raises Trouble with all that is wrong.
    """
    wrong: list[Finding] = []
    taken: dict[str, SpannedValue] = {}
    bare = entry.bare
    further: tuple[SpannedValue, ...] = ()
    for k, given in enumerate(args):
        if k < len(bare):
            taken[bare[k].name] = given
        elif entry.rest:
            further += (given,)
        else:
            wrong.append(finding("call-parameter", given[1],
                                 f"{entry.name} takes {_count_text(len(bare))} without a name, "
                                 f"this is number {k + 1}", f"it is written {entry.signature()}"))
    spans = {k.name: k.span for k in call.keywords}
    for name, given in keywords.items():
        if name in taken:
            wrong.append(finding("call-parameter", spans[name], f"'{name}' is given twice",
                                 "leave one of them out"))
        else:
            taken[name] = given
    missing = [p.name for p in entry.parameters if p.required and not p.rest and p.name not in taken]
    if missing and not wrong:
        wrong.append(finding("call-missing", call.span, f"{entry.name} needs {' and '.join(missing)}",
                             f"it is written {entry.signature()}"))
    if wrong:
        raise FindingError(*wrong)
    return taken, further


def unknown_parameter_findings(entry: CallEntry, call: Call) -> list[Finding]:
    """A finding for each name in a call that is none of its parameters."""
    known = {p.name for p in entry.parameters if not p.rest}
    compares = any(p.kind.types == (ComparisonResult,) for p in entry.parameters)
    otherwise = "write == to compare" if compares else f"it is written {entry.signature()}"
    return [finding("call-parameter", k.span, f"{entry.name} has no parameter '{k.name}'",
                    did_you_mean(k.name, known, otherwise)) for k in call.keywords if k.name not in known]


def _count_text(n: int) -> str:
    return "nothing" if n == 0 else f"{n} value" + ("" if n == 1 else "s")


def check_kinds(entry: CallEntry, taken: Mapping[str, SpannedValue], further: Sequence[SpannedValue]) -> None:
    """Raises Trouble naming every value of the wrong kind."""
    by_name = {p.name: p for p in entry.parameters}
    pairs = [(by_name[name], given) for name, given in taken.items()]
    if entry.rest is not None:
        pairs += [(entry.rest, given) for given in further]
    wrong = [f for p, (value, span) in pairs if (f := _kind_finding(entry, p, value, span)) is not None]
    if wrong:
        raise FindingError(*wrong)


def _kind_finding(entry: CallEntry, p: Parameter, value: object, span: Span) -> Finding | None:
    if not p.kind.many:
        return _single_kind_finding(entry, p, value, span)
    if isinstance(value, Group) and not p.kind.deep and any(isinstance(v, Group) for v in value.items):
        return finding("call-kind", span,
                       f"{entry.name} takes one group as '{p.name}', and these are groups within a group",
                       "flatten them with .all, or select one")
    if p.kind.fits(value):
        return None
    odd = next((v for v in _flat_members(value) if not p.kind.fits(v)), value)
    return _wrong_kind_finding(entry, p, odd, span)


def _wrong_kind_finding(entry: CallEntry, p: Parameter, odd: object, span: Span) -> Finding:
    return finding("call-kind", span,
                   f"{entry.name} takes {p.kind.phrase} as '{p.name}', and this is {kind_of(odd)}",
                   _kind_hint(odd, p))


def _single_kind_finding(entry: CallEntry, p: Parameter, value: object, span: Span) -> Finding | None:
    odd = next((v for v in _flat_members(value) if not p.kind.fits(v)), None)
    if odd is None:
        return None
    return _wrong_kind_finding(entry, p, odd, span)


def _kind_hint(value: object, p: Parameter) -> str:
    power = value.power if isinstance(value, Quantity) else None
    if isinstance(value, PartResults):
        return "use one of its results: " + ", ".join(f".{name}" for name in value.names)
    if isinstance(value, str) and str not in p.kind.types:
        return "names and words of the trade stand without quotes"
    if power == 0 and Angle in p.kind.types:
        return "write its unit behind it, as in 60 deg"
    if power is not None and p.kind.powers == (1,):
        return ("multiply a named length by it"
                if power == 0 else "two lengths multiplied are an area; divide it by a length")
    if p.kind.words and p.kind.powers is None:
        return "use one of these words: " + ", ".join(p.kind.words)
    return ""


def _flat_members(value: object) -> list[object]:
    if not isinstance(value, Group):
        return [value]
    return [leaf for item in value.items for leaf in _flat_members(item)]


def apply_call(context: CallContext, entry: CallEntry, taken: Mapping[str, SpannedValue],
               further: Sequence[SpannedValue]) -> object:
    """Work the call once, or once for each member where a group stands in a place for a single value.

    Then every group beside it is paired off too, but for those that the call
    takes as one thing: nothing is ever multiplied out.
    """
    function = entry.function
    assert function is not None     # a part has got one by now
    kinds = {p.name: p.kind for p in entry.parameters}
    values = {name: value for name, (value, _) in taken.items()}
    rest = [value for value, _ in further]
    rest_kind = entry.rest.kind if entry.rest else None
    if not any(isinstance(v, Group) and not kinds[n].many for n, v in values.items()) and not (
            rest_kind is not None and not rest_kind.many and any(isinstance(v, Group) for v in rest)):
        return function(context, *_positional_arguments(entry, values, rest),
                              **_keyword_arguments(entry, values))
    zipping = [n for n, v in values.items() if isinstance(v, Group) and not kinds[n].whole]
    rest_zips = rest_kind is not None and not rest_kind.whole

    def one(*row: object) -> object:
        now = values | dict(zip(zipping, row, strict=False))
        return function(context,
                              *_positional_arguments(entry, now, list(row[len(zipping):]) if rest_zips
                                                          else rest), **_keyword_arguments(entry, now))
    return zip_groups(context, one, *(values[n] for n in zipping), *(rest if rest_zips else ()))


def _positional_arguments(entry: CallEntry, values: Mapping[str, object],
                          rest: Sequence[object]) -> list[object]:
    placed = [values.get(p.name) for p in entry.bare]
    if not rest:
        while placed and placed[-1] is None:
            placed.pop()
    return [*placed, *rest]


def _keyword_arguments(entry: CallEntry, values: Mapping[str, object]) -> dict[str, object]:
    bare = {p.name for p in entry.bare}
    return {name: value for name, value in values.items() if name not in bare}
