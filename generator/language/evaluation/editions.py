"""Evaluate a source in both systems, and hold the two plans against each other."""
from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import pairwise

from generator.dataclass import dataclass, replace
from generator.findings import Finding, Span, finding
from generator.language.evaluation.evaluate import EditionValues, Evaluation, evaluate
from generator.language.front_matter import FrontMatter
from generator.language.syntax.nodes import Statement
from generator.paper.records import Act, Mark, PieceState, Plan
from generator.units import SYSTEMS, FrozenRecord, Quantity, number


@dataclass(frozen=True, slots=True)
class Editions(FrozenRecord):
    """A source evaluated in both systems.

    ``findings`` are those of the drawn edition first; one that stands in both is reported once.
    """

    evaluations: Mapping[str, Evaluation]       # by system, the drawn edition first
    findings: tuple[Finding, ...]

    @property
    def plans(self) -> dict[str, Plan]:
        """The plan of each edition, by system."""
        return {system: each.plan for system, each in self.evaluations.items()}


def evaluate_both(front: FrontMatter, steps: Sequence[tuple[int, Sequence[Statement]]],
                  unread_names: frozenset[str] = frozenset()) -> Editions:
    """Both editions; ``unread_names`` are names that statements were to make which do not read."""
    done = {system: evaluate(system, edition_values(front, system), steps, unread_names)
            for system in (front.drawn_in, front.other)}
    first, second = ((system, each.findings) for system, each in done.items())
    return Editions(done, merge_findings(first, second))


def evaluate_edition(front: FrontMatter, steps: Sequence[tuple[int, Sequence[Statement]]], system: str,
                     instead: Mapping[str, Quantity] | None = None) -> Evaluation:
    """One edition; ``instead`` replaces some of its named lengths, to try other values."""
    values = edition_values(front, system)
    if instead:
        values = replace(values, lengths={**values.lengths, **instead})
    return evaluate(system, values, steps)


def edition_values(front: FrontMatter, system: str) -> EditionValues:
    """What the front matter says for one edition."""
    counts = {name: number(n, frozenset({name})) for name, n in front.counts.items()}
    return EditionValues(front.lengths[system], counts, front.papers, front.spans, front.parts)


def merge_findings(drawn: tuple[str, Sequence[Finding]],
                   other: tuple[str, Sequence[Finding]]) -> tuple[Finding, ...]:
    """Findings of both editions; one that stands in a single edition says which."""
    both = [{_finding_key(f) for f in found} for _, found in (drawn, other)]
    result = []
    for (system, found), elsewhere in ((drawn, both[1]), (other, both[0])):
        for each in found:
            if _finding_key(each) in elsewhere:
                if system == drawn[0]:
                    result.append(each)
            else:
                result.append(replace(each, edition=system))
    return tuple(dict.fromkeys(result))


def _finding_key(each: Finding) -> tuple[str, Span, str]:
    """What makes two findings one: code and place, and of a part the statement too, which its hint names."""
    statement = each.hint.partition("”")[0] if each.hint.startswith("in the part") else ""
    return each.code, each.span, statement


def compare_editions(drawn: Plan, other: Plan) -> tuple[Finding, ...]:
    """Where the editions differ in more than their measures: one picture must serve both."""
    name = SYSTEMS[other.system].edition
    for a, b in zip(drawn.acts, other.acts, strict=False):
        if _act_pattern(a) != _act_pattern(b):
            return (_difference_finding(a.span, f"this {a.verb} makes {_act_result(a)} in the "
                                        f"{SYSTEMS[drawn.system].edition} edition and {_act_result(b)} in "
                                        f"the {name} one", name),)
    if len(drawn.acts) != len(other.acts):
        longer = max(drawn.acts, other.acts, key=len)[min(len(drawn.acts), len(other.acts))]
        return (_difference_finding(longer.span, f"this {longer.verb} is made in one edition only", name),)
    return tuple(f for piece in drawn.states for f in _marks_differ(drawn, other, piece))


def _act_pattern(act: Act) -> tuple[object, ...]:
    return act.verb, act.pieces, act.marks, act.faces


def _act_result(act: Act) -> str:
    count, what = (len(act.marks), "mark") if act.marks else (len(act.faces), "face")
    return f"{count} {what}" + ("" if count == 1 else "s") if count else "other things"


def _marks_differ(drawn: Plan, other: Plan, piece: int) -> list[Finding]:
    first, second, edition = drawn.final_state(piece), other.final_state(piece), SYSTEMS[other.system].edition
    if len(first.outline) != len(second.outline) or len(first.holes) != len(second.holes):
        info = drawn.pieces[piece]
        return [_difference_finding(_first_unlike_edge(drawn, first, second) or info.span,
                                    f"the outline of '{info.name}' has other corners in the {edition} "
                                    "edition", edition)]
    theirs = {mark.id: mark for mark in second.marks}
    for mark in first.marks:
        if _mark_shape(mark) != _mark_shape(theirs[mark.id]):
            which = f" {mark.index} of {mark.count}" if mark.count > 1 else ""
            return [_difference_finding(mark.span, f"the {mark.verb}{which} of '{mark.name or 'this row'}' "
                             f"ends otherwise in the {edition} edition", edition)]
    return _order_differs([m for m in first.marks if m.place and m.name], theirs, edition)


def _first_unlike_edge(plan: Plan, first: PieceState, second: PieceState) -> Span | None:
    """The last statement that made edges of a piece, of those that made another number in the other edition.

    What is cut away early is often cut away again; None where they made as many.
    """
    counts = [Counter(rim.act for loop in (state.outline, *state.holes) for rim in loop)
              for state in (first, second)]
    unlike = [act for act in counts[0] | counts[1] if counts[0][act] != counts[1][act]]
    return plan.acts[max(unlike)].span if unlike else None


def _mark_shape(mark: Mark) -> tuple[object, ...]:
    return mark.verb, mark.axis, len(mark.runs), tuple(type(run).__name__ for run in mark.runs)


def _order_differs(marks: Sequence[Mark], theirs: Mapping[int, Mark], edition: str) -> list[Finding]:
    for axis in "xy":
        placed = [(m.place, m) for m in marks if m.axis == axis and m.place is not None]
        ranks = [mark for _, mark in sorted(placed, key=lambda each: (each[0].value, each[1].id))]
        for a, b in pairwise(ranks):
            first, second = theirs[a.id].place, theirs[b.id].place
            if first is not None and second is not None and second.below(first):
                return [_difference_finding(b.span,
                                            f"'{b.name}' and '{a.name}' change places in the {edition} "
                                            "edition", edition)]
    return []


def _difference_finding(span: Span, message: str, edition: str) -> Finding:
    return finding("editions-differ", span, message,
                   f"choose lengths for the {edition} edition that keep the marks as they are, and in their "
                   "order")
