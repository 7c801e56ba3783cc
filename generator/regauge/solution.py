"""Work the leading choices out in full, until the best few are certain.

What rounding number by number would have done: each printed measure to the nearest mark of the rule.

Rounding that keeps sums is controlled rounding (Bacharach 1966); this is the
other kind, worked out so that it can be seen.

From a source and a wish to the answer: what ``foldgauge regauge`` and the build ask.
"""
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction

from generator.dataclass import dataclass, field, replace
from generator.findings import Finding, Span, capped_findings, finding, has_errors
from generator.language.evaluation.editions import compare_editions, evaluate_edition
from generator.language.evaluation.evaluate import Evaluation
from generator.language.fences import read_fences
from generator.language.front_matter import FrontMatter, read_front_matter
from generator.language.parts import Parts
from generator.language.source.document import read_document
from generator.paper.records import Act, Mark, Plan
from generator.paper.verbs import RESERVED_NAMES
from generator.regauge.comparison import CLOSE, FRIENDLY
from generator.regauge.conflicts import Conflict, Relaxation, conflicts, relaxations
from generator.regauge.formulas import StepStatements
from generator.regauge.problem import RegaugeProblem, pose_problem
from generator.regauge.search import SearchCounts, SearchResult, best_choices
from generator.regauge.sheet_yields import (
    WantedYield,
    YieldDemand,
    missing_yields,
    yield_constraints,
    yield_demands,
)
from generator.regauge.tool_grids import is_off_grid, off_grid, tool_settings
from generator.units import TOOL_KINDS, Bench, length

MAX_FAILING = 10       # choices that fail when worked out, before the search is given up
LengthValues = dict[str, Fraction]
# What folding finds wrong with the box of a plan; handed in, since folded boxes are judged above this room.
FoldedCheck = Callable[[FrontMatter, Plan], Sequence[Finding]]


@dataclass(frozen=True, slots=True)
class EvaluatedChoice:
    """A choice worked out in full. It fits where nothing is wrong with it."""

    values: LengthValues
    plan: Plan
    wrong: tuple[Finding, ...] = ()

    @property
    def fits(self) -> bool:
        """True where nothing is wrong."""
        return not self.wrong


@dataclass(frozen=True, slots=True)
class LeadingChoices:
    """``best_choices`` are the choices that fit, best first.

    ``failed`` those before the last of them that do not.

    ``certain`` is True when no choice can be better than one of them.
    """

    best: tuple[EvaluatedChoice, ...]
    failed: tuple[EvaluatedChoice, ...]
    found: SearchResult
    certain: bool

    @property
    def counts(self) -> SearchCounts:
        """What the search has covered, cut off and ranked."""
        return self.found.counts

    @property
    def evaluated(self) -> int:
        """How many choices were worked out in full."""
        return len(self.best) + len(self.failed)


@dataclass(slots=True)
class ChoiceEvaluator:
    """Works choices out and remembers them: both preferences often look at the same ones."""

    problem: RegaugeProblem
    folded_check: FoldedCheck
    yields: Sequence[YieldDemand] = ()
    results: dict[tuple[Fraction, ...], EvaluatedChoice] = field(default_factory=dict)
    # what folding finds wrong with the drawn box already
    drawn_findings: set[tuple[str, Span]] | None = None

    def evaluated(self, values: LengthValues) -> EvaluatedChoice:
        """A choice worked out in full."""
        key = tuple(values[name] for name in self.problem.names)
        if key not in self.results:
            self.results[key] = self._evaluate(values)
        return self.results[key]

    def _evaluate(self, values: LengthValues) -> EvaluatedChoice:
        problem = self.problem
        evaluation = evaluate_edition(problem.front, problem.steps, problem.target,
                                      {name: length(value, name) for name, value in values.items()})
        return EvaluatedChoice(dict(values), evaluation.plan, tuple(self._wrong(evaluation)))

    def _wrong(self, evaluation: Evaluation) -> list[Finding]:
        """Everything for which the build would stop, and the wishes that are not met."""
        problem, plan = self.problem, evaluation.plan
        found = [f for f in evaluation.findings if has_errors([f])]
        if not evaluation.failed_statements:
            found += off_grid(plan, problem.bench, drawn=False)
            found += compare_editions(problem.drawn_plan, plan)
            found += [finding("expect-fails", plan.pieces[0].span, each,
                              "ask for fewer, or for another sheet")
                      for each in missing_yields(plan, self.yields)]
        return found or self._folded_wrong(plan)

    def _folded_wrong(self, plan: Plan) -> list[Finding]:
        """What folding finds, where it finds nothing wrong with the drawn box."""
        front, drawn = self.problem.front, self.problem.drawn_plan
        if self.drawn_findings is None:
            self.drawn_findings = {(f.code, f.span) for f in self.folded_check(front, drawn)}
        return [f for f in self.folded_check(front, plan) if has_errors([f])
                and (f.code, f.span) not in self.drawn_findings]


