"""Values that would mend what is wrong with the other edition, from the same search as ``foldgauge regauge``."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from generator.findings import Finding, has_errors
from generator.language.front_matter import FrontMatter, read_front_matter
from generator.language.source.records import Document
from generator.paper.records import Plan
from generator.paper.verbs import VOCABULARY
from generator.tutorial.editions import SYSTEM_WORDS, evaluate_edition
from generator.tutorial.reading import Read
from generator.tutorial.regauge.leaders import Workshop
from generator.tutorial.regauge.problem import RegaugeProblem, drawn_lengths, pose
from generator.tutorial.regauge.ranking import CLOSE
from generator.tutorial.regauge.rewriting import typed
from generator.tutorial.regauge.search import best
from generator.tutorial.regauge.sums import Steps
from generator.units import Bench

ALWAYS = frozenset({"edition-stale", "clearance-rounded", "editions-differ"})
MOST_LENGTHS = 60   # named lengths; with more the search is left to the command
MOST_TRIED = 3      # choices worked out in full, for each way of mending
WORK = 3_000        # of a search
Values = Mapping[str, Fraction]


def mended(findings: Sequence[Finding], front: FrontMatter, steps: Steps, plan: Plan,
           benches: Mapping[str, Bench]) -> list[Finding]:
    """The findings, those that are about the other edition with the values that would mend it in their hints.

    Where the drawn edition is not sound either they stay as they are.
    """
    about = [f for f in findings if is_about_other(f, front)]
    if not about or len(drawn_lengths(front)) > MOST_LENGTHS or has_errors(f for f in findings if f not in about):
        return list(findings)
    return _hinted(findings, about, _hint(front, mending_values(front, steps, plan, benches)))


def mended_front(document: Document, read: Read, findings: Sequence[Finding], benches: Mapping[str, Bench]) -> list[Finding]:
    """The same for findings of the front matter whose other edition is missing or does not read."""
    front, sound = read_front_matter(document, VOCABULARY, drawn_only=True)
    if front is None or has_errors([*sound, *document.findings, *read.findings]) or len(drawn_lengths(front)) > MOST_LENGTHS:
        return list(findings)
    steps = [(step.number, statements) for step, statements in read.steps]
    drawn = evaluate_edition(front, steps, benches, front.drawn_in)
    if has_errors(drawn.findings):
        return list(findings)
    known = {(f.code, f.span) for f in sound}
    about = [f for f in findings if (f.code, f.span) not in known]
    return _hinted(findings, about, _hint(front, mending_values(front, steps, drawn.plan, benches)))


def is_about_other(each: Finding, front: FrontMatter) -> bool:
    """True for what is wrong with the edition that was regauged, and not with the drawn one."""
    if each.code == "off-grid":
        return has_errors([each])
    return each.code in ALWAYS or each.message.endswith(f"(in the {SYSTEM_WORDS[front.other]} edition only)")


def _hinted(findings: Sequence[Finding], about: Sequence[Finding], hint: str) -> list[Finding]:
    return [replace(f, hint="; ".join(filter(None, (f.hint, hint)))) if f in about else f for f in findings]


def _hint(front: FrontMatter, values: Values | None) -> str:
    edition = SYSTEM_WORDS[front.other]
    if values is None:
        return f"no values of the {edition} edition near the drawn ones fit; foldgauge regauge says what contradicts what"
    if not values:
        return ""
    said = ", ".join(f"{name}: {typed(values[name], front.other)}" for name in drawn_lengths(front) if name in values)
    return f"the {edition} edition fits with {said}"


def mending_values(front: FrontMatter, steps: Steps, plan: Plan, benches: Mapping[str, Bench]) -> Values | None:
    """The lengths of the other edition to change, with their new values; as few as will do. None when nothing fits."""
    present = {n: Fraction(front.lengths[front.other][n].value) for n in drawn_lengths(front) if n not in front.missing_lengths}
    free = pose(front, steps, benches, front.other, {}, plan=plan)
    blamed = _blamed(free, present) | front.missing_lengths
    for kept in ({n: v for n, v in present.items() if n not in blamed}, {}):
        problem = pose(front, steps, benches, front.other, kept, plan=plan)
        found = next(_fitting(Workshop(problem), problem), None)
        if found is not None:
            return {n: v for n, v in found.items() if present.get(n) != v}
        if not kept:
            break
    return None


def _blamed(problem: RegaugeProblem, present: Values) -> set[str]:
    """The lengths that no mark of their tool, no window or no requirement allows as they are."""
    now = {**problem.drawn, **problem.fixed, **present}
    names = {n for n, value in present.items() if not problem.windows[n].holds(value)}
    names |= {n for c in problem.congruences if not c.holds(now) for n in c.form}
    names |= {n for need in problem.needs if not need.holds(now) for n in need.names}
    return names & problem.drawn.keys()


def _fitting(workshop: Workshop, problem: RegaugeProblem) -> Iterator[dict[str, Fraction]]:
    """The closest choices that fit when worked out in full."""
    for values in best(problem, CLOSE, MOST_TRIED, WORK).choices:
        if workshop.tried(values).fits:
            yield values
