"""Work the leading choices out in full, until the best few are certain."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from generator.findings import Finding, finding, has_errors
from generator.folding import fold
from generator.language.evaluation.evaluate import Evaluation
from generator.paper.records import Plan
from generator.tutorial.checks.grids import off_grid
from generator.tutorial.editions import compare, evaluate_edition
from generator.tutorial.folded_editions import box_findings
from generator.tutorial.regauge.problem import RegaugeProblem
from generator.tutorial.regauge.search import Counts, SearchResult, best
from generator.tutorial.regauge.yields import Yield, lacking
from generator.units import length

MOST_FAILING = 10       # choices that fail when worked out, before the search is given up
Values = dict[str, Fraction]


@dataclass(frozen=True, slots=True)
class EvaluatedChoice:
    """A choice worked out in full. It fits where nothing is wrong with it."""

    values: Values
    plan: Plan
    wrong: tuple[Finding, ...] = ()

    @property
    def fits(self) -> bool:
        return not self.wrong


@dataclass(frozen=True, slots=True)
class Leaders:
    """``best`` are the choices that fit, best first; ``failed`` those before the last of them that do not.

    ``certain`` is True when no choice can be better than one of them.
    """

    best: tuple[EvaluatedChoice, ...]
    failed: tuple[EvaluatedChoice, ...]
    found: SearchResult
    certain: bool

    @property
    def counts(self) -> Counts:
        """What the search has covered, cut off and ranked."""
        return self.found.counts

    @property
    def evaluated(self) -> int:
        """How many choices were worked out in full."""
        return len(self.best) + len(self.failed)


@dataclass(slots=True)
class Workshop:
    """Works choices out and remembers them: both preferences often look at the same ones."""

    problem: RegaugeProblem
    yields: Sequence[Yield] = ()
    done: dict[tuple, EvaluatedChoice] = field(default_factory=dict)
    excused: set[tuple] | None = None       # what folding finds wrong with the drawn box already

    def tried(self, values: Values) -> EvaluatedChoice:
        """A choice worked out in full."""
        key = tuple(values[name] for name in self.problem.names)
        if key not in self.done:
            self.done[key] = self._worked(values)
        return self.done[key]

    def _worked(self, values: Values) -> EvaluatedChoice:
        problem = self.problem
        evaluation = evaluate_edition(problem.front, problem.steps, problem.benches, problem.target,
                                      {name: length(value, name) for name, value in values.items()})
        return EvaluatedChoice(dict(values), evaluation.plan, tuple(self._wrong(evaluation)))

    def _wrong(self, evaluation: Evaluation) -> list[Finding]:
        """Everything for which the build would stop, and the wishes that are not met."""
        problem, plan = self.problem, evaluation.plan
        found = [f for f in evaluation.findings if has_errors([f])]
        if not evaluation.failed_statements:
            found += off_grid(plan, problem.bench, drawn=False)
            found += compare(problem.drawn_plan, plan)
            found += [finding("expect-fails", plan.pieces[0].span, each, "ask for fewer, or for another sheet")
                      for each in lacking(plan, self.yields)]
        return found or self._folded_wrong(plan)

    def _folded_wrong(self, plan: Plan) -> list[Finding]:
        """What folding finds, where it finds nothing wrong with the drawn box."""
        front, drawn = self.problem.front, self.problem.drawn_plan
        if self.excused is None:
            self.excused = {(f.code, f.span) for f in box_findings(front, drawn, fold(drawn))}
        return [f for f in box_findings(front, plan, fold(plan)) if has_errors([f]) and (f.code, f.span) not in self.excused]


def leaders(workshop: Workshop, prefer: str, how_many: int) -> Leaders:
    """The ``how_many`` best choices that fit when worked out in full."""
    wanted, fit, failed = how_many, [], []
    while True:
        found = best(workshop.problem, prefer, wanted)
        fit, failed = [], []
        for values in found.choices:
            tried = workshop.tried(values)
            (fit if tried.fits else failed).append(tried)
            if len(fit) == how_many or len(failed) > MOST_FAILING:
                return Leaders(tuple(fit), tuple(failed), found, found.whole and len(fit) == how_many)
        if not found.more or not found.whole:
            return Leaders(tuple(fit), tuple(failed), found, found.whole)
        wanted *= 2