def leading_choices(evaluator: ChoiceEvaluator, prefer: str, how_many: int) -> LeadingChoices:
    """The ``how_many`` best choices that fit when worked out in full.

    They differ in the box; where none fits, lengths of ribbon tell choices apart too.
    """
    found = _leading_choices(evaluator, prefer, how_many)
    if found.best or not evaluator.problem.ribbons:
        return found
    plain = replace(evaluator.problem, ribbons=frozenset())
    return _leading_choices(replace(evaluator, problem=plain), prefer, how_many)


def _leading_choices(evaluator: ChoiceEvaluator, prefer: str, how_many: int) -> LeadingChoices:
    wanted = how_many
    while True:
        found = best_choices(evaluator.problem, prefer, wanted)
        fit: list[EvaluatedChoice] = []
        failed: list[EvaluatedChoice] = []
        for values in found.choices:
            choice = evaluator.evaluated(values)
            (fit if choice.fits else failed).append(choice)
            if len(fit) == how_many or len(failed) > MAX_FAILING:
                return LeadingChoices(tuple(fit), tuple(failed), found, found.whole and len(fit) == how_many)
        if not found.more or not found.whole:
            return LeadingChoices(tuple(fit), tuple(failed), found, found.whole)
        wanted *= 2


MIN_ROW_MARKS = 3          # marks in a row, before one can speak of its panels


@dataclass(frozen=True, slots=True)
class RoundedRow:
    """A row of marks that are drawn at equal distances, each rounded by itself: its panels in mm.

    ``gap`` is how far the last mark then lies from where as many panels, each
    as wide as the rounded one, would end: by so much the seam misses.
    """

    name: str
    verb: str
    widths: tuple[Fraction, ...]
    gap: Fraction

    @property
    def spread(self) -> Fraction:
        """From the narrowest to the widest panel."""
        return max(self.widths) - min(self.widths)


@dataclass(frozen=True, slots=True)
class OffGridMeasures:
    """Marks that would fall between those of the tool that makes them: ``positions`` in mm."""

    what: str
    tool: str
    line: int
    positions: tuple[Fraction, ...]
    count: int


@dataclass(frozen=True, slots=True)
class SeparateRounding:
    """``values`` are the named lengths rounded by themselves; ``wrong`` is what no longer holds with them."""

    values: dict[str, Fraction]
    rows: tuple[RoundedRow, ...]
    between: tuple[OffGridMeasures, ...]
    wrong: tuple[Finding, ...]


def round_separately(evaluator: ChoiceEvaluator) -> SeparateRounding:
    """Number by number, for the problem at hand."""
    problem = evaluator.problem
    step = problem.bench.grid("rule")
    values = {name: nearest_mark(value, step) for name, value in problem.drawn.items()}
    wrong = tuple(f for f in evaluator.evaluated(values).wrong if f.code != "off-grid")
    return SeparateRounding(values, tuple(_rounded_rows(problem, step)),
                            tuple(_off_grid_measures(problem, step)), wrong)


def nearest_mark(value: Fraction, step: Fraction) -> Fraction:
    """The nearest mark, never nothing; of two the one with the even number."""
    return max(round(value / step), 1) * step


def _rounded_rows(problem: RegaugeProblem, step: Fraction) -> Iterator[RoundedRow]:
    known: set[tuple[Fraction, ...]] = set()
    for act, marks in _parallel_marks(problem.drawn_plan):
        places = [Fraction(m.position.value) for m in marks if m.position is not None and m.position.exact]
        if len(places) < MIN_ROW_MARKS or len(places) < len(marks):
            continue
        places = sorted(dict.fromkeys(places))
        rounded = [nearest_mark(place, step) for place in places]
        drawn, widths = _widths([Fraction(0), *places]), _widths([Fraction(0), *rounded])
        if len(set(drawn)) == 1 and tuple(places) not in known:     # half-way ticks bound no panels
            known.add(tuple(places))
            yield RoundedRow(act.name or act.verb, act.verb, tuple(widths),
                             sum(widths) - len(widths) * nearest_mark(drawn[0], step))


def _widths(places: Sequence[Fraction]) -> list[Fraction]:
    return [b - a for a, b in zip(places, places[1:], strict=False)]


