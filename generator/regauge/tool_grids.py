"""Whether every mark falls on a mark of the tool that makes it."""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from generator.dataclass import dataclass
from generator.findings import Finding, Severity, Span, finding
from generator.paper.records import Act, Mark, PieceState, Plan, Removal
from generator.units import INCH, SYSTEMS, TOOL_KINDS, Bench, Quantity, as_text, display_measure, list_text

FINEST_WORDED = INCH.finest    # fine enough to tell a measure from the mark beside it
UNMARKED_TOOLS = ("template",)    # printed at true size: what is about needs no mark


@dataclass(frozen=True, slots=True)
class ToolSetting:
    """What the reader sets on one tool.

    ``what`` (the scores of 'panels') ``verb_phrase`` (would lie at) ``measures``.
    """

    span: Span
    what: str
    verb_phrase: str
    tool: str
    measures: tuple[Quantity, ...]


def off_grid(plan: Plan, bench: Bench, drawn: bool) -> tuple[Finding, ...]:
    """One finding for each group of marks and each blank that falls between the tool's marks.

    An error in the edition that was regauged, a warning in the drawn one.
    """
    severity = Severity.WARNING if drawn else Severity.ERROR
    found = []
    for each in tool_settings(plan):
        by_value: dict[Fraction | float, Quantity] = {}     # what is read off alike is told once
        for measure in each.measures:
            if is_off_grid(bench, measure, each.tool):
                by_value.setdefault(measure.value, measure)
        if odd := [*by_value.values()]:
            found.append(finding("off-grid", each.span, _message(plan, each, odd),
                                 _nearest_marks(bench, odd[0], each.tool), severity, plan.system))
    return tuple(dict.fromkeys(found))


def is_off_grid(bench: Bench, measure: Quantity, tool: str) -> bool:
    """True for a measure between the tool's marks; for one that is *about*, unless the tool needs no mark."""
    state = bench.on_grid(measure, tool)
    return state == "off" or (state == "about" and tool not in UNMARKED_TOOLS)


def tool_settings(plan: Plan) -> Iterator[ToolSetting]:
    """What is set for each blank, for each group of marks and each tool, and for what is cut away."""
    blanks = {info.act: info for info in plan.pieces if info.is_cut_by_size}
    marks_of_act = _marks_by_act(plan)
    for act in plan.acts:
        if act.number in blanks:
            info = blanks[act.number]
            state = plan.states[info.id][0][1]
            yield ToolSetting(info.span, f"'{info.name}'", "would measure", "trimmer",
                              (state.width, state.height))
        marks = marks_of_act.get(act.number, [])
        for tool in dict.fromkeys(m.tool for m in marks):
            of_tool = [m for m in marks if m.tool == tool]
            yield ToolSetting(act.span, _marks_text(act, of_tool), "would lie at", tool,
                          tuple(q for m in of_tool for q in _measures(m)))
        if isinstance(act.detail, Removal):
            found = [position for position, _ in act.detail.positions]
            yield ToolSetting(act.span, "what is cut away", "would be set at", act.detail.tool,
                              (*found, *act.detail.sizes))


def _measures(mark: Mark) -> list[Quantity]:
    sizes = [] if mark.kind.is_hole else list(mark.sizes)
    return [position for position, _ in mark.positions] + sizes


def _marks_by_act(plan: Plan) -> Mapping[int, list[Mark]]:
    found: dict[int, dict[int, Mark]] = {}
    for history in plan.states.values():
        final: PieceState = history[-1][1]
        for mark in final.marks:
            found.setdefault(mark.act, {})[mark.id] = mark
    return {act: list(marks.values()) for act, marks in found.items()}


def _marks_text(act: Act, marks: list[Mark]) -> str:
    name = f" of '{act.name}'" if act.name else ""
    return f"the {marks[0].kind.noun}{'s' if len(marks) > 1 else ''}{name}"


def _message(plan: Plan, each: ToolSetting, odd: list[Quantity]) -> str:
    places = list_text(odd[:3], plan.system, finest=FINEST_WORDED)
    more = f" (and {len(odd) - 3} more)" if len(odd) > 3 else ""
    edition = SYSTEMS[plan.system].edition
    return (f"in the {edition} edition {each.what} {each.verb_phrase} {places}{more}, "
            f"between the marks of the {TOOL_KINDS[each.tool].grid}")


def _nearest_marks(bench: Bench, measure: Quantity, tool: str) -> str:
    below, above = (as_text(display_measure(q, bench.system)) for q in bench.nearest(measure, tool))
    names = " and ".join(f"'{n}'" for n in sorted(measure.names)) or "it"
    return f"the nearest marks are {below} and {above}; change {names} in that edition"
