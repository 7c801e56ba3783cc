"""Values that would mend the other edition, from the same search as ``foldgauge regauge``."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from generator.findings import Finding, has_errors
from generator.language.evaluation.editions import evaluate_edition
from generator.language.fences import ParsedFences
from generator.language.front_matter import FrontMatter, read_front_matter
from generator.language.source.records import Document
from generator.paper.records import Plan
from generator.paper.verbs import RESERVED_NAMES
from generator.regauge.comparison import CLOSE
from generator.regauge.formulas import StepStatements
from generator.regauge.problem import RegaugeProblem, drawn_lengths, outdated_lengths, pose_problem
from generator.regauge.rewriting import chosen_length, typed_length
from generator.regauge.search import best_choices
from generator.regauge.solution import ChoiceEvaluator
from generator.tutorial.folded_editions import check_folded
from generator.units import SYSTEMS, Bench

MAX_LENGTHS = 60   # named lengths; with more the search is left to the command
MAX_EVALUATED = 3      # choices worked out in full, for each way of mending
SEARCH_WORK = 3_000        # of a search
LengthValues = Mapping[str, Fraction]


def with_suggestions(findings: Sequence[Finding], front: FrontMatter, steps: StepStatements, plan: Plan,
           benches: Mapping[str, Bench]) -> list[Finding]:
    """The findings, those that are about the other edition with the values that would mend it in their hints.

    Where the drawn edition is not sound either they stay as they are.
    """
    about = [f for f in findings if concerns_other_edition(f, front)]
    if not about or len(drawn_lengths(front)) > MAX_LENGTHS or has_errors(f for f in findings
                                                                          if f not in about):
        return list(findings)
    return _with_hint(findings, about, _suggestion_text(front, mending_values(front, steps, plan, benches)))


def with_front_matter_suggestions(document: Document, read: ParsedFences, findings: Sequence[Finding],
                                  benches: Mapping[str, Bench]) -> list[Finding]:
    """The same for findings of the front matter whose other edition is missing or does not read."""
    front, sound = read_front_matter(document, RESERVED_NAMES, drawn_only=True)
    if front is None or has_errors([*sound, *document.findings,
                                    *read.findings]) or len(drawn_lengths(front)) > MAX_LENGTHS:
        return list(findings)
    steps = read.statements
    drawn = evaluate_edition(front, steps, front.drawn_in)
    if has_errors(drawn.findings):
        return list(findings)
    known = {(f.code, f.span) for f in sound}
    about = [f for f in findings if (f.code, f.span) not in known]
    return _with_hint(findings, about,
                      _suggestion_text(front, mending_values(front, steps, drawn.plan, benches)))


def concerns_other_edition(each: Finding, front: FrontMatter) -> bool:
    """True for what is wrong with the edition that was regauged, and not with the drawn one."""
    return each.edition == front.other or each.code == "editions-differ"


def _with_hint(findings: Sequence[Finding], about: Sequence[Finding], hint: str) -> list[Finding]:
    return [replace(f, hint="; ".join(filter(None, (f.hint, hint)))) if f in about else f for f in findings]


def _suggestion_text(front: FrontMatter, values: LengthValues | None) -> str:
    edition = SYSTEMS[front.other].edition
    if values is None:
        return (f"no values of the {edition} edition near the drawn ones fit; foldgauge regauge says what "
                "contradicts what")
    if not values:
        return ""
    drawn = drawn_lengths(front)
    text = ", ".join(f"{name}: {chosen_length(values[name], front.other, drawn[name])}"
                     if name in front.chosen_for else f"{name}: {typed_length(values[name], front.other)}"
                     for name in drawn if name in values)
    return f"the {edition} edition fits with {text}"


def mending_values(front: FrontMatter, steps: StepStatements, plan: Plan,
                   benches: Mapping[str, Bench]) -> LengthValues | None:
    """The lengths of the other edition to change, with their new values; as few as will do.

    None when nothing fits.
    """
    present = {n: Fraction(front.lengths[front.other][n].value) for n in drawn_lengths(front)
               if n not in front.missing_lengths}
    free = pose_problem(front, steps, benches, front.other, {}, plan=plan)
    outdated = outdated_lengths(front)
    blamed = _violating_lengths(free, present) | front.missing_lengths | outdated
    for kept in ({n: v for n, v in present.items() if n not in blamed}, {}):
        problem = pose_problem(front, steps, benches, front.other, kept, plan=plan)
        found = next(_fitting_choices(ChoiceEvaluator(problem, check_folded), problem), None)
        if found is not None:
            return {n: v for n, v in found.items() if present.get(n) != v or n in outdated}
        if not kept:
            break
    return None


def _violating_lengths(problem: RegaugeProblem, present: LengthValues) -> set[str]:
    """The lengths that no mark of their tool, no window or no requirement allows as they are."""
    now = {**problem.drawn, **problem.fixed, **present}
    names = {n for n, value in present.items() if not problem.windows[n].holds(value)}
    names |= {n for c in problem.congruences if not c.holds(now) for n in c.form}
    names |= {n for need in problem.needs if not need.holds(now) for n in need.names}
    return names & problem.drawn.keys()


def _fitting_choices(evaluator: ChoiceEvaluator, problem: RegaugeProblem) -> Iterator[dict[str, Fraction]]:
    """The closest choices that fit when worked out in full."""
    for values in best_choices(problem, CLOSE, MAX_EVALUATED, SEARCH_WORK).choices:
        if evaluator.evaluated(values).fits:
            yield values