def _parallel_marks(plan: Plan) -> Iterator[tuple[Act, list[Mark]]]:
    """Every act that made marks parallel to one edge, measured from one edge."""
    final = {mark.id: mark for history in plan.states.values() for mark in history[-1][1].marks}
    for act in plan.acts:
        marks = [final[k] for k in act.marks if k in final and final[k].act == act.number]
        if marks and len({(m.axis, m.measured_from) for m in marks}) == 1:
            yield act, marks


def _off_grid_measures(problem: RegaugeProblem, step: Fraction) -> Iterator[OffGridMeasures]:
    for each in tool_settings(problem.drawn_plan):
        rounded = [nearest_mark(Fraction(q.value), step) for q in dict.fromkeys(each.measures) if q.exact]
        odd = [place for place in rounded if is_off_grid(problem.bench, length(place), each.tool)]
        if odd:
            yield OffGridMeasures(each.what, TOOL_KINDS[each.tool].grid, each.span.line, tuple(odd),
                                  len(rounded))


DEFAULT_CHOICES = 5


@dataclass(frozen=True, slots=True)
class RegaugeOptions:
    """What is asked besides the source.

    Kept values (mm, by name), the window's share, yields, the preference.
    """

    pinned: Mapping[str, Fraction] = field(default_factory=dict)
    within: Fraction | None = None
    yields: tuple[WantedYield, ...] = ()
    prefer: str = CLOSE


@dataclass(frozen=True, slots=True)
class DrawnEdition:
    """The drawn side of a source, sound: what regauging starts from."""

    front: FrontMatter
    steps: StepStatements
    plan: Plan


@dataclass(frozen=True, slots=True)
class RegaugeResult:
    """``leading_choices`` hold the best choices.

    ``other`` is the winner of the other preference (None: there is none).

    Without a choice ``conflicts`` say what contradicts, ``relaxations`` what
    would help; both are empty where choices fail only when worked out in full.
    """

    problem: RegaugeProblem
    options: RegaugeOptions
    leading: LeadingChoices
    other: EvaluatedChoice | None
    separate_rounding: SeparateRounding
    conflicts: tuple[Conflict, ...] = ()
    relaxations: tuple[Relaxation, ...] = ()

    @property
    def best(self) -> EvaluatedChoice | None:
        """The winner; None where nothing fits."""
        return self.leading.best[0] if self.leading.best else None


def read_drawn_edition(text: str, shown: str,
                       parts: Parts | None = None) -> tuple[DrawnEdition | None, tuple[Finding, ...]]:
    """The drawn side of a source, whatever is wrong with its other edition.

    None and the errors where it is not sound.

    ``parts`` are those of its site.
    """
    document = read_document(shown, text, parts)
    front, wrong = read_front_matter(document, RESERVED_NAMES, drawn_only=True)
    read = read_fences(document)
    findings = [*document.findings, *wrong, *read.findings]
    if front is None or has_errors(findings):
        return None, capped_findings(f for f in findings if has_errors([f]))
    steps = tuple((step.number, statements) for step, statements in read.steps)
    drawn = evaluate_edition(front, steps, front.drawn_in)
    findings += drawn.findings
    errors = capped_findings(f for f in findings if has_errors([f]))
    return (None, errors) if errors else (DrawnEdition(front, steps, drawn.plan), ())


def choice_evaluator(drawn: DrawnEdition, benches: Mapping[str, Bench], options: RegaugeOptions,
                     folded_check: FoldedCheck) -> ChoiceEvaluator:
    """The problem of a wish, and where its choices are worked out."""
    front, yields = drawn.front, yield_demands(drawn.plan, options.yields)
    problem = pose_problem(front, drawn.steps, benches, front.other, options.pinned, options.within,
                           yield_constraints(yields), drawn.plan)
    return ChoiceEvaluator(problem, folded_check, yields)


def find_lengths(drawn: DrawnEdition, benches: Mapping[str, Bench], folded_check: FoldedCheck,
                 options: RegaugeOptions = RegaugeOptions(),
                 how_many: int = DEFAULT_CHOICES) -> RegaugeResult:
    """The best choices, and what would have been without them; or why there are none."""
    evaluator = choice_evaluator(drawn, benches, options, folded_check)
    found = leading_choices(evaluator, options.prefer, how_many)
    if not found.best:
        contradicting = () if found.failed else conflicts(evaluator.problem)
        return RegaugeResult(evaluator.problem, options, found, None, round_separately(evaluator),
                             contradicting,
                             relaxations(evaluator.problem, contradicting) if contradicting else ())
    other = leading_choices(evaluator, FRIENDLY if options.prefer == CLOSE else CLOSE, 1).best
    return RegaugeResult(evaluator.problem, options, found, other[0] if other else None,
                         round_separately(evaluator))
